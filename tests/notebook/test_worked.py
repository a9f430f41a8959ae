"""Worked examples on the shipped book: the same answers, and what the notebook changes in the fix.

The entries are invented; the sums are done by hand beside each example.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from pathlib import Path

import pytest

from diagnose.book.book import Book
from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.notebook.store import Notebook
from diagnose.notebook.wire import prepare, system_for
from diagnose.present.fill import fill
from tests.notebook.rows import CURVE, NOW, row, shot
from tests.notebook.rows import fill as keep


@pytest.fixture(scope="module")
def book() -> Book:
    return load().book


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    return Notebook(tmp_path / "notebook.sqlite")


def steps(book: Book, notebook: Notebook, remedy: str, **answers: str) -> str:
    """The remedy's steps for these answers, with this notebook."""
    system, unread = system_for(book, notebook.path, NOW)
    assert not unread
    case = Case(system, today=NOW.date())
    prepare(case, notebook.path)
    for name, value in answers.items():
        case.answer(name, value)
    return " ".join(fill(case.inference, remedy).steps)


def test_a_grind_move_from_own_shots(book: Book, notebook: Notebook) -> None:
    """Five shots, log time on mark with slope about 0.11, last mark 13.

    From 22 s to the middle of 26 to 32 s is log(28.8/22) = 0.27 of log time: 0.27 / 0.11 is
    2.4 marks, so from 13 to about 15. Without shots: a default span, and no number to go to.
    """
    answers = {"shot_time": "22 s", "dose": "18 g", "drink_mass": "36 g"}
    before = steps(book, notebook, "grind_finer", **answers)
    assert "1 to 4 marks finer" in before and "from your" not in before
    keep(notebook, "shots", CURVE)
    slope = math.log(28.0 / 20.0) / 3
    assert round(13 + math.log(math.sqrt(26 * 32) / 22) / slope) == 15
    after = steps(book, notebook, "grind_finer", **answers)
    assert "marks finer, from 13 to about 15" in after and "from your last 5 shots" in after


def test_a_grinder_whose_numbers_run_the_other_way(book: Book, notebook: Notebook) -> None:
    keep(notebook, "equipment", [row("equipment", name="marks_direction", value="higher_coarser")])
    assert "towards lower numbers" in steps(book, notebook, "grind_finer", shot_time="19 s")
    keep(notebook, "shots", [s | {"mark": 30 - s["mark"]} for s in CURVE])
    assert "from 17 to about 15" in steps(book, notebook, "grind_finer", shot_time="22 s")


def test_a_timer_setting_from_own_weighings(book: Book, notebook: Notebook) -> None:
    """17.6 g in 9.0 s just weighed: 18 x 9.0 / 17.6 = 9.2 s. With two weighings of 17.4 g and
    17.2 g in 9.0 s the middle rate is 17.4 / 9.0, and 18 g take 9.3 s."""
    answers = {"timer_time": "9 s", "timer_dose": "17.6 g"}
    assert "Set the timer to 9.2 s for" in steps(book, notebook, "reset_timer", **answers)
    keep(notebook, "weighings", [row("weighings", d, timer_s=9.0, dose_g=g)
                                 for d, g in ((2, 17.4), (1, 17.2))])
    after = steps(book, notebook, "reset_timer", **answers)
    assert "Set the timer to 9.3 s (9.2 to 9.4 s; from your last 3 weighings)" in after


def test_a_timer_setting_from_the_notebook_alone(book: Book, notebook: Notebook) -> None:
    """18 g at 17.4 g in 9.0 s take 9.3 s."""
    assert "the old seconds times" in steps(book, notebook, "reset_timer")
    keep(notebook, "weighings", [row("weighings", 1, timer_s=9.0, dose_g=17.4)])
    assert "Set the timer to 9.3 s (from your last weighing)" in steps(book, notebook, "reset_timer")


def test_the_time_to_scale_follows_the_litres_noted(book: Book, notebook: Notebook) -> None:
    """Twice the water in the same days is half the time; from the same sums either way."""
    answers = {"water_hardness": "250 mg/L CaCO3", "water_alkalinity": "200 mg/L CaCO3"}
    assert "10 g divided by that" in steps(book, notebook, "leave_descaling", **answers)
    start = NOW - timedelta(days=20)
    keep(notebook, "waters", [row("waters", 20, litres=20.0), row("waters", 0, litres=20.0)])
    once = _days(steps(book, notebook, "leave_descaling", **answers))
    keep(notebook, "waters", [row("waters", 10, litres=40.0)])
    twice = _days(steps(book, notebook, "leave_descaling", **answers))
    assert start < NOW and once == pytest.approx(2 * twice, rel=0.05)


def _days(text: str) -> float:
    said = text.split("Time until 10 g could have settled: ")[1]
    assert "from your" in said
    return float(said.split(" ")[0])


def test_what_is_due_next_follows_the_cleanings_noted(book: Book, notebook: Notebook) -> None:
    """60 shots without a detergent clean, of 50: due. After one it is the tank, of 7 days."""
    assert "nothing is noted yet" in steps(book, notebook, "upkeep_plan_by_use")
    keep(notebook, "shots", [shot(d / 10) for d in range(60)])
    assert "clean group and basket with detergent now" in steps(book, notebook, "upkeep_plan_by_use")
    keep(notebook, "cleanings", [row("cleanings", 0, what="detergent")])
    after = steps(book, notebook, "upkeep_plan_by_use")
    assert "wash the tank in 1 day" in after and "detergent now" not in after


def test_the_book_stands_without_a_notebook(book: Book) -> None:
    system, unread = system_for(book)
    assert not unread and not system.history.shots and date.today()
