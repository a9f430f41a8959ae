"""Trends: the sentence first, the picture within 78 columns, and both right."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.notebook import memory, trends
from diagnose.notebook.plot import Plot, axis, draw
from diagnose.notebook.store import Notebook
from tests.notebook.rows import CURVE, NOW, fill, row, shot


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    return Notebook(tmp_path / "notebook.sqlite")


def test_time_against_mark_says_what_one_mark_does(notebook: Notebook) -> None:
    fill(notebook, "shots", [s | {"at": CURVE[0]["at"]} for s in CURVE])
    found = trends.time(notebook, NOW)
    assert re.match(r"One mark up makes the shot about 2\.\d s slower", found.sentence)
    assert found.sentence.endswith("So a higher number is finer on this grinder.")
    assert found.points[0] == (10, 20.0)
    assert found.line[0][0] == 10 and found.line[-1][0] == 13


def test_marks_that_went_with_the_days_allow_for_the_beans_age(notebook: Notebook) -> None:
    """From 20 s to 28 s over three marks and four days: beans that ran faster by the day hide
    part of what the marks did."""
    fill(notebook, "shots", CURVE)
    found = trends.time(notebook, NOW).sentence
    assert re.match(r"One mark up makes the shot about 3\.\d s slower", found)
    assert "the beans' age allowed for" in found


def test_marks_that_went_one_way_while_the_beans_aged_tell_nothing(notebook: Notebook) -> None:
    """Finer by half a mark every other day, and faster all the same: which did it?"""
    fill(notebook, "shots", [shot(13 - d, 12 - d / 4, 30.0 - 0.5 * d) for d in range(0, 14, 2)])
    found = trends.time(notebook, NOW)
    assert "do not show yet" in found.sentence and "two shots on one day" in found.sentence
    assert not found.line


def test_a_direction_noted_that_the_shots_speak_against_is_questioned(notebook: Notebook) -> None:
    fill(notebook, "shots", [s | {"at": CURVE[0]["at"]} for s in CURVE])
    fill(notebook, "equipment", [row("equipment", name="marks_direction", value="higher_coarser")])
    said = trends.time(notebook, NOW).sentence
    assert "as the shots show; but you noted that a lower number is finer" in said


def test_the_bag_is_the_beans_and_their_roast() -> None:
    one = memory.shot(shot(beans="House  blend", roast_date="2026-03-20"))
    assert one.bag == "house blend 2026-03-20" and memory.shot(shot()).bag == ""


def test_few_shots_make_no_claim(notebook: Notebook) -> None:
    fill(notebook, "shots", CURVE[:2])
    assert trends.time(notebook, NOW).sentence.startswith("Too little is logged")
    assert trends.time(notebook, NOW).line == []


def test_drift_of_the_dose_is_told_from_scatter(notebook: Notebook) -> None:
    rows = [row("weighings", 20 - i, timer_s=9.0, dose_g=18.0 + 0.1 * (i % 2)) for i in range(6)]
    fill(notebook, "weighings", rows)
    assert "steady" in trends.dose(notebook, NOW).sentence
    fill(notebook, "weighings", [row("weighings", 10 - i, timer_s=9.0, dose_g=17.0) for i in range(6)])
    assert "drifted" in trends.dose(notebook, NOW).sentence


def test_age_of_the_beans_shows_in_the_time(notebook: Notebook) -> None:
    roasted = (NOW - timedelta(days=20)).date().isoformat()
    fill(notebook, "shots", [shot(12 - d, 12, 32.0 - 0.5 * d, roast_date=roasted) for d in range(12)])
    said = trends.rest(notebook, NOW).sentence
    assert "0.5 s faster" in said


def test_the_scale_forecast_follows_water_and_use(notebook: Notebook) -> None:
    fill(notebook, "waters", [row("waters", 20, litres=40.0, hardness_mg_l=250.0, alkalinity_mg_l=200.0)])
    found = trends.scale_forecast(notebook, NOW)
    assert "2.0 l a day" in found.sentence and "only its leaflet" in found.sentence
    assert found.points[0] == (0.0, 0.0)
    weekly = found.points[1][1]
    assert found.points[4][1] == pytest.approx(4 * weekly)


def test_only_the_grinder_used_last_counts(notebook: Notebook) -> None:
    fill(notebook, "shots", [*CURVE, shot(0, 3, 28.0, grinder="the new one")])
    assert list(memory.history(notebook.path, NOW).shots) == [memory.shot(shot(0, 3, 28.0))]


def test_shots_without_a_mark_count_for_upkeep_only(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(10, None), shot(5, 12)])
    found = memory.history(notebook.path, NOW)
    assert len(found.shots) == 1 and found.use.shots == 2


def test_use_counts_what_came_before_each_cleaning(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(d) for d in range(10)])
    fill(notebook, "cleanings", [row("cleanings", 4.5, what="detergent"),
                                 row("cleanings", 8.5, what="detergent")])
    use = memory.use(notebook, NOW)
    assert use is not None
    assert (use.shots, use.days) == (10, 9.0)
    assert use.done["detergent"] == pytest.approx({"shots": 5, "litres": 0.5, "days": 4.5, "kg": 0.09})
    assert use.litres == pytest.approx(1.0) and "at 0.1 l each" in use.litres_basis


def test_litres_logged_take_the_place_of_the_guess(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(d) for d in range(10)])
    fill(notebook, "waters", [row("waters", 9, litres=2.0), row("waters", 3, litres=2.5)])
    use = memory.use(notebook, NOW)
    assert use is not None and use.litres == 4.5 and use.litres_basis == "from your 4 l over 9 days"


def test_the_latest_word_on_the_water_counts(notebook: Notebook) -> None:
    fill(notebook, "equipment", [row("equipment", 5, name="water_hardness", value="90.0 mg/L CaCO3")])
    fill(notebook, "waters", [row("waters", 9, hardness_mg_l=250.0, ph=7.5)])
    assert memory.known_equipment(notebook.path) == {
        "water_hardness": "90.0 mg/L CaCO3", "water_ph": "7.5 count"}
    fill(notebook, "waters", [row("waters", 1, hardness_mg_l=120.0)])
    assert memory.known_equipment(notebook.path)["water_hardness"] == "120.0 mg/L CaCO3"


numbers = st.floats(-1e6, 1e6)


@given(st.lists(st.tuples(numbers, numbers), min_size=1, max_size=30))
def test_a_plot_fits_the_screen_and_holds_every_point(points: list[tuple[float, float]]) -> None:
    drawn = draw(Plot("A sentence that says it. " * 6, "marks", "s", points))
    lines = drawn.split("\n")
    assert max(map(len, lines)) <= 80 and len(lines) <= 22
    assert lines[0].startswith("A sentence")
    assert drawn.isascii()
    places = sum(line.split("|", 1)[1].count(c) for line in lines if "|" in line for c in "*+")
    assert 1 <= places <= len(points)


@given(st.lists(numbers, min_size=1, max_size=20))
def test_an_axis_holds_its_values_and_starts_no_lower_than_needed(values: list[float]) -> None:
    low, high = axis(values)
    assert low <= min(values) + 1e-6 and high >= max(values) - 1e-6 and low < high
    assert low >= 0 or min(values) < 0


def test_a_shot_that_names_no_grinder_belongs_to_the_only_one(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(d, grinder="mill" if d else None, roast_date="2026-03-01", time=28.0 + d)
                             for d in range(6)])
    assert len(trends.rest(notebook, NOW).points) == 6
    assert len(memory.history(notebook.path, NOW).shots) == 6


def test_of_two_grinders_a_shot_that_names_none_is_left_out(notebook: Notebook) -> None:
    names = ["mill", "other", None]
    fill(notebook, "shots", [shot(d, grinder=names[d % 3], time=28.0 + d) for d in range(6)])
    assert len(trends.time(notebook, NOW).points) == 2


def test_what_only_the_grind_explains_is_not_put_down_to_age(notebook: Notebook) -> None:
    """A mark finer each day, 3 s a mark: by day the shots get slower, at one mark they don't."""
    fill(notebook, "shots", [shot(8 - d, 10 + d, 20.0 + 3 * d, roast_date="2026-03-10") for d in range(8)])
    said = trends.rest(notebook, NOW).sentence
    assert said == "Too few shots at one mark (1) to tell what age does from what the grind did."


def test_what_age_does_is_told_from_the_shots_at_one_mark(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(8 - d, 12, 30.0 - d, roast_date="2026-03-10") for d in range(8)])
    fill(notebook, "shots", [shot(d, 15 + d, 60.0, roast_date="2026-03-10") for d in range(3)])
    said = trends.rest(notebook, NOW).sentence
    assert "1.0 s faster, at mark 12 (from 8 shots, day 13 to 20)" in said


def test_where_no_mark_is_logged_what_else_was_changed_is_left_open(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(8 - d, None, 30.0 - d, roast_date="2026-03-10") for d in range(8)])
    said = trends.rest(notebook, NOW).sentence
    assert "No mark was noted, so a turn of the grinder may have done it" in said
