"""Figures told in a question, reckoned with: the verdict, the size of the step, the aim."""

from __future__ import annotations

import pytest

from diagnose.compute import worked
from diagnose.compute.errors import ComputeError
from diagnose.compute.grinder import Shot

WINDOW = {"aim_low_s": 26.0, "aim_high_s": 32.0, "single_low_s": 26.0, "single_high_s": 30.0,
          "single_dose_g": 10.0, "ratio": 2.0}


def _finer(time: float, dose: float | None = None, drink: float | None = None, **more: object) -> str:
    return worked.finer_or_coarser(shot_time_s=time, dose_g=dose, yield_g=drink, **WINDOW, **more).text


def test_a_shot_just_too_fast_is_one_small_mark_from_the_window() -> None:
    assert _finer(24, 20, 40) == (
        "Finer, one small mark: 24 s is under the window of 26 to 32 s. That should bring 26 to 28 s.")


@pytest.mark.parametrize(("time", "begins"), [
    (18, "Finer, about "), (29, "Neither: leave the grind"), (26, "Neither"), (32, "Neither"),
    (33, "Coarser, one small mark"), (45, "Coarser, about 3 marks"),
    (9, "Finer, two or three marks at a time")])
def test_the_verdict_comes_first(time: float, begins: str) -> None:
    assert _finer(time, 18, 36).startswith(begins)


def test_a_drink_that_is_longer_than_aimed_for_is_judged_at_the_drink_aimed_for() -> None:
    said = _finer(30, 18, 50)
    assert said.startswith("Finer") and "22 s for 36 g" in said and "under the window" in said
    assert _finer(30, 18, 37).startswith("Neither")


def test_a_single_has_its_own_window() -> None:
    assert _finer(31, 9, 18).startswith("Coarser") and "26 to 30 s" in _finer(31, 9, 18)
    assert _finer(31, 18, 36).startswith("Neither")


def test_the_own_shots_tell_how_much_a_mark_does() -> None:
    steep = [Shot(mark, 20 * 1.3 ** (mark - 10), 18, 36) for mark in (10, 11, 12, 13)]
    flat = [Shot(mark, 20 * 1.02 ** (mark - 10), 18, 36) for mark in (10, 11, 12, 13)]
    assert "one small mark" in _finer(21, shots=steep) and "two or three marks" in _finer(21, shots=flat)


def test_no_time_is_refused() -> None:
    with pytest.raises(ComputeError):
        _finer(0)


def test_a_single_dose_gives_its_drink() -> None:
    said = worked.drink_from_dose(dose_g=10, **WINDOW).text
    assert said == "From 10 g stop at 20 g in the cup (1 to 2), in 26 to 30 s."


@pytest.mark.parametrize(("drink", "words"), [
    (36, "inside the window"), (45, "longer than 1 to 2: that would be 36 g"), (25, "shorter than 1 to 2")])
def test_a_ratio_is_held_against_the_window(drink: float, words: str) -> None:
    assert words in worked.ratio_told(dose_g=18, yield_g=drink, low=1.8, high=2.3, ratio=2).text


def test_a_timer_is_reset_for_the_dose_it_gave_before() -> None:
    told = {"dose_g": 19.0, "timer_s": 5.2, "aim_dose_g": 18.0}
    assert worked.timer_reset(**told, wanted_g=20.0).text == (
        "Set the timer to 5.5 s: 19 g came in 5.2 s, and you want 20 g.")
    assert worked.timer_reset(**told).text.startswith("Set the timer to 4.9 s")


@pytest.mark.parametrize(("hardness", "begins"), [
    (30, "No softening: your water has only"), (90, "No softening needed"), (150, "Yes, soften it"),
    (393, "Yes, and more than a small cartridge")])
def test_a_hardness_is_held_against_the_window(hardness: float, begins: str) -> None:
    assert worked.hardness_told(hardness_mg_l=hardness, low_mg_l=50, high_mg_l=120).text.startswith(begins)


@pytest.mark.parametrize(("days", "begins"), [(3, "Wait 3 days more"), (20, "Use them now"),
                                              (50, "They are past their best")])
def test_beans_are_held_against_their_days(days: float, begins: str) -> None:
    said = worked.beans_told(days=days, rest_low=6, rest_high=12, fresh_high=42).text
    assert said.startswith(begins)


def test_beans_for_a_fortnight_come_in_whole_bags() -> None:
    assert worked.beans_to_buy(drinks_per_day=3, dose_g=18).text.startswith("About 750 g")
    assert worked.beans_to_buy(drinks_per_day=0.5, dose_g=18).text.startswith("About 250 g")


def test_a_jug_takes_a_third_to_a_half() -> None:
    assert worked.jug_told(jug_ml=350).text == "Into a jug of 350 ml go 117 to 175 ml of cold milk."


def test_short_and_long_drinks_come_from_the_dose() -> None:
    assert worked.short_and_long(dose_g=16).text == (
        "From 16 g: ristretto 16 g to 24 g, espresso 32 g, lungo 48 g or a little more.")


@pytest.mark.parametrize(("hardness", "often"), [
    (60, "once or twice a year"), (150, "every two to three months"), (285, "every month or two")])
def test_descaling_goes_by_the_hardness(hardness: float, often: str) -> None:
    assert often in worked.descale_told(hardness_mg_l=hardness, low_mg_l=50, high_mg_l=120).text


@pytest.mark.parametrize(("pressure", "time", "words"), [
    (9, None, "is right"), (5, 14.0, "grind finer before you doubt the pump"), (5, None, "try the blind basket"),
    (12, 45.0, "grind coarser first"), (12, None, "may be the gauge")])
def test_a_low_gauge_in_a_gushing_shot_is_the_grind(pressure: float, time: float | None, words: str) -> None:
    said = worked.pressure_told(pressure_bar=pressure, low_bar=8, high_bar=10, aim_low_s=26, aim_high_s=32,
                                shot_time_s=time).text
    assert words in said
