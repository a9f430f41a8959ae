"""How the consult goes on after a fix: once more, was it done right, what is left, and a guess."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.case.case import Fix
from diagnose.dialogue.session import Session
from diagnose.reason.system import System
from diagnose.ui import text
from tests.case.small import FakeLookup
from tests.dialogue.scripts import codes, say
from tests.reason.books import cause, choice, finding, remedy, symptom, system


@pytest.fixture
def shots(tmp_path: Path) -> System:
    """Shots too fast and too slow; two fixes for the coarse grind, one of them done mark by mark."""
    return system(
        tmp_path, observations={"shot": choice("fast", "slow"), "valve": choice("drips", "dry")},
        findings={"flow": finding(("fast",), fast={"shot": "fast"}),
                  "tray": finding(("slow",), slow={"valve": "drips"})},
        symptoms={"too_fast": symptom("flow", "fast"), "too_slow": symptom("tray", "slow")},
        causes={"coarse": cause({"too_fast": "always"}, "very common",
                                cures={"finer": "usually", "ground_for_you": "often"}),
                "old": cause({"too_fast": "often"}, "occasional", cures={"fresh": "usually"}),
                "leak": cause({"too_slow": "always"}, "occasional", cures={"seal": "usually"})},
        remedies={"finer": remedy(5, name="Grind finer", again="One more mark."),
                  "ground_for_you": remedy(9, name="Have it ground"), "fresh": remedy(20, name="Fresh beans"),
                  "seal": remedy(30, name="New seal")})


def started(one: System, line: str, *keys: str) -> Session:
    session = Session(one, FakeLookup(one.book))
    say(session, line, *keys, "best fix")
    return session


def fix(session: Session) -> str:
    step = session.step()
    assert isinstance(step, Fix)
    return step.option.remedy


def test_what_helps_is_done_once_more_and_then_it_is_said_that_it_has_done_what_it_can(
        shots: System) -> None:
    session = started(shots, "gush", "1", "")
    assert fix(session) == "finer"
    say(session, "better")
    assert "It helps, so do it once more. One more mark." in text.linear(session.screen())
    say(session, "same")
    assert codes(session) == ["was_enough"]


def test_of_a_fix_that_did_nothing_it_is_asked_once_whether_it_was_done_right(shots: System) -> None:
    session = started(shots, "gush", "1", "")
    say(session, "same")
    assert session.screen().kind == "done_right" and "Grind finer" in text.linear(session.screen())
    say(session, "2")
    assert codes(session) == ["as_it_says"] and not session.case.fixes
    say(session, "best fix")
    assert fix(session) == "finer"
    say(session, "same")
    assert [(t.remedy, t.outcome) for t in session.case.fixes] == [("finer", "same")]
    say(session, "best fix")
    assert fix(session) == "fresh", "no other way to grind finer"


def test_done_as_it_says_it_counts(shots: System) -> None:
    session = started(shots, "gush", "1", "")
    say(session, "same", "1")
    assert [(t.remedy, t.outcome) for t in session.case.fixes] == [("finer", "same")]
    assert codes(session) == ["was_same"]


def test_solved_is_not_the_end_while_another_complaint_stands(shots: System) -> None:
    session = started(shots, "gush and drip", "1", "")
    assert session.case.complaints == ("too_fast", "too_slow") and fix(session) == "finer"
    say(session, "solved")
    assert session.screen().kind == "left"
    say(session, "2")
    assert session.case.complaints == ("too_slow",)
    say(session, "best fix")
    assert fix(session) == "seal"


def test_with_nothing_left_solved_ends_it_and_says_what_it_was(shots: System) -> None:
    session = started(shots, "gush and drip", "1", "")
    say(session, "solved", "nothing")
    said = text.linear(session.screen())
    assert session.screen().kind == "done" and "So it was this, most likely: a fault." in said
