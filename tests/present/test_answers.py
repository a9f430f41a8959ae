"""Answers as data: numbers put in, the question's own figures first, and what a case decides."""

from __future__ import annotations

from typing import Any

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.mail.reading import case_of
from diagnose.present.parts import CautionData, PracticeAnswer
from diagnose.present.worked_answer import answers, brief, of_case
from diagnose.reading.complaint import understand
from diagnose.reading.questions import Asked, asked
from diagnose.reason.system import System


@pytest.fixture(scope="module")
def shipped() -> System:
    return System(load().book)


def _told(system: System, text: str) -> list[PracticeAnswer]:
    return answers(system.book, text, asked(system.book, text))


def test_figures_in_the_question_are_answered_first(shipped: System) -> None:
    (one,) = _told(shipped, "24 s with 20 g in and 40 g out: finer or coarser?")
    assert one.first == (
        "Finer, one small mark: 24 s is under the window of 26 to 32 s. That should bring 26 to 28 s.")
    assert not one.ask_back


@pytest.mark.parametrize(("text", "first"), [
    ("10 g of coffee in it: what dose, ratio and grind does the single basket want?",
     "From 10 g stop at 20 g"),
    ("I went finer and now the timer gives me less coffee, 19 g for 20 at 5.2 s, is that normal?",
     "Set the timer to 5.5 s"),
    ("My water has 14 °dH, do I need a filter for hard water?", "Yes, and more than a small cartridge"),
])
def test_each_kind_of_figure(shipped: System, text: str, first: str) -> None:
    assert [one.first[:len(first)] for one in _told(shipped, text)] == [first]


def test_without_figures_nothing_is_reckoned_and_the_house_s_numbers_stand_in_it(shipped: System) -> None:
    (one,) = _told(shipped, "Do I go finer or coarser?")
    assert not one.first and "less than 26 s" in one.answer and one.ask_back


def test_no_number_is_left_unfilled_in_any_answer(shipped: System) -> None:
    book = shipped.book
    for name, stated in book.practice.items():
        (one,) = answers(book, stated.asks, [Asked(name, 1.0, (stated.asks,))])
        said = " ".join(getattr(one, k) for k in ("answer", "numbers", "depends", "now", "maker", "ask_back"))
        assert "{" not in said and "%)" not in one.answer.split(".")[0], name  # no chance before advice


def test_a_house_target_moves_the_answer(tmp_path: Any) -> None:
    (tmp_path / "t.yaml").write_text(
        "schema: 1\nchapter: ours\ntitle: Ours\ntargets:\n"
        "  shot_time: {label: shot time, unit: s, value: 22, low: 20, high: 24, source: house, "
        "replaces: 'yes'}\n")
    system = System(load([str(tmp_path)]).book)
    (one,) = _told(system, "24 s with 18 g in and 36 g out: finer or coarser?")
    assert one.first.startswith("Neither") and "20 to 24 s" in one.first


def _case(system: System, text: str) -> Case:
    found = understand(system.book, text)
    return case_of(system, None, found.symptoms, found.values, text)


def _first(system: System, trouble: str, entry: str) -> str:
    case = _case(system, trouble)
    return of_case(case, "", [Asked(entry, 1.0, ("so?",))])[0].first


def test_inside_a_trouble_the_fix_says_which_way(shipped: System) -> None:
    assert _first(shipped, "The shot gushes out, thin and pale.", "finer_or_coarser").startswith("Finer: ")


def test_inside_a_hazard_it_is_not_gone_on_with(shipped: System) -> None:
    trouble = "The machine gives me a shock when I touch the metal."
    assert _first(shipped, trouble, "go_on_till_friday").startswith("No, leave it off: ")
    assert _first(shipped, trouble, "did_i_break_it").startswith("Something may be broken")
    assert not _first(shipped, trouble, "grinder_or_me")


def test_with_a_trouble_of_taste_it_may_be_gone_on_with(shipped: System) -> None:
    assert _first(shipped, "My coffee tastes sour.", "go_on_till_friday").startswith("Yes: ")


def test_with_water_under_it_nothing_is_promised(shipped: System) -> None:
    assert not _first(shipped, "There is water under the machine.", "go_on_till_friday").startswith("Yes")


def test_without_a_trouble_the_general_answer_stands_alone(shipped: System) -> None:
    (one,) = of_case(Case(shipped), "Can I go on using it until the repair on Friday?",
                     [Asked("go_on_till_friday", 1.0, ("x",))])
    assert not one.first


def test_a_caution_beside_an_answer_is_cut_to_its_beginning() -> None:
    cut = brief(CautionData("x", "WARNING", "It is hot. Very.", "Wait. Look. Go."))
    assert (cut.text, cut.avoid) == ("It is hot.", "Wait. Look.")
