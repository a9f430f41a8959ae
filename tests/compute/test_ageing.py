"""The grind's doing told apart from the beans' age; shots are invented, made by the model."""

from __future__ import annotations

import math
import random
from datetime import date, timedelta

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from diagnose.compute import advice, ageing, grinder
from diagnose.compute.grinder import Shot
from diagnose.compute.robust import theil_sen

START = date(2026, 3, 1)
WINDOW = {"aim_low_s": 26.0, "aim_high_s": 32.0}


def made(rows, step, a_day, bags=None):
    """Shots by the model: (day, mark) at this step a mark and this change a day, in log time."""
    middle = sum(mark for _, mark in rows) / len(rows)
    return [
        Shot(mark, 28 * math.exp(step * (mark - middle) + a_day * day), 18, 36,
             START + timedelta(days=day), bags[i] if bags else "")
        for i, (day, mark) in enumerate(rows)
    ]


FORTNIGHT = [(0, 12), (1, 12), (3, 11.5), (4, 11), (6, 10.5), (8, 10), (10, 9.5), (11, 9), (13, 8.5)]
CHASING = made(FORTNIGHT, step=-0.11, a_day=-0.045)
"""A grinder finer at lower numbers, ground finer as the beans aged, and still running faster."""
SAME_DAY = [(0, 12), (0, 10), (4, 11), (4, 9), (9, 10), (9, 8), (13, 9.5), (13, 7.5)]


def test_beans_that_aged_do_not_turn_the_grinder_the_wrong_way():
    """The marks alone show the time falling with the number; nobody is sent there."""
    alone = theil_sen([s.mark for s in CHASING], [math.log(s.shot_time_s) for s in CHASING])
    assert alone.low > 0  # what misled
    found = grinder.learn(CHASING)
    assert found.aged and found.sign is None
    assert found.step.low < -0.11 < found.step.high
    said = advice.grind_move(shot_time_s=20, **WINDOW, shots=CHASING)
    assert said.text == "1 small mark finer as a first step"
    assert "while the beans aged" in said.basis and "the same day" in said.basis


@pytest.mark.parametrize("told", ["higher_coarser", "higher_finer"])
def test_what_the_notebook_says_of_the_numbers_overrules_the_shots(told):
    text = advice.grind_move(shot_time_s=20, **WINDOW, shots=CHASING, marks=told).text
    lower = told == "higher_coarser"
    assert ("from 8.5 to about 7.5" if lower else "from 8.5 to about 9.5") in text
    assert f"a {'lower' if lower else 'higher'} number is finer on yours, as you said" in text


@given(st.floats(0.08, 0.25), st.sampled_from([1, -1]), st.floats(-0.05, 0.01))
def test_two_marks_on_one_day_tell_the_two_apart(step, sign, a_day):
    shots = made(SAME_DAY, sign * step, a_day)
    found = grinder.learn(shots)
    assert found.step.low <= sign * step <= found.step.high
    assert found.sign in (sign, None)


def test_two_marks_on_one_day_show_which_way_the_numbers_run():
    shots = made(SAME_DAY, -0.2, -0.03)
    found = grinder.learn(shots)
    assert found.sign == -1
    text = advice.grind_move(shot_time_s=22, **WINDOW, shots=shots).text
    assert text.endswith("a lower number is finer on yours, as your shots show")


def test_the_step_agrees_with_least_squares_on_mark_and_day_together():
    """Outside reference: numpy.linalg.lstsq of log time on mark, day and a constant."""
    chance = random.Random(3)
    rows = [(day, 12 - day / 4 + chance.choice([-2, 0, 2])) for day in range(14)]
    shots = [
        Shot(s.mark, s.shot_time_s * math.exp(chance.gauss(0, 0.03)), 18, 36, s.day)
        for s in made(rows, -0.15, -0.03)
    ]
    table = numpy.array([[mark, day, 1.0] for day, mark in rows])
    both, *_ = numpy.linalg.lstsq(table, numpy.log([s.shot_time_s for s in shots]), rcond=None)
    found = grinder.learn(shots)
    assert found.aged and found.sign == -1
    assert found.step.low < both[0] < found.step.high
    assert found.step.value == pytest.approx(both[0], abs=0.03)


