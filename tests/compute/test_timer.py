"""Grinding by time, and the chart that finds drift, against published run lengths."""

from __future__ import annotations

import math
import random
from statistics import fmean

import pytest
from checks import MEMORY, VERIFIED_COMPUTED, VERIFIED_PAGE, Check, agrees, describe
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute import control_chart as chart
from diagnose.compute import timer
from diagnose.compute.errors import ComputeError
from diagnose.compute.timer import Weighing

LUCAS = "Lucas and Saccucci, Technometrics 32 (1990) 1-12, table 3"
CROWDER = "Crowder, Technometrics 29 (1987) 401-407, table 1"
WALDMANN = "Waldmann, Applied Statistics 35 (1986) 151-158, table 1"
STEINER = "Steiner, J. Quality Technology 31 (1999) 75-86, table 2"
RATE = "mass = rate x time"
NIST = "NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.4, worked example, from memory"


def _run(weight: float, limit: float, shift: float):
    return lambda: chart.average_run_length(shift=shift, weight=weight, limit=limit)


def _dose(timer_s: float, dose_g: float) -> list[Weighing]:
    return [Weighing(timer_s, dose_g)]


HANDBOOK = [
    52.0,
    47.0,
    53.0,
    49.3,
    50.1,
    47.0,
    51.0,
    50.1,
    51.2,
    50.5,
    49.6,
    47.6,
    49.9,
    51.3,
    47.8,
    51.2,
    52.6,
    52.4,
    53.6,
    52.1,
]

# Half a unit of the last printed figure, or 1 % for in-control lengths, which
# the sources themselves give to two or three figures.
CHECKS = [
    Check(
        "T01", "run length 0.5, 3.071, no shift", _run(0.5, 3.071, 0), 500, 5, LUCAS, VERIFIED_PAGE
    ),
    Check(
        "T02",
        "run length 0.5, 3.071, shift 0.5",
        _run(0.5, 3.071, 0.5),
        88.8,
        0.2,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T03",
        "run length 0.5, 3.071, shift 1",
        _run(0.5, 3.071, 1),
        17.5,
        0.06,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T04",
        "run length 0.5, 3.071, shift 2",
        _run(0.5, 3.071, 2),
        3.63,
        0.006,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T05",
        "run length 0.03, 2.437, no shift",
        _run(0.03, 2.437, 0),
        500,
        5,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T06",
        "run length 0.03, 2.437, shift 1",
        _run(0.03, 2.437, 1),
        12.6,
        0.06,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T07",
        "run length 0.03, 2.437, shift 2",
        _run(0.03, 2.437, 2),
        5.99,
        0.006,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T08",
        "run length of the chart used here, no shift",
        lambda: chart.average_run_length(),
        500,
        5,
        LUCAS,
        VERIFIED_PAGE,
    ),
    Check(
        "T09", "run length 0.5, 2, no shift", _run(0.5, 2, 0), 26.45, 0.006, CROWDER, VERIFIED_PAGE
    ),
    Check(
        "T10", "run length 0.5, 2, shift 1", _run(0.5, 2, 1), 4.91, 0.006, CROWDER, VERIFIED_PAGE
    ),
    Check(
        "T11", "run length 0.05, 2, no shift", _run(0.05, 2, 0), 127.53, 0.4, CROWDER, VERIFIED_PAGE
    ),
    Check(
        "T12",
        "run length 0.05, 2, shift 0.5",
        _run(0.05, 2, 0.5),
        18.97,
        0.02,
        CROWDER,
        VERIFIED_PAGE,
    ),
    Check(
        "T13",
        "run length 0.75, limit 2 in readings, no shift",
        _run(0.75, 2 * math.sqrt(1.25 / 0.75), 0),
        104.0,
        0.1,
        WALDMANN,
        VERIFIED_PAGE,
    ),
    Check(
        "T14", "run length 0.05, 3, shift 1", _run(0.05, 3, 1), 13.5, 0.06, STEINER, VERIFIED_PAGE
    ),
    Check(
        "T15",
        "weight 1 is the plain chart: 3 deviations",
        _run(1.0, 3, 0),
        370.3983,
        1e-3,
        "1 / (2 x normal tail beyond 3)",
        VERIFIED_COMPUTED,
    ),
    Check(
        "T16",
        "dose at 2.0 g/s in 9 s",
        lambda: timer.rate_g_s(_dose(9, 18)).value * 9,
        18.0,
        1e-9,
        RATE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "T17",
        "setting that restores 18 g",
        lambda: timer.new_setting_s(aim_dose_g=18, weighings=_dose(9, 17.1)).value,
        9.4737,
        1e-4,
        RATE,
        VERIFIED_COMPUTED,
    ),
    Check(
        "T18",
        "handbook: last weighted average",
        lambda: chart.moving_average(HANDBOOK, start=50, weight=0.3)[-1],
        51.99,
        0.01,
        NIST,
        MEMORY,
    ),
    Check(
        "T19",
        "handbook: upper limit",
        lambda: 50 + chart.half_width(deviation=2.0539, weight=0.3, limit=3),
        52.5884,
        0.002,
        NIST,
        MEMORY,
    ),
]


