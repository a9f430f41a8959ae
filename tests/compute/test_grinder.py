"""What one mark does, learnt from shots: robust, honest, and no further than it knows."""

from __future__ import annotations

import math
import random
import subprocess
import sys
from datetime import date, timedelta

import pytest
from checks import COMMON_PRACTICE, VERIFIED_COMPUTED, VERIFIED_PAGE, Check, agrees, describe
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from diagnose.compute import grinder
from diagnose.compute.errors import ComputeError
from diagnose.compute.grinder import Shot
from diagnose.compute.robust import theil_sen

SCIPY = "scipy.stats.theilslopes (Theil 1950, Sen 1968)"
NORRIS = "NIST Statistical Reference Datasets, Norris, certified least-squares slope"

NORRIS_X = [
    0.2,
    337.4,
    118.2,
    884.6,
    10.1,
    226.5,
    666.3,
    996.3,
    448.6,
    777.0,
    558.2,
    0.4,
    0.6,
    775.5,
    666.9,
    338.0,
    447.5,
    11.6,
    556.0,
    228.1,
    995.8,
    887.6,
    120.2,
    0.3,
    0.3,
    556.8,
    339.1,
    887.2,
    999.0,
    779.0,
    11.1,
    118.3,
    229.2,
    669.1,
    448.9,
    0.5,
]
NORRIS_Y = [
    0.1,
    338.8,
    118.1,
    888.0,
    9.2,
    228.1,
    668.5,
    998.5,
    449.1,
    778.9,
    559.2,
    0.3,
    0.1,
    778.1,
    668.8,
    339.3,
    448.9,
    10.8,
    557.7,
    228.3,
    998.0,
    888.8,
    119.6,
    0.3,
    0.6,
    557.6,
    339.3,
    888.0,
    998.5,
    778.9,
    10.2,
    117.6,
    228.9,
    668.4,
    449.2,
    0.2,
]


def _shots(marks, times, dose_g=18.0, yield_g=36.0):
    return [Shot(mark, time, dose_g, yield_g) for mark, time in zip(marks, times, strict=True)]


FALLING = _shots([5, 6, 7, 8, 9], [45.0, 36.0, 30.0, 24.0, 20.0])
EXACT = _shots(range(5), [18 * math.exp(0.12 * mark) for mark in range(5)])
OUTLIER_Y = [10, 12, 14, 16, 18, 50]

CHECKS = [
    Check(
        "G01",
        "Theil-Sen slope of the Norris data",
        lambda: theil_sen(NORRIS_X, NORRIS_Y).slope,
        1.0021968365553604,
        1e-9,
        SCIPY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "G02",
        "Theil-Sen intercept of the Norris data",
        lambda: theil_sen(NORRIS_X, NORRIS_Y).intercept,
        -0.0640158172232077,
        1e-9,
        SCIPY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "G03",
        "slope of the Norris data, clean enough for both methods",
        lambda: theil_sen(NORRIS_X, NORRIS_Y).slope,
        1.00211681802045,
        3 * 0.00043,
        NORRIS,
        VERIFIED_PAGE,
    ),
    Check(
        "G04",
        "slope with one wild point",
        lambda: theil_sen(range(6), OUTLIER_Y).slope,
        2.0,
        1e-8,
        SCIPY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "G05",
        "log slope of shot time on mark",
        lambda: grinder.log_step(FALLING).value,
        -0.202732554,
        1e-6,
        SCIPY,
        VERIFIED_COMPUTED,
    ),
    Check(
        "G06",
        "an exact exponential is found again",
        lambda: grinder.log_step(EXACT).value,
        0.12,
        1e-9,
        "identity",
        VERIFIED_COMPUTED,
    ),
    Check(
        "G07",
        "mark for 28 s, least squares for comparison",
        lambda: (
            9
            - grinder.move(
                FALLING, shot_time_s=20, aim_low_s=28, aim_high_s=28, marks_finer_sign=-1
            ).marks
        ),
        7.300043,
        0.05,
        "ordinary least squares of ln(time), scipy.stats.linregress",
        VERIFIED_COMPUTED,
    ),
    Check(
        "G08",
        "seconds a mark where nothing is logged",
        lambda: grinder.seconds_per_mark([]).value,
        3.0,
        1.5,
        "about 3 s a mark",
        COMMON_PRACTICE,
    ),
]


