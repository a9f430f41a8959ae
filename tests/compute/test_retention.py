"""Purging: washout of a plug part followed by a well-mixed part."""

from __future__ import annotations

import math

import pytest
from checks import COMMON_PRACTICE, VERIFIED_COMPUTED, Check, agrees, describe
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from diagnose.compute import retention
from diagnose.compute.errors import ComputeError

MIXED = "first-order washout exp(-m/r) of a well-mixed vessel (Levenspiel)"
PLUG = "first in, first out: max(0, r - m)"
BALANCE = "mass balance"


def _old_share(held_g: float, purged_g: float):
    return lambda: 1 - retention.new_share(purged_g=purged_g, held_g=held_g, mixing=1)


def _old_left(held_g: float, purged_g: float):
    return lambda: retention.old_left_g(purged_g=purged_g, held_g=held_g, mixing=0)


CHECKS = [
    Check(
        "R01",
        "old share, 2 g held, 2 g purged",
        _old_share(2, 2),
        0.3679,
        1e-4,
        MIXED,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R02",
        "old share, 2 g held, 4 g purged",
        _old_share(2, 4),
        0.1353,
        1e-4,
        MIXED,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R03",
        "old share, 1 g held, 3 g purged",
        _old_share(1, 3),
        0.0498,
        1e-4,
        MIXED,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R04",
        "old grams left, 5 g held, 2 g purged",
        _old_left(5, 2),
        3.0,
        1e-9,
        PLUG,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R05",
        "old grams left, 1 g held, 3 g purged",
        _old_left(1, 3),
        0.0,
        1e-9,
        PLUG,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R06",
        "held by the balance 18.0 in, 17.6 out, g",
        lambda: retention.held_g(beans_in_g=18.0, grounds_out_g=17.6),
        0.4,
        1e-9,
        BALANCE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R07",
        "95 % washed out of a mixed vessel, in fillings",
        lambda: retention.purge_g(held_g=1, mixing=1).value,
        math.log(20),
        1e-9,
        MIXED,
        VERIFIED_COMPUTED,
    ),
    Check(
        "R08",
        "purge for 2 g held, g",
        lambda: retention.purge_g(held_g=2).value,
        4.0,
        2.0,
        "a few grams, about 2 to 6, are thrown away",
        COMMON_PRACTICE,
    ),
]

amounts = st.floats(0.05, 30)
mixings = st.floats(0, 1)


@pytest.mark.parametrize("check", [c for c in CHECKS if c.hard], ids=lambda c: c.id)
def test_agrees_with_the_source(check):
    assert agrees(check), describe(check)


@given(amounts, mixings, st.floats(0.05, 0.99))
def test_after_the_purge_the_wanted_share_is_new(held, mixing, share):
    purge = retention.purge_g(held_g=held, mixing=mixing, share=share)
    got = retention.new_share(purged_g=purge.value, held_g=held, mixing=mixing)
    assert purge.low <= purge.value <= purge.high
    if mixing > 0.01:
        assert got == pytest.approx(share, abs=1e-6)


@given(amounts, mixings, st.floats(0, 40), st.floats(0.1, 20))
def test_more_purged_is_never_staler(held, mixing, purged, more):
    known = {"held_g": held, "mixing": mixing}
    before = retention.new_share(purged_g=purged, **known)
    assert 0 <= before <= retention.new_share(purged_g=purged + more, **known) <= 1
    assert (
        retention.old_left_g(purged_g=purged + more, **known)
        <= retention.old_left_g(purged_g=purged, **known) + 1e-12
    )


@given(amounts, mixings)
def test_all_the_old_grind_comes_out_in_the_end(held, mixing):
    out = retention.old_in_dose_g(dose_g=50 * held, purged_g=0, held_g=held, mixing=mixing)
    assert out == pytest.approx(held, rel=1e-9)


@pytest.mark.parametrize("mixing", [0.2, 0.5, 1.0])
def test_what_comes_out_adds_up_to_what_went_missing(mixing):
    """The integral of the old share, by an independent quadrature, is the old grams in the dose."""
    area, _ = integrate.quad(
        lambda m: 1 - retention.new_share(purged_g=m, held_g=3, mixing=mixing),
        1,
        19,
        points=[3 * (1 - mixing)] if 3 * (1 - mixing) > 1 else None,
    )
    ours = retention.old_in_dose_g(dose_g=18, purged_g=1, held_g=3, mixing=mixing)
    assert ours == pytest.approx(area, rel=1e-6)


def test_a_grinder_that_gives_back_more_than_it_got_shows_below_nought():
    assert retention.held_g(beans_in_g=18, grounds_out_g=18.3) == pytest.approx(-0.3)


@pytest.mark.parametrize(
    ("known", "said"),
    [
        ({"held_g": -1}, "amount held"),
        ({"held_g": 2, "mixing": 1.5}, "mixing reads 1.5"),
        ({"held_g": 2, "share": 1.0}, "share of new grind wanted"),
        ({"held_g": math.inf}, "reads inf"),
    ],
)
def test_what_cannot_be_right_is_refused(known, said):
    with pytest.raises(ComputeError, match=said):
        retention.purge_g(**known)
