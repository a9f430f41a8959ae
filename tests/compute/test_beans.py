"""Beans and time: gas, rest, age, the open bag and the freezer."""

from __future__ import annotations

import math
from datetime import date, timedelta

import pytest
from checks import COMMON_PRACTICE, VERIFIED_COMPUTED, Check, agrees, describe
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute import beans
from diagnose.compute.errors import ComputeError

SPHERE = (
    "Crank, diffusion series of a sphere, first term, with Anderson et al. 2003's diffusivities"
)
DECAY = "exponential identity exp(-t/tau)"
GAS = "ideal gas, 10 mg/g at 20 C and 1 atm"


def _days(radius_mm: float, diffusivity: float):
    return lambda: beans.diffusion_days(radius_mm=radius_mm, diffusivity_m2_s=diffusivity)


def _left(days: float, gas_days: float):
    return lambda: beans.first_order_left(days=days, gas_days=gas_days)


CHECKS = [
    Check(
        "B01",
        "time constant, 0.25 mm, 1e-13 m2/s, days",
        _days(0.25, 1e-13),
        0.733,
        1e-3,
        SPHERE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B02",
        "time constant, 0.5 mm, 1e-12 m2/s, days",
        _days(0.5, 1e-12),
        0.293,
        1e-3,
        SPHERE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B03",
        "time constant, 0.5 mm, 5e-14 m2/s, days",
        _days(0.5, 5e-14),
        5.863,
        5e-3,
        SPHERE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B04",
        "gas left, 5 days constant, day 3",
        _left(3, 5),
        0.5488,
        1e-4,
        DECAY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B05",
        "gas left, 5 days constant, day 14",
        _left(14, 5),
        0.0608,
        1e-4,
        DECAY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B06",
        "gas left, 10 days constant, day 7",
        _left(7, 10),
        0.4966,
        1e-4,
        DECAY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B07",
        "gas volume, l/kg",
        lambda: beans.gas_volume_l_per_kg(gas_mg_per_g=10),
        5.466,
        0.01,
        GAS,
        VERIFIED_COMPUTED,
    ),
    Check(
        "B08",
        "rest of a medium roast, days",
        lambda: beans.rest_window_days(roast="medium").low,
        7,
        2,
        "about a week",
        COMMON_PRACTICE,
    ),
    Check(
        "B09",
        "an opened bag, days",
        lambda: beans.opened_window_days().high,
        28,
        7,
        "about four weeks",
        COMMON_PRACTICE,
    ),
]

roasts = st.sampled_from(sorted(beans.ROASTS))
ages = st.floats(0, 200)


@pytest.mark.parametrize("check", [c for c in CHECKS if c.hard], ids=lambda c: c.id)
def test_agrees_with_the_source(check):
    assert agrees(check), describe(check)


@given(roasts, ages, st.floats(0, 50))
def test_beans_only_grow_older(roast, days, more):
    before, after = (
        beans.PHASES.index(beans.phase(roast=roast, days=d)) for d in (days, days + more)
    )
    assert before <= after
    assert (
        beans.gas_left(roast=roast, days=days).value
        >= beans.gas_left(roast=roast, days=days + more).value
    )


@given(ages)
def test_darker_roasts_lose_gas_faster_and_rest_less(days):
    """Wang, thesis, University of Guelph 2014: degassing is faster with darker roast."""
    left = [beans.gas_left(roast=r, days=days).value for r in ("dark", "medium", "light")]
    rest = [beans.rest_window_days(roast=r).value for r in ("dark", "medium", "light")]
    assert left == sorted(left) and rest == sorted(rest)


@given(roasts, st.floats(1, 200), st.floats(0, 1))
def test_freezing_never_ages_beans_faster(roast, days, share):
    frozen = share * days
    aged = beans.aged_days(days=days, days_frozen=frozen)
    assert days - frozen <= aged + 1e-9 and aged <= days + 1e-9


@pytest.mark.parametrize(
    ("known", "phase"),
    [
        ({"days": 2}, "too fresh"),
        ({"days": 12}, "rested"),
        ({"days": 12, "days_open": 0}, "rested"),
        ({"days": 30, "days_open": 16}, "fading"),
        ({"days": 34, "days_open": 29}, "stale"),
        ({"days": 40}, "fading"),
        ({"days": 20, "days_open": 14}, "fading"),
        ({"days": 32, "days_open": 28}, "stale"),
        ({"days": 90}, "stale"),
        ({"days": 90, "days_frozen": 80}, "rested"),
    ],
)
def test_phase_of_a_medium_roast(known, phase):
    assert beans.phase(roast="medium", **known) == phase
    assert beans.flow_change(phase=phase).note


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(0, 3000))
def test_days_since_counts_days(today, days):
    assert beans.days_since(roast_date=today - timedelta(days=days), today=today) == days


BAD = [
    (
        lambda: beans.days_since(roast_date=date(2024, 5, 4), today=date(2024, 5, 1)),
        "2024-05-04 lies after today, 2024-05-01",
    ),
    (lambda: beans.phase(roast="blue", days=3), "light, medium, dark"),
    (lambda: beans.phase(roast="dark", days=3, days_open=5), "5 days open"),
    (lambda: beans.aged_days(days=3, days_frozen=5), "5 days frozen"),
    (lambda: beans.gas_left(roast="dark", days=-1), "below 0"),
    (lambda: beans.gas_left(roast="dark", days=math.nan), "reads nan"),
    (lambda: beans.freezing_factor(freezer_c=5), "between -90 and 0"),
    (lambda: beans.flow_change(phase="odd"), "too fresh, rested"),
    (lambda: beans.gas_volume_l_per_kg(gas_mg_per_g=5, temperature_c=-300), "temperature"),
]


@pytest.mark.parametrize(("call", "said"), BAD)
def test_what_cannot_be_right_is_refused(call, said):
    with pytest.raises(ComputeError, match=said):
        call()
