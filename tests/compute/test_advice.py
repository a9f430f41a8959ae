"""Advice put into steps: what it says with and without the person's own notes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute import advice, jobs, water_advice
from diagnose.compute.errors import ComputeError
from diagnose.compute.grinder import Shot
from diagnose.compute.timer import Weighing
from diagnose.compute.upkeep import UseCounts

FINER_UP = [Shot(10, 20, 18, 36), Shot(11, 22, 18, 36), Shot(12, 25, 18, 36), Shot(12, 24.5, 18, 36)]
FINER_DOWN = [replace(s, mark=30 - s.mark) for s in FINER_UP]
WINDOW = {"aim_low_s": 26.0, "aim_high_s": 32.0}


def test_without_notes_a_move_names_no_number_to_turn_to() -> None:
    move = advice.grind_move(shot_time_s=19, **WINDOW)
    assert move.text == "2 to 4 marks finer"
    assert "no shots logged" in move.basis


def test_a_known_direction_says_which_way_the_numbers_go() -> None:
    assert "higher numbers" in advice.grind_move(shot_time_s=19, **WINDOW, marks="higher_finer").text
    assert "lower numbers" in advice.grind_move(shot_time_s=19, **WINDOW, marks="higher_coarser").text
    assert "numbers" not in advice.grind_move(shot_time_s=19, **WINDOW, marks="no_numbers").text


def test_the_shots_tell_the_direction_where_it_is_not_known() -> None:
    assert advice.marks_sign(FINER_UP) == 1
    assert advice.marks_sign(FINER_DOWN) == -1
    assert advice.marks_sign(FINER_UP[:2]) is None
    up = advice.grind_move(shot_time_s=22, **WINDOW, shots=FINER_UP).text
    down = advice.grind_move(shot_time_s=22, **WINDOW, shots=FINER_DOWN).text
    assert "from 12 to about 14" in up or "from 12 to about 15" in up
    assert "from 18 to about 16" in down or "from 18 to about 15" in down


def test_too_slow_turns_the_other_way() -> None:
    assert "coarser, from 12 to about" in advice.grind_move(shot_time_s=40, **WINDOW, shots=FINER_UP).text


def test_a_shot_in_the_window_leaves_the_grind() -> None:
    assert advice.grind_move(shot_time_s=28, **WINDOW).text.startswith("leave the grind")


def test_an_empty_window_is_refused() -> None:
    with pytest.raises(ComputeError):
        advice.grind_move(shot_time_s=19, aim_low_s=32, aim_high_s=26)


def test_seconds_a_mark_finer_adds_whichever_way_the_marks_run() -> None:
    up = advice.seconds_per_mark(shots=FINER_UP)
    down = advice.seconds_per_mark(shots=FINER_DOWN)
    assert up.value > 0
    assert down.value == pytest.approx(up.value)


def test_a_timer_setting_comes_from_the_fresh_dose_where_it_is_alone() -> None:
    found = advice.timer_setting(aim_dose_g=18, dose_g=17, timer_s=9)
    assert found is not None
    assert found.value == pytest.approx(9 * 18 / 17)
    assert found.basis == "from the dose just weighed"


def test_logged_weighings_steady_it_where_they_agree() -> None:
    logged = [Weighing(9, 17.1), Weighing(9, 16.9), Weighing(9, 17.0)]
    found = advice.timer_setting(aim_dose_g=18, dose_g=17, timer_s=9, weighings=logged)
    assert found is not None
    assert found.basis == "from your last 4 weighings"
    assert found.low < found.value < found.high


def test_weighings_of_another_rate_are_left_out_and_that_is_said() -> None:
    found = advice.timer_setting(aim_dose_g=18, dose_g=17, timer_s=9, weighings=[Weighing(9, 20)])
    assert found is not None
    assert found.value == pytest.approx(9 * 18 / 17)
    assert "your last weighing gave another rate" in found.basis


def test_without_any_weighing_there_is_no_setting() -> None:
    assert advice.timer_setting(aim_dose_g=18) is None


@given(st.floats(46, 1000))
def test_a_blend_with_pure_water_has_the_alkalinity_aimed_at(own: float) -> None:
    found = water_advice.blend_litres(alkalinity_mg_l=own, aim_mg_l=45)
    assert found is not None
    assert math.isclose(found.value / water_advice.MIX_L * own, 45)
    assert found.high <= water_advice.MIX_L


def test_water_with_too_little_alkalinity_is_not_blended() -> None:
    assert water_advice.blend_litres(alkalinity_mg_l=30, aim_mg_l=45) is None


def test_litres_a_day_come_from_the_notebook_before_the_drinks_told() -> None:
    use = UseCounts(100, 20.0, 30.0, litres_basis="from your 30 l over 20 days")
    assert water_advice.litres_per_day(use, 50) == (1.5, "from your 30 l over 20 days")
    assert water_advice.litres_per_day(None, 10)[0] == pytest.approx(1.0)  # type: ignore[index]  # not None here
    assert water_advice.litres_per_day(replace(use, days=1.0), None) is None


def test_a_cartridge_lasts_half_as_long_in_water_twice_as_hard() -> None:
    """In proportion: common practice, no source."""
    one = water_advice.cartridge_litres(rated_l=100, rated_hardness_mg_l=180, hardness_mg_l=180)
    two = water_advice.cartridge_litres(rated_l=100, rated_hardness_mg_l=180, hardness_mg_l=360)
    assert one.value == pytest.approx(100)
    assert two.value == pytest.approx(50)


def test_scale_comes_sooner_with_more_water_used() -> None:
    numbers = {"hardness_mg_l": 180.0, "alkalinity_mg_l": 150.0, "boiler_c": 93.0}
    little = water_advice.scale_interval(**numbers, drinks_per_day=5)
    much = water_advice.scale_interval(**numbers, drinks_per_day=20)
    assert little is not None and much is not None
    assert much.value == pytest.approx(little.value / 4)
    assert water_advice.scale_interval(**numbers) is None


def test_hardness_is_said_in_the_units_of_labels() -> None:
    """A German degree is 10 mg of CaO in a litre, by definition; molar masses after IUPAC."""
    assert water_advice.hardness_words(hardness_mg_l=178.48).text == (
        "hard, 178 mg/L as CaCO3 (10 °dH, 18 °fH)")


def test_upkeep_names_what_is_most_urgent_and_why() -> None:
    use = UseCounts(120, 30.0, done={"detergent": {"shots": 118, "days": 29.0}})
    found = jobs.upkeep_due(use=use)
    assert found is not None
    assert found.text.startswith("wash the tank now")
    assert found.basis.startswith("from your 120 shots over 30 days")
    assert jobs.upkeep_due(use=UseCounts(2, 1.0)) is None
    assert jobs.upkeep_due() is None


def test_the_houses_own_interval_takes_the_usual_ones_place() -> None:
    use = UseCounts(10, 8.0)
    strict = {r.name: r for r in jobs.due(use, detergent_days=5)}
    easy = {r.name: r for r in jobs.due(use, detergent_days=14)}
    assert strict["detergent"].overdue and not easy["detergent"].overdue


def test_every_life_belongs_to_a_named_job() -> None:
    assert set(jobs.LIVES) <= set(jobs.NAMES)


def test_drift_and_age_in_words() -> None:
    steady = [Weighing(9, 17.9), Weighing(9, 18.1), Weighing(9, 18), Weighing(9, 18.1), Weighing(9, 17.9)]
    drifting = [*steady, *(Weighing(9, 17.0) for _ in range(6))]
    assert advice.timer_drift(weighings=steady) is None
    found = advice.timer_drift(weighings=drifting)
    assert found is not None and "less coffee a second" in found.text
    phase = advice.bean_phase(roast="black", days=2)
    assert phase is not None and phase.text.startswith("too fresh")
    assert advice.bean_phase(roast="unknown", days=2) is None
