"""The arithmetic of a shot, against published definitions and worked examples."""

from __future__ import annotations

import math

import pytest
from checks import COMMON_PRACTICE, VERIFIED_COMPUTED, VERIFIED_PAGE, Check, agrees, describe
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute import shot
from diagnose.compute.effect import Effect
from diagnose.compute.errors import ComputeError

ARITHMETIC = "plain arithmetic on strength x yield / dose"
CHART = "Coffee brewing control chart explainer, worked example (Lockhart 1957 lineage)"
ASSOCIATION = "Specialty Coffee Association definition in Cameron et al., Matter 2 (2020) 631-648"
ITALIAN = "Istituto Nazionale Espresso Italiano, certified Italian espresso"


def _extraction(dose_g: float, yield_g: float, tds_percent: float):
    return lambda: shot.extraction_yield_percent(
        dose_g=dose_g, yield_g=yield_g, tds_percent=tds_percent
    )


def _flow(yield_g: float, shot_time_s: float):
    return lambda: shot.mass_flow_g_s(yield_g=yield_g, shot_time_s=shot_time_s)


CHECKS = [
    # 4 oz coffee, 64 oz water, 1.5 oz held by each oz of coffee: 58 oz in the cup.
    Check(
        "S01", "extraction of a brew, %", _extraction(4, 58, 1.3), 18.85, 0.01, CHART, VERIFIED_PAGE
    ),
    Check(
        "S02",
        "extraction 18 g, 36 g, 10 %",
        _extraction(18, 36, 10),
        20.0,
        1e-9,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S03",
        "extraction 18 g, 40 g, 9 %",
        _extraction(18, 40, 9),
        20.0,
        1e-9,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S04",
        "extraction 20 g, 40 g, 9.5 %",
        _extraction(20, 40, 9.5),
        19.0,
        1e-9,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S05",
        "extraction 14 g, 28 g, 10.5 %",
        _extraction(14, 28, 10.5),
        21.0,
        1e-9,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S06",
        "extraction 18 g, 27 g, 10 %",
        _extraction(18, 27, 10),
        15.0,
        1e-9,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S07",
        "extraction after 1 g less dose",
        _extraction(17, 36, 10),
        21.1765,
        1e-4,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S08", "flow 36 g in 28 s", _flow(36, 28), 1.2857, 1e-4, "yield / time", VERIFIED_COMPUTED
    ),
    Check("S09", "flow 36 g in 45 s", _flow(36, 45), 0.8, 1e-9, "yield / time", VERIFIED_COMPUTED),
    Check(
        "S10",
        "slowest certified single, ml as g",
        _flow(22.5, 30),
        0.75,
        1e-9,
        ITALIAN,
        VERIFIED_PAGE,
    ),
    Check(
        "S15",
        "fastest certified single, ml as g",
        _flow(27.5, 20),
        1.375,
        1e-9,
        ITALIAN,
        VERIFIED_PAGE,
    ),
    Check(
        "S11",
        "lightest weight of 25 ml with crema, g",
        lambda: shot.volume_to_mass(volume_ml=25).low,
        20.0,
        1e-9,
        ASSOCIATION,
        VERIFIED_PAGE,
    ),
    Check(
        "S12",
        "weight of 35 ml with crema, g",
        lambda: shot.volume_to_mass(volume_ml=35).value,
        30.0,
        1.0,
        ASSOCIATION,
        VERIFIED_PAGE,
    ),
    Check(
        "S13",
        "strength at 18 % in 36 g from 18 g, %",
        lambda: shot.strength_percent(dose_g=18, yield_g=36, extraction_percent=18),
        9.0,
        1e-9,
        ARITHMETIC,
        VERIFIED_COMPUTED,
    ),
    Check(
        "S14",
        "middle of a normal brew ratio",
        lambda: shot.brew_ratio(dose_g=18, yield_g=40),
        2.25,
        0.25,
        "1 to 2 up to 1 to 2.5 is called normal",
        COMMON_PRACTICE,
    ),
]

weights = st.floats(0.5, 500)


def test_the_most_that_dissolves_is_the_most_ever_measured():
    """Complete extraction gave 29, 30, 32 and 36 % (Lockhart 1957, as quoted by a teacher)."""
    full = {"dose_g": 18, "yield_g": 36}
    assert shot.extraction_yield_percent(**full, tds_percent=18) == pytest.approx(36)
    with pytest.raises(ComputeError, match="more than water can dissolve"):
        shot.extraction_yield_percent(**full, tds_percent=18.1)


@pytest.mark.parametrize("check", [c for c in CHECKS if c.hard], ids=lambda c: c.id)
def test_agrees_with_the_source(check):
    assert agrees(check), describe(check)


@given(weights, st.floats(0.2, 20))
def test_dose_yield_and_ratio_round_trip(dose, ratio):
    drink = shot.yield_for(dose_g=dose, ratio=ratio)
    assert math.isclose(shot.dose_for(yield_g=drink, ratio=ratio), dose, rel_tol=1e-12)
    assert abs(shot.consistency(dose_g=dose, yield_g=drink, ratio=ratio)) < 1e-12


@given(weights, st.floats(0.5, 10), st.floats(0, 36))
def test_what_is_dissolved_is_conserved(dose, ratio, extraction):
    drink = dose * ratio
    strength = shot.strength_percent(dose_g=dose, yield_g=drink, extraction_percent=extraction)
    assert math.isclose(strength * drink, extraction * dose, rel_tol=1e-9, abs_tol=1e-12)
    if extraction < 35.9:
        back = shot.extraction_yield_percent(dose_g=dose, yield_g=drink, tds_percent=strength)
        assert math.isclose(back, extraction, rel_tol=1e-9, abs_tol=1e-12)