@pytest.mark.parametrize("check", [c for c in CHECKS if c.hard], ids=lambda c: c.id)
def test_agrees_with_the_source(check):
    assert agrees(check), describe(check)


pairs = st.lists(
    st.tuples(st.integers(-20, 20), st.floats(-100, 100)), min_size=2, max_size=25
).filter(lambda rows: len({x for x, _ in rows}) > 1)


@pytest.mark.filterwarnings("ignore:invalid value encountered in sqrt:RuntimeWarning")
@given(pairs)
def test_theil_sen_equals_the_reference_library(rows):
    x, y = [float(a) for a, _ in rows], [b for _, b in rows]
    ours, theirs = theil_sen(x, y), stats.theilslopes(y, x)
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-9, abs=1e-9)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-9, abs=1e-9)
    if math.isnan(theirs.low_slope):  # so many ties that the library gives up
        assert ours.low <= ours.slope <= ours.high
    else:
        assert ours.low == pytest.approx(theirs.low_slope, rel=1e-9, abs=1e-9)
        assert ours.high == pytest.approx(theirs.high_slope, rel=1e-9, abs=1e-9)


@given(
    st.floats(0.02, 0.4),
    st.sampled_from([1, -1]),
    st.floats(15, 50),
    st.lists(
        st.tuples(st.integers(0, 9), st.floats(15, 21), st.floats(30, 42)), min_size=3, max_size=12
    ).filter(lambda rows: len({m for m, *_ in rows}) > 1),
)
def test_a_true_step_is_found_whatever_the_dose_and_yield(step, sign, base, rows):
    """Times made by the model with differing recipes give the step back."""
    shots = [
        Shot(mark, base * math.exp(sign * step * mark) * (dose / 18) * (drink / 36), dose, drink)
        for mark, dose, drink in rows
    ]
    found = grinder.log_step(shots)
    assert found.value == pytest.approx(sign * step, rel=1e-6)
    assert found.low < sign * step < found.high


def test_one_wild_shot_hardly_moves_the_step():
    wild = [*EXACT, Shot(4, 5.0, 18, 36)]
    assert grinder.log_step(wild).value == pytest.approx(0.12, rel=0.25)


def test_the_interval_covers_the_truth_about_as_often_as_it_says():
    """300 made-up grinders, 6 shots each with 7 % scatter: at least nine in ten are covered."""
    chance = random.Random(20)
    covered = 0
    for _ in range(300):
        marks = [chance.randint(3, 8) for _ in range(5)] + [5.5]
        times = [28 * math.exp(0.12 * (mark - 5) + chance.gauss(0, 0.07)) for mark in marks]
        found = grinder.log_step(_shots(marks, times))
        covered += found.low <= 0.12 <= found.high
    assert covered >= 270


def test_seconds_are_those_of_the_time_asked_about():
    at_twenty = grinder.seconds_per_mark(EXACT, shot_time_s=20)
    assert at_twenty.value == pytest.approx(20 * math.expm1(0.12))
    assert grinder.seconds_per_mark(EXACT, shot_time_s=40).value == pytest.approx(
        2 * at_twenty.value
    )
    assert at_twenty.basis == "from your last 5 shots"


@pytest.mark.parametrize(
    ("shots", "basis"),
    [
        ([], "a default, no shots logged yet"),
        (EXACT[:1], "a default, only 1 shot logged so far"),
        (EXACT[:2], "a default, only 2 shots logged so far"),
        (_shots([5, 5, 5], [28, 29, 30]), "a default, your last 3 shots were all at one mark"),
    ],
)
def test_defaults_are_said_to_be_defaults(shots, basis):
    found = grinder.seconds_per_mark(shots, marks_finer_sign=-1)
    assert found.basis == basis and found.value < 0
    assert grinder.seconds_per_mark(shots, marks_finer_sign=1).value > 0


def test_old_and_odd_shots_are_left_out():
    today = date(2024, 5, 1)
    old = [Shot(s.mark, 60.0, 18, 36, today - timedelta(days=60)) for s in EXACT]
    new = [Shot(s.mark, s.shot_time_s, 18, 36, today) for s in EXACT]
    odd = [Shot(2, 90.0, 18, 100, today)]
    found = grinder.log_step(old + new + odd)
    assert found.value == pytest.approx(0.12)
    assert found.basis == "from your last 5 shots, 6 left out as too old or too different"


