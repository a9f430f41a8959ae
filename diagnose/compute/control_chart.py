"""A chart that tells drift from scatter: the exponentially weighted moving average.

Each reading moves the average by a fixed share of its distance; the average
leaving its limits means the process has shifted.  With weight 0.2 and limits
2.962 standard deviations wide a false alarm comes once in about 500 readings.
Source: Lucas and Saccucci, Technometrics 32 (1990) 1-12, table 3; run lengths
by the Markov chain of Brook and Evans, Biometrika 59 (1972) 539-549.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from .errors import ComputeError, finite, positive, within

WEIGHT = 0.2
LIMIT = 2.962
MEAN_RANGE_OF_TWO = 2 / math.sqrt(math.pi)
"""Mean distance of two normal readings in standard deviations (d2 = 1.128)."""


def moving_average(
    readings: Sequence[float], *, start: float, weight: float = WEIGHT
) -> list[float]:
    """Return the weighted average after each reading, from `start` on."""
    share = _weight(weight)
    averages, now = [], finite("start of the average", start)
    for reading in readings:
        now += share * (finite("reading", reading) - now)
        averages.append(now)
    return averages


def half_width(*, deviation: float, weight: float = WEIGHT, limit: float = LIMIT) -> float:
    """Return how far the average may stray, once it has run for a while."""
    share = _weight(weight)
    return (
        positive("limit", limit) * finite("deviation", deviation) * math.sqrt(share / (2 - share))
    )


def scatter(readings: Sequence[float]) -> float:
    """Return the standard deviation, from the steps between neighbours.

    The mean step over 1.128: a slow drift hardly spoils it (Montgomery,
    Introduction to Statistical Quality Control, charts for single readings).
    """
    steps = [abs(later - sooner) for sooner, later in pairwise(readings)]
    if not steps:
        raise ComputeError("Scatter needs at least two readings: add one more.")
    return math.fsum(steps) / len(steps) / MEAN_RANGE_OF_TWO


def first_outside(averages: Sequence[float], *, centre: float, width: float) -> int | None:
    """Return the place of the first average outside `centre` +/- `width`, or None."""
    for place, average in enumerate(averages):
        if abs(average - centre) > width:
            return place
    return None


def average_run_length(
    *, shift: float = 0.0, weight: float = WEIGHT, limit: float = LIMIT, cells: int = 101
) -> float:
    """Return how many readings pass on average before the chart signals.

    `shift` is the real change in standard deviations: at 0, the wait for a
    false alarm.  The average is cut into `cells` cells, a Markov chain whose
    mean time to leave is solved for exactly.
    """
    share = _weight(weight)
    edge = positive("limit", limit) * math.sqrt(share / (2 - share))
    if cells < 3 or cells % 2 == 0:
        raise ComputeError(f"The chain needs an odd number of cells above 2, not {cells}.")
    half = edge / cells
    centres = [-edge + half * (2 * place + 1) for place in range(cells)]
    rows = [_staying(now, centres, half, share, finite("shift", shift)) for now in centres]
    return _solve(rows)[cells // 2]


def _staying(
    now: float, centres: Sequence[float], half: float, share: float, shift: float
) -> list[float]:
    """Return the chances of going from `now` into each cell."""
    rest = (1 - share) * now
    edges = [centres[0] - half, *(centre + half for centre in centres)]
    below = [_normal_below((edge - rest) / share - shift) for edge in edges]
    return [upper - lower for lower, upper in pairwise(below)]


def _normal_below(z: float) -> float:
    return math.erfc(-z / math.sqrt(2)) / 2


def _solve(chances: list[list[float]]) -> list[float]:
    """Return the mean times t with (I - P) t = 1, by Gaussian elimination.

    I - P is diagonally dominant, so no row needs swapping.
    """
    size = len(chances)
    rows = [
        [(1.0 if i == j else 0.0) - chances[i][j] for j in range(size)] + [1.0] for i in range(size)
    ]
    for top in range(size):
        lead = rows[top]
        for row in rows[top + 1 :]:
            factor = row[top] / lead[top]
            row[top:] = [a - factor * b for a, b in zip(row[top:], lead[top:], strict=True)]
    times = [0.0] * size
    for i in reversed(range(size)):
        known = math.fsum(rows[i][j] * times[j] for j in range(i + 1, size))
        times[i] = (rows[i][size] - known) / rows[i][i]
    return times


def _weight(weight: float) -> float:
    share = within("weight of a new reading", weight, 0, 1)
    return positive("weight of a new reading", share)