@pytest.mark.parametrize("check", [c for c in CHECKS if c.hard], ids=lambda c: c.id)
def test_agrees_with_the_source(check):
    assert agrees(check), describe(check)


@pytest.mark.parametrize(("shift", "runs"), [(0.0, 600), (1.0, 2000)])
def test_the_chart_itself_runs_as_long_as_its_mathematics_says(shift, runs):
    """Made-up readings through the very functions the drift test uses."""
    chance = random.Random(7)
    width = chart.half_width(deviation=1.0)

    def run() -> int:
        average, count = 0.0, 0
        while True:
            count += 1
            average = chart.moving_average([chance.gauss(shift, 1)], start=average)[-1]
            if chart.first_outside([average], centre=0, width=width) is not None:
                return count

    expected = chart.average_run_length(shift=shift)
    lengths = [run() for _ in range(runs)]
    spread = expected / math.sqrt(runs)  # run lengths scatter about as much as their mean
    assert abs(fmean(lengths) - expected) < 4 * spread


def test_scatter_is_that_of_the_readings():
    chance = random.Random(3)
    assert chart.scatter([chance.gauss(5, 2) for _ in range(4000)]) == pytest.approx(2, rel=0.05)


rates = st.floats(0.5, 5)


@given(rates, st.floats(3, 30), st.floats(5, 25))
def test_setting_the_timer_gives_the_dose(rate, seconds, aim):
    setting = timer.new_setting_s(aim_dose_g=aim, weighings=_dose(seconds, rate * seconds))
    assert setting.value * rate == pytest.approx(aim, rel=1e-12)


@given(st.floats(5, 25), st.floats(-5, 5))
def test_moving_the_grind_and_back_returns_the_dose(dose, marks):
    there = timer.dose_after_grind_change(dose_g=dose, marks_finer=marks)
    back = timer.dose_after_grind_change(dose_g=there.value, marks_finer=-marks)
    assert back.value == pytest.approx(dose, rel=1e-9)
    assert (there.value < dose) == (marks > 0) or abs(marks) < 1e-9
    assert there.low <= there.value <= there.high


def test_the_rate_a_mark_costs_is_learnt_from_weighings():
    marked = [Weighing(9, 9 * 2 * (1 - 0.04 * mark), mark) for mark in range(4)]
    found = timer.rate_share_per_mark(marked)
    assert found.value == pytest.approx(0.04, rel=0.1)
    assert found.basis == "from 4 weighings at different marks"
    assert "default" in timer.rate_share_per_mark(marked[:2]).basis
    assert "3 weighings" in timer.rate_share_per_mark(marked[:3]).basis
    assert "default" in timer.rate_share_per_mark([marked[0]] * 3).basis
    assert timer.rate_share_per_mark(marked, marks_finer_sign=-1).value < 0


def _weighings(doses):
    return [Weighing(9, dose) for dose in doses]


STEADY = [18.0, 18.1, 17.9, 18.0, 18.1]


def test_too_few_weighings_are_not_judged():
    assert timer.drift(_weighings(STEADY)).direction == "unknown"


def test_scatter_alone_is_steady():
    assert timer.drift(_weighings(STEADY + STEADY)).direction == "steady"


@pytest.mark.parametrize(("step", "direction"), [(-0.5, "down"), (0.5, "up")])
def test_a_shift_is_found_within_a_few_weighings(step, direction):
    found = timer.drift(_weighings(STEADY + [dose + step for dose in STEADY]))
    assert found.direction == direction and 6 <= found.since <= 8
    assert math.copysign(1, found.change_percent) == math.copysign(1, step)
    assert not found.low <= found.averages[found.since - 6] <= found.high


BAD = [
    (lambda: Weighing(0, 18), "timer setting reads 0 s"),
    (lambda: Weighing(9, math.nan), "dose reads nan"),
    (lambda: timer.rate_g_s([]), "at least one number"),
    (lambda: timer.new_setting_s(aim_dose_g=-1, weighings=_dose(9, 18)), "aimed-at dose"),
    (lambda: timer.dose_after_grind_change(dose_g=18, marks_finer=math.inf), "marks moved"),
    (lambda: chart.average_run_length(weight=0), "weight of a new reading"),
    (lambda: chart.average_run_length(cells=10), "odd number of cells"),
    (lambda: chart.scatter([1.0]), "at least two readings"),
]


@pytest.mark.parametrize(("call", "said"), BAD)
def test_what_cannot_be_right_is_refused(call, said):
    with pytest.raises(ComputeError, match=said):
        call()