def test_shots_not_confounded_keep_the_reference_librarys_slope():
    """Marks up and down through the days: scipy.stats.theilslopes on the marks alone."""
    chance = random.Random(5)
    rows = list(zip(range(12), [10, 12, 11, 13, 10, 13, 11, 12, 10, 13, 12, 11], strict=True))
    shots = [
        Shot(s.mark, s.shot_time_s * math.exp(chance.gauss(0, 0.05)), 18, 36, s.day)
        for s in made(rows, 0.11, -0.01)
    ]
    theirs = stats.theilslopes([math.log(s.shot_time_s) for s in shots], [s.mark for s in shots])
    found = grinder.learn(shots)
    assert not found.aged and found.step.basis == "from your last 12 shots"
    assert found.step.value == pytest.approx(theirs.slope)
    assert found.step.low <= theirs.low_slope and found.step.high >= theirs.high_slope


def test_one_choked_shot_does_not_turn_it_round():
    shots = made(SAME_DAY, -0.2, -0.03)
    choked = [*shots[:-1], Shot(shots[-1].mark, 5.0, 18, 36, shots[-1].day)]
    assert grinder.learn(choked).sign in (-1, None)


def test_the_interval_covers_the_truth_however_the_marks_went_with_the_days():
    """300 made-up fortnights of ageing beans, ground finer now and then: nine in ten covered,
    and never one whose numbers are said to run the other way round."""
    chance = random.Random(11)
    covered = wrong = 0
    for _ in range(300):
        step, a_day = -chance.uniform(0.06, 0.2), -chance.uniform(0.0, 0.045)
        days = sorted(chance.randint(0, 13) for _ in range(chance.randint(6, 14)))
        rows = [(d, round(24 - d / 2 + chance.choice([-1, 0, 0, 1])) / 2) for d in days]
        shots = [
            Shot(s.mark, s.shot_time_s * math.exp(chance.gauss(0, 0.06)), 18, 36, s.day)
            for s in made(rows, step, a_day)
        ]
        found = grinder.learn(shots)
        covered += found.step.low <= step <= found.step.high
        wrong += found.sign == 1
    assert covered >= 270 and wrong == 0


def test_shots_are_compared_within_a_bag():
    """Each new bag runs slower and was met two marks lower; within a bag lower is slower too,
    by 0.11, not by what the bags add."""
    rows = [(0, 12), (0, 13), (1, 12), (1, 10), (1, 11), (2, 10), (2, 8), (2, 9), (2, 8)]
    bags = ["a"] * 3 + ["b"] * 3 + ["c"] * 3
    shots = [
        Shot(s.mark, s.shot_time_s * math.exp({"a": 0.0, "b": -0.5, "c": -1.0}[s.bag]), 18, 36,
             s.day, s.bag)
        for s in made(rows, -0.11, 0.0, bags)
    ]
    alone = theil_sen([s.mark for s in shots], [math.log(s.shot_time_s) for s in shots])
    assert alone.slope > 0  # what misled
    found = grinder.log_step(shots)
    assert found.value == pytest.approx(-0.11)
    assert found.basis == "from your last 9 shots, bag by bag"


def test_a_mark_for_each_bag_teaches_nothing():
    shots = made([(0, 12), (0, 11), (0, 10)], -0.11, 0.0, ["a", "b", "c"])
    found = grinder.learn(shots)
    assert not found.known and found.sign is None
    assert found.step.basis == (
        "a default, your last 3 shots changed beans with every change of mark")


@pytest.mark.filterwarnings("ignore:invalid value encountered in sqrt:RuntimeWarning")
@given(st.lists(st.tuples(st.integers(0, 9), st.floats(-5, 5)), min_size=3, max_size=12).filter(
    lambda rows: len({x for x, _ in rows}) > 1), st.floats(-50, 50))
def test_a_second_group_like_the_first_leaves_the_reference_librarys_slope(rows, apart):
    """Two groups alike but for their level: the slope is scipy's of one of them."""
    x, y = [float(a) for a, _ in rows], [b for _, b in rows]
    found = theil_sen(x * 2, y + [b + apart for b in y], groups=["a"] * len(x) + ["b"] * len(x))
    assert found.slope == pytest.approx(stats.theilslopes(y, x).slope, rel=1e-6, abs=1e-6)


def test_shots_without_a_day_are_taken_as_they_are():
    shots = [Shot(s.mark, s.shot_time_s, 18, 36) for s in CHASING]
    found = grinder.learn(shots)
    assert not found.aged and found.sign == 1


def test_ageing_allowed_for_holds_none_at_all_and_mostly_runs_faster():
    low, high = ageing.AGEING_PER_DAY
    assert low < 0 < high and -low > high
