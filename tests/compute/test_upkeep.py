"""Due dates from use: arithmetic, order and what cannot be."""

from __future__ import annotations

import math

import pytest
from checks import VERIFIED_COMPUTED, Check, agrees, describe
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute.errors import ComputeError
from diagnose.compute.upkeep import UpkeepJob, due

RULE_OF_THREE = "rule of three"
SCREEN = UpkeepJob("screen", {"shots": 40, "days": 30}, {"shots": 280, "days": 85})
CARTRIDGE = UpkeepJob("cartridge", {"litres": 60})
BURRS = UpkeepJob("burrs", {"kg": 300})


def _one(item, **counts):
    known = {"shots": 300.0, "litres": 45.0, "days": 90.0} | counts
    return due([item], **known)[0]


CHECKS = [
    Check(
        "U01",
        "share used, 20 of 40 shots",
        lambda: _one(SCREEN).used,
        0.5,
        1e-12,
        RULE_OF_THREE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "U02",
        "days left: 20 shots at 300 in 90 days",
        lambda: _one(SCREEN).days_left,
        6.0,
        1e-9,
        RULE_OF_THREE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "U03",
        "days left: 15 litres at 45 in 90 days",
        lambda: _one(CARTRIDGE).days_left,
        30.0,
        1e-9,
        RULE_OF_THREE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "U04",
        "twice the use, half the wait",
        lambda: _one(CARTRIDGE, days=45.0).days_left,
        15.0,
        1e-9,
        RULE_OF_THREE,
        VERIFIED_COMPUTED,
    ),
]


@pytest.mark.parametrize("check", [c for c in CHECKS if c.hard], ids=lambda c: c.id)
def test_agrees_with_the_source(check):
    assert agrees(check), describe(check)


def test_whatever_is_used_up_first_decides():
    busy = _one(SCREEN, shots=330.0)
    idle = _one(SCREEN, shots=281.0, days=116.0)
    assert (busy.by, busy.overdue, busy.days_left) == ("shots", True, 0.0)
    assert (idle.by, idle.overdue) == ("days", True)


def test_the_most_urgent_comes_first():
    rows = due([BURRS, CARTRIDGE, SCREEN], shots=325, litres=45, days=90, coffee_kg=6)
    assert [row.name for row in rows] == ["screen", "cartridge", "burrs"]
    assert rows[0].basis == "45 shots since it was last done, of 40 shots"


def test_a_life_just_used_up_is_due():
    row = _one(SCREEN, shots=320.0)
    assert row.overdue and row.days_left == 0


def test_of_two_overdue_the_further_gone_comes_first():
    rows = due(
        [UpkeepJob("brush", {"shots": 100}), UpkeepJob("screen", {"shots": 10})],
        shots=300,
        litres=None,
        days=9,
    )
    assert [row.name for row in rows] == ["screen", "brush"]


def test_nothing_is_guessed_for_what_is_not_logged():
    rows = due([CARTRIDGE, BURRS, SCREEN], shots=300, litres=None, days=90)
    assert [row.name for row in rows] == ["screen"]


def test_without_a_pace_no_date_is_given():
    assert _one(CARTRIDGE, litres=0.0, shots=0.0).days_left is None
    assert _one(CARTRIDGE, litres=10.0, days=0.0).days_left is None


@given(st.floats(0, 1000), st.floats(0, 500), st.floats(1, 400), st.floats(1, 2000))
def test_more_use_is_never_less_due(shots, more, days, life):
    item = UpkeepJob("gasket", {"shots": life, "days": 365})
    before = _one(item, shots=shots, days=days)
    after = _one(item, shots=shots + more, days=days)
    assert after.used >= before.used
    assert after.days_left <= before.days_left + 1e-9


@given(st.floats(1, 1000), st.floats(1, 400), st.floats(1, 2000))
def test_the_wait_ends_just_as_it_falls_due(shots, days, life):
    item = UpkeepJob("gasket", {"shots": life})
    now = _one(item, shots=shots, days=days)
    later = _one(item, shots=shots * (1 + now.days_left / days), days=days + now.days_left)
    assert later.used >= 1 - 1e-9


BAD = [
    (lambda: UpkeepJob("screen", {}), "no life given"),
    (lambda: UpkeepJob("screen", {"cups": 4}), "counted in 'cups'"),
    (lambda: UpkeepJob("screen", {"shots": 0}), "life of screen reads 0 shots"),
    (lambda: UpkeepJob("screen", {"shots": 4}, {"shots": -1}), "below 0"),
    (lambda: _one(SCREEN, shots=200.0), "last done at 280 shots but only 200 shots"),
    (lambda: _one(SCREEN, days=math.nan), "days logged reads nan"),
]


@pytest.mark.parametrize(("call", "said"), BAD)
def test_what_cannot_be_right_is_refused(call, said):
    with pytest.raises(ComputeError, match=said):
        call()