@pytest.mark.parametrize(
    ("time", "sign", "direction"),
    [(20, 1, "finer"), (45, 1, "coarser"), (29, 1, "stay"), (26, 1, "stay"), (32, 1, "stay")],
)
def test_the_move_goes_the_right_way(time, sign, direction):
    found = grinder.move(
        EXACT, shot_time_s=time, aim_low_s=26, aim_high_s=32, marks_finer_sign=sign
    )
    assert found.direction == direction
    assert (found.marks == 0) == (direction == "stay")


@given(st.floats(18, 25.9), st.floats(0.05, 0.3))
def test_making_the_move_lands_in_the_window(time, step):
    shots = _shots(range(6), [20 * math.exp(step * mark) for mark in range(6)])
    found = grinder.move(
        shots, shot_time_s=time, aim_low_s=26, aim_high_s=32, marks_finer_sign=1, mark=0
    )
    if found.refused is None:
        assert 26 <= time * math.exp(step * found.marks) <= 32
    assert found.low <= found.marks <= found.high


@given(st.floats(5, 25), st.floats(0.3, 0.99))
def test_a_shot_further_off_is_moved_at_least_as_far(time, factor):
    def marks(now):
        return grinder.move(
            EXACT, shot_time_s=now, aim_low_s=26, aim_high_s=32, marks_finer_sign=1, mark=2
        ).marks

    assert marks(time * factor) >= marks(time)


def test_a_move_far_beyond_what_was_logged_is_refused_with_a_first_step():
    found = grinder.move(EXACT, shot_time_s=8, aim_low_s=26, aim_high_s=32, marks_finer_sign=1)
    assert "marks 0 to 4 you have logged" in found.refused
    assert found.marks == 4 and found.high == 4


def test_coarser_moves_are_cut_at_the_other_end():
    found = grinder.move(
        EXACT, shot_time_s=90, aim_low_s=26, aim_high_s=32, marks_finer_sign=1, mark=2
    )
    assert found.direction == "coarser" and found.marks == 6 and found.refused
    turned = _shots(range(5), [18 * math.exp(-0.12 * mark) for mark in range(5)])
    found = grinder.move(
        turned, shot_time_s=90, aim_low_s=26, aim_high_s=32, marks_finer_sign=-1, mark=2
    )
    assert found.direction == "coarser" and found.marks == 6


def test_an_unknown_grinder_is_moved_a_few_marks_at_most():
    found = grinder.move([], shot_time_s=8, aim_low_s=26, aim_high_s=32, marks_finer_sign=1)
    assert found.marks == grinder.DEFAULT_MOST_MARKS and "too little is logged" in found.refused
    near = grinder.move([], shot_time_s=23, aim_low_s=26, aim_high_s=32, marks_finer_sign=1)
    assert near.refused is None and 1 < near.marks < 4


def test_shots_that_run_faster_when_finer_are_questioned():
    found = grinder.move(EXACT, shot_time_s=20, aim_low_s=26, aim_high_s=32, marks_finer_sign=-1)
    assert found.marks == 1 and "wrong way round" in found.refused


def test_shots_that_show_nothing_ask_for_one_mark():
    flat = _shots([5, 6, 7], [28, 28, 28])
    found = grinder.move(flat, shot_time_s=20, aim_low_s=26, aim_high_s=32, marks_finer_sign=1)
    assert found.marks == found.low == found.high == 1 and "do not yet show" in found.refused


BAD = [
    (lambda: Shot(math.nan, 28, 18, 36), "grinder mark reads nan"),
    (lambda: Shot(5, 0, 18, 36), "shot time reads 0 s"),
    (lambda: Shot(5, 28, -18, 36), "dose reads -18 g"),
    (
        lambda: grinder.move([], shot_time_s=20, aim_low_s=32, aim_high_s=26, marks_finer_sign=1),
        "swap the two ends",
    ),
    (
        lambda: grinder.move([], shot_time_s=20, aim_low_s=26, aim_high_s=32, marks_finer_sign=0),
        "give 1 if a higher mark",
    ),
    (lambda: theil_sen([1, 1], [2, 3]), "two different settings"),
]


@pytest.mark.parametrize(("call", "said"), BAD)
def test_what_cannot_be_right_is_refused(call, said):
    with pytest.raises(ComputeError, match=said):
        call()


def test_importing_the_grinder_loads_nothing_heavy():
    code = (
        "import sys, diagnose.compute.grinder;"
        "print([m for m in ('numpy', 'scipy', 'statistics', 'yaml') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
