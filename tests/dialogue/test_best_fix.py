"""The best fix asked for before the questions are through."""

from __future__ import annotations

import pytest

from diagnose.case.case import Ask, Fix, Recheck
from diagnose.dialogue.sitting import unasked
from diagnose.present.screen_data import NoFixWhy
from diagnose.ui import text
from tests.dialogue.scripts import say


@pytest.mark.parametrize("word", ["!", "best fix", "now", "Just tell me!"])
def test_a_word_ends_the_asking_and_shows_the_best_fix(session, word):
    say(session, "gush", "1", "")
    assert isinstance(session.step(), Ask)
    say(session, word)
    screen = session.screen()
    assert screen.kind == "remedy" and screen.choices[-1].id == "ask"
    assert screen.data.asks.startswith("What was changed last")
    assert session.step().option.remedy == session.case.fix().option.remedy


def test_it_changes_nothing_and_is_as_sure_as_before(session):
    say(session, "gush", "1", "")
    before = list(session.case.entries)
    hurried = unasked(session.case)
    assert [(r.cause, r.probability) for r in hurried.ranked] == [
        (r.cause, r.probability) for r in session.case.ranked]
    say(session, "!")
    assert session.case.entries == before
    status = session.screen().status
    assert status.left and status.sure == pytest.approx(session.case.ranked[0].probability, abs=1e-4)


@pytest.mark.parametrize("on", ["ask", "6", "back"])
def test_asking_goes_on_where_it_stopped(session, on):
    say(session, "gush", "1", "", "!", on)
    assert session.screen().kind == "question"
    assert session.case.complaints == ("too_fast",)


def test_asking_goes_on_after_the_fix_was_tried(session):
    say(session, "gush", "1", "", "!", "same")
    assert not session.hurried and session.case.fixes[0].outcome == "same"


def test_another_fix_can_be_asked_for_without_a_question_between(session):
    say(session, "gush", "1", "", "!")
    first = session.step().option.remedy
    say(session, "skip")
    assert isinstance(session.step(), Fix) and session.step().option.remedy != first


def test_a_contradiction_does_not_stand_in_the_way(session):
    say(session, "gush", "1", "")
    session.case.answer("shot_time", "45 s")
    assert isinstance(session.step(), Recheck)
    asked = session.step().conflict.text
    say(session, "!")
    screen = session.screen()
    assert screen.kind in ("remedy", "no_fix") and screen.data.asks == asked
    say(session, "back")
    assert isinstance(session.step(), Recheck)


def test_a_hazard_still_comes_first(session):
    say(session, "gush", "1", "")
    session.case.answer("smell", "burning")
    say(session, "!")
    assert session.screen().kind == "stop" and [n.code for n in session.notes] == ["nothing_better"]


def test_before_a_complaint_there_is_nothing_to_fix(session):
    say(session, "!")
    assert [n.code for n in session.notes] == ["nothing_yet"] and session.screen().kind == "complaint"


def test_where_the_complaint_is_shown_it_is_taken_as_read(session):
    say(session, "gush with a new bag", "!")
    assert session.case.complaints == ("too_fast",) and session.case.values == {"last_change": "beans"}
    assert session.screen().kind == "remedy"
    assert "taken_as_read" in [n.code for n in session.notes]


def test_it_is_to_be_had_where_what_else_is_known_is_asked(session):
    say(session, "gush", "1", "!")
    assert session.screen().kind == "remedy"


@pytest.mark.parametrize(("module", "why"), [
    ("diagnose.present.views", "unlikely to help ("), ("", "too long for how seldom it helps (")])
def test_where_no_fix_is_hopeful_it_says_why_and_which_question_would_help(
        session, monkeypatch, module, why):
    say(session, "gush", "1", "")
    asked = session.screen().data.text
    monkeypatch.setattr("diagnose.case.case.HOPELESS", 0.99)
    if module:
        monkeypatch.setattr(f"{module}.HOPELESS", 0.99)
    say(session, "!")
    screen = session.screen()
    assert screen.kind == "no_fix" and screen.data.asks == asked
    said = " ".join(text.linear(screen).split())
    assert "No fix is worth trying yet." in said and why in said
    assert f"It would help most to know: {asked}" in said
    say(session, "1")
    assert session.screen().data.text == asked


def test_where_every_fix_was_tried_it_says_so(session):
    say(session, "gush", "1", "")
    for remedy in session.book.remedies:
        session.case.tried(remedy, "same")
    session.hurried = True
    assert session.screen().data.why == NoFixWhy(code="none")
