"""Questions of practice said at any time in a consult: answered, then it goes on where it was."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from diagnose.case.case import Stop
from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.ui import text
from tests.case.small import FakeLookup
from tests.dialogue.scripts import codes, say

ASKED = "Can I leave the machine on all day?"


@pytest.fixture
def session(system, tmp_path: Path) -> Iterator[Session]:
    made = Session(system, FakeLookup(system.book), Store(tmp_path / "cases"))
    yield made
    made.close()


def ids(session: Session) -> list[str]:
    screen = session.screen()
    return [a.id for a in screen.data.answers] if screen.kind == "answer" else []


def test_a_question_as_complaint_is_answered_and_the_complaint_asked_for_again(session):
    say(session, ASKED)
    assert ids(session) == ["leave_on"]
    say(session, "")
    assert session.screen().kind == "complaint" and not session.begun
    assert text.linear(session.screen()).startswith("Is something wrong as well?")


def test_the_answer_is_the_first_thing_said_with_numbers_and_caution(session):
    say(session, ASKED)
    said = text.linear(session.screen())
    assert said.startswith("You asked: Can I leave the machine on all day?\n"
                           "You can while somebody is at home. A shot takes 29 s.")
    assert "WARNING: Burrs cut fingers." in said and "Now: Set the switch-off" in said and "%" not in said


def test_a_trouble_told_with_the_question_is_taken_up_after_it(session):
    say(session, f"It gushes. {ASKED}")
    assert ids(session) == ["leave_on"]
    say(session, "")
    assert [i.id for i in session.screen().data.sure] == ["too_fast"]


def test_more_may_be_said_at_once_to_an_answer(session):
    say(session, ASKED, "it gushes")
    assert [i.id for i in session.screen().data.sure] == ["too_fast"]


def test_at_a_question_the_same_question_stands_again_after_the_answer(session):
    say(session, "gush", "1", "")
    before = session.screen()
    say(session, ASKED)
    assert ids(session) == ["leave_on"]
    say(session, "")
    assert session.screen().data == before.data and not session.case.values
    say(session, ASKED, "back")
    assert session.screen().data == before.data


def test_an_answer_given_to_what_lies_under_it_is_taken(session):
    say(session, "gush", "1", "", ASKED, "noth")
    assert session.case.values == {"last_change": "nothing"}


def test_at_anything_else_a_question_is_answered_and_asked_on(session):
    say(session, "gush", "1", ASKED, "")
    assert session.screen().kind == "besides"


def test_where_only_a_choice_is_taken_it_is_answered_too(session):
    say(session, "list", ASKED)
    assert ids(session) == ["leave_on"] and codes(session) == []
    say(session, "")
    assert session.screen().kind == "browse"


def test_at_a_fix_finer_or_coarser_is_answered_by_the_fix(session):
    say(session, "gush", "1", "", "1")
    assert session.screen().kind == "remedy"
    say(session, "Do I go finer or coarser?")
    (one,) = session.screen().data.answers
    assert one.first.startswith("Finer: ")


def test_at_a_hazard_a_question_is_answered_and_the_stop_stands(session):
    say(session, "gush", "1", "", "there is burning", "1")
    assert isinstance(session.step(), Stop)
    say(session, "Can I go on using it till Friday?")
    (one,) = session.screen().data.answers
    assert one.first.startswith("No, leave it off")
    say(session, "")
    assert session.screen().kind == "stop"
