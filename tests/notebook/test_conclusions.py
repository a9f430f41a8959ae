"""Three made-up notebooks: what may be concluded from each, and what may not."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.notebook import exchange, together, trends
from diagnose.notebook.store import Notebook, add_all
from tests.notebook.rows import NOW, fill, row, shot

DEMO = Path(__file__).parents[2] / "demo" / "notebooks"


def _said(tmp_path: Path, name: str, trend: str) -> str:
    notebook = Notebook(tmp_path / "notebook.sqlite")
    add_all(notebook, exchange.read(DEMO / f"{name}.csv", None, NOW), False)
    return trends.TRENDS[trend](notebook, NOW).sentence


@pytest.mark.parametrize(("name", "trend", "may", "may_not"), [
    ("one-grinder", "time", "a higher number is finer", "alone"),
    ("one-grinder", "rest", "at mark 12 (from 7 shots, day 7 to 13)", "together"),
    ("moved-together", "time", "the dose and the yield change together with the mark", "One mark up"),
    ("moved-together", "rest", "Too few shots at one mark", "Each day"),
    ("two-grinders", "time", "the grinder 'left' alone; 5 more are of another, or it is not clear", "So a"),
    ("two-grinders", "rest", "No shot with a roast date", "Each day"),
])
def test_what_a_notebook_lets_one_say(
        tmp_path: Path, name: str, trend: str, may: str, may_not: str) -> None:
    said = _said(tmp_path, name, trend)
    assert may in said and may_not not in said


def test_one_shot_without_a_grinder_is_said_to_be_left_out(tmp_path: Path) -> None:
    notebook = Notebook(tmp_path / "notebook.sqlite")
    fill(notebook, "shots", [shot(5, 30, 28.0, grinder="old"), *(shot(d, 10 + d, 30.0 - d, grinder="new")
                                                               for d in (4, 3, 2)), shot(1, 12, 26.0)])
    assert "'new' alone; 2 more are of another" in trends.time(notebook, NOW).sentence


def test_beans_changed_with_every_mark_can_t_be_told_from_it(tmp_path: Path) -> None:
    notebook = Notebook(tmp_path / "notebook.sqlite")
    fill(notebook, "shots", [shot(d, 10 + d, 30.0 - d, beans=f"bag {d}") for d in range(4)])
    assert "the beans change together with the mark" in trends.time(notebook, NOW).sentence


def test_a_drift_that_went_with_the_mark_is_none(tmp_path: Path) -> None:
    notebook = Notebook(tmp_path / "notebook.sqlite")
    fill(notebook, "weighings", [row("weighings", 20 - i, timer_s=9.0, dose_g=18.5 - 0.15 * i, mark=10 + i)
                                 for i in range(12)])
    assert "can't tell which of drift and mark" in trends.dose(notebook, NOW).sentence


def test_bags_are_not_mixed_when_age_is_told(tmp_path: Path) -> None:
    notebook = Notebook(tmp_path / "notebook.sqlite")
    fill(notebook, "shots", [shot(d, 12, 30.0 - 0.5 * (9 - d), roast_date="2026-03-10") for d in range(6)])
    fill(notebook, "shots", [shot(d + 0.5, 12, 50.0, roast_date="2026-02-10") for d in range(3)])
    said = trends.rest(notebook, NOW).sentence
    assert "0.5 s faster" in said and "of one bag of 2" in said


@pytest.mark.parametrize(("xs", "ys", "is_"), [
    ([1, 2, 3, 4], [2, 4, 6, 8], 1.0), ([1, 2, 3], [3, 2, 1], -1.0), ([1, 2, 3], [5, 5, 5], 0.0),
    ([1, 2, 2, 3], [1, 2, 3, 4], 0.9487)])
def test_rank_correlation(xs: list[float], ys: list[float], is_: float) -> None:
    assert together.correlation(xs, ys) == pytest.approx(is_, abs=1e-4)
