"""Which choice a line means, and what is never one."""

from __future__ import annotations

import string

import pytest

from diagnose.book.with_house import load
from diagnose.dialogue.commands import COMMANDS
from diagnose.dialogue.matching import chosen, several, stands_there
from diagnose.dialogue.session import Session
from diagnose.dialogue.stages.question import Question
from diagnose.present.screens import Choice
from diagnose.reason.system import System
from tests.case.small import FakeLookup
from tests.dialogue.scripts import say

OUTCOMES = tuple(map(Choice, ("solved", "better", "same", "worse")))


@pytest.mark.parametrize("letter", string.ascii_lowercase)
def test_no_letter_by_itself_is_a_choice(letter: str) -> None:
    assert chosen(letter, OUTCOMES) is None and several(letter, OUTCOMES) is None


@pytest.mark.parametrize(("said", "means"), [("y", "yes"), ("n", "no"), ("nope", "no"), ("yes.", "yes")])
def test_a_short_yes_or_no_is_the_word(said: str, means: str) -> None:
    assert chosen(said, (Choice("yes"), Choice("no"))) == means


@pytest.mark.parametrize(("said", "means"), [
    ("2", "better"), ("bet", "better"), ("Worse.", "worse"), ("5", None), ("0", None), ("bb", None)])
def test_digits_choose_and_words_are_words(said: str, means: str | None) -> None:
    assert chosen(said, OUTCOMES) == means


def test_b_takes_back_and_d_is_dont_know_where_answers_begin_so(session: Session) -> None:
    say(session, "gush", "1", "", "b")
    assert session.screen().kind == "complaint" or session.case.values == {}
    say(session, "restart", "yes", "gush", "1", "", "d")
    assert session.case.unknown == {"last_change"} and session.case.values == {}


def test_a_word_that_stands_on_the_screen_is_the_choice_and_no_command() -> None:
    book = load([]).book
    words = {w for known in COMMANDS.values() for w in known}
    both = [(n, a) for n, o in book.observations.items() for a in o.answers if a in words]
    assert both
    session = Session(System(book), FakeLookup(book))
    for name, answer in both:
        session.over.append(Question(name))
        assert stands_there(answer, session.screen().choices)
        session.take(answer)
        assert session.case.values[name] == answer