@given(st.floats(5, 120), weights, st.floats(0.5, 2))
def test_scaling_the_time_keeps_the_flow(time, drink, factor):
    scaled = shot.scaled_time(shot_time_s=time, yield_g=drink, aim_yield_g=drink * factor)
    flow = shot.mass_flow_g_s(yield_g=drink * factor, shot_time_s=scaled)
    assert math.isclose(flow, drink / time, rel_tol=1e-9)


@given(st.floats(5, 60), st.floats(0, 4.9))
def test_both_clocks_differ_by_the_preinfusion(time, wetting):
    for counted in (True, False):
        known = {"shot_time_s": time, "preinfusion_s": wetting, "counted": counted}
        whole = shot.time_with_preinfusion(**known)
        assert math.isclose(whole - shot.time_without_preinfusion(**known), wetting, abs_tol=1e-9)


def test_a_preinfusion_counted_in_leaves_the_time_alone():
    assert shot.time_with_preinfusion(shot_time_s=28, preinfusion_s=6, counted=True) == 28
    assert shot.time_with_preinfusion(shot_time_s=28, preinfusion_s=6, counted=False) == 34


def test_settled_crema_weighs_more_than_fresh():
    fresh = shot.volume_to_mass(volume_ml=40)
    settled = shot.volume_to_mass(volume_ml=40, crema="settled")
    assert fresh.high <= settled.low and fresh.low < fresh.value < fresh.high


@pytest.mark.parametrize(
    ("percent", "word"), [(17.9, "low"), (18, "usual"), (22, "usual"), (22.1, "high")]
)
def test_extraction_is_worded_as_the_brewing_standard_bounds_it(percent, word):
    assert shot.extraction_word(extraction_percent=percent) == word


OPPOSITE = [
    ("dose", "up", "down"),
    ("grind", "finer", "coarser"),
    ("temperature", "up", "down"),
    ("yield", "up", "down"),
    ("time", "up", "down"),
    ("pressure", "up", "down"),
]


@pytest.mark.parametrize(("of", "one", "other"), OPPOSITE)
def test_opposite_changes_have_opposite_effects(of, one, other):
    turned = {"up": "down", "down": "up", "same": "same"}
    first, second = shot.effect(of=of, direction=one), shot.effect(of=of, direction=other)
    for here, there in zip(first[:3], second[:3], strict=True):
        assert turned[here.split()[-1]] == there.split()[-1]


@pytest.mark.parametrize(
    ("of", "direction", "dose_g", "yield_g"), [("dose", "up", 19, 36), ("yield", "up", 18, 40)]
)
def test_effect_agrees_with_the_arithmetic(of, direction, dose_g, yield_g):
    """With the coffee dissolved unchanged or more, strength must move as the table says."""
    row: Effect = shot.effect(of=of, direction=direction)
    before = shot.strength_percent(dose_g=18, yield_g=36, extraction_percent=20)
    after = shot.strength_percent(dose_g=dose_g, yield_g=yield_g, extraction_percent=20)
    assert row.strength == ("up" if after > before else "down")


def test_finer_is_not_said_to_extract_more_without_end():
    """Cameron et al., Matter 2 (2020): extraction peaks, then falls as the grind gets finer."""
    row = shot.effect(of="grind", direction="finer")
    assert row.extraction.startswith("mostly") and "up to a point" in row.note


BAD = [
    (lambda: shot.brew_ratio(dose_g=0, yield_g=36), "dose reads 0 g"),
    (lambda: shot.brew_ratio(dose_g=math.nan, yield_g=36), "dose reads nan"),
    (lambda: shot.yield_for(dose_g=18, ratio=math.inf), "brew ratio reads inf"),
    (lambda: shot.brew_ratio(dose_g="18", yield_g=36), "no number"),
    (lambda: shot.brew_ratio(dose_g=True, yield_g=36), "no number"),
    (lambda: shot.brew_ratio(dose_g=10**400, yield_g=36), "dose reads inf"),
    (lambda: shot.consistency(dose_g=18, yield_g=60, ratio=2), "1 to 3.3, not the 1 to 2"),
    (
        lambda: shot.extraction_yield_percent(dose_g=18, yield_g=72, tds_percent=10),
        "40 % of a 18 g",
    ),
    (
        lambda: shot.extraction_yield_percent(dose_g=18, yield_g=36, tds_percent=101),
        "between 0 and",
    ),
    (lambda: shot.strength_percent(dose_g=18, yield_g=2, extraction_percent=20), "cannot hold"),
    (lambda: shot.time_with_preinfusion(shot_time_s=6, preinfusion_s=8, counted=True), "8 s"),
    (lambda: shot.volume_to_mass(volume_ml=30, crema="thick"), "fresh or settled"),
    (lambda: shot.effect(of="grind", direction="up"), "finer or coarser"),
    (lambda: shot.effect(of="mood", direction="up"), "No effect is known"),
]


@pytest.mark.parametrize(("call", "said"), BAD)
def test_what_cannot_be_right_is_refused_in_one_sentence(call, said):
    with pytest.raises(ComputeError) as caught:
        call()
    message = str(caught.value)
    assert said in message and "\n" not in message and message.endswith(".")
