"""What a confirmed complaint has answered already is not asked."""

from __future__ import annotations

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.reason.system import System


@pytest.fixture(scope="module")
def system() -> System:
    return System(load([]).book)


@pytest.mark.parametrize("symptom, question", [
    ("taste_bitter", "taste"), ("foam_dry", "foam_look"), ("no_crema", "crema_look")])
def test_a_question_of_which_one_answer_says_the_complaint_again_is_not_asked(
        system: System, symptom: str, question: str) -> None:
    case = Case(system)
    case.complain("", (symptom,))
    assert question in case.state.closed


def test_words_that_nobody_confirmed_leave_the_question_open(system: System) -> None:
    case = Case(system)
    case.complain("", ("taste_bitter",), read=True)
    assert "taste" not in case.state.closed


@pytest.mark.parametrize("symptom, question", [
    ("water_coloured", "water_tint"), ("trips_breaker", "danger_sign")])
def test_a_question_that_has_more_to_tell_stays_open(system: System, symptom: str, question: str) -> None:
    """Which of several colours, and what other signs of danger there are."""
    case = Case(system)
    case.complain("", (symptom,))
    assert question not in case.state.closed


@pytest.mark.parametrize("known, question", [
    ({"grind_same": "same"}, "grind_change_result"), ({"beans_same": "same"}, "bag_history"),
    ({"ever_worked": "never"}, "onset")])
def test_what_an_answer_has_settled_is_not_asked_in_other_words(
        system: System, known: dict[str, str], question: str) -> None:
    case = Case(system)
    case.complain("", ("shot_too_fast",))
    assert question not in case.state.closed
    for name, value in known.items():
        case.answer(name, value)
    assert question in case.state.closed


def test_what_a_grinder_that_gives_nothing_tastes_of_is_not_asked(system: System) -> None:
    case = Case(system)
    case.complain("", ("grinder_feeds_nothing",))
    assert "taste" in case.state.closed
