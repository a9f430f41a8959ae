"""A straight line through few, sometimes bad points.

Theil-Sen: the slope is the median of the slopes of all pairs of points, so one
bad shot in four does no harm.  Written out because it is a dozen lines and the
general libraries cost a tenth of a second and more to load; `statistics` is
loaded at first use for the same reason.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from .errors import ComputeError


@dataclass(frozen=True, slots=True)
class FittedLine:
    """A fitted line; `low` and `high` are the ends of the slope's interval."""

    slope: float
    intercept: float
    low: float
    high: float


def median(values: Iterable[float]) -> float:
    """Return the middle value; raise `ComputeError` when there are none."""
    import statistics

    kept = list(values)
    if not kept:
        raise ComputeError("There is nothing to take the middle of: give at least one number.")
    return statistics.median(kept)


def theil_sen(
    x: Sequence[float],
    y: Sequence[float],
    confidence: float = 0.95,
    groups: Sequence[str] | None = None,
) -> FittedLine:
    """Return the Theil-Sen line of `y` on `x`, the slope with Sen's interval.

    With `groups`, one for each point, only points of the same group are compared.
    Source: H. Theil 1950; P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389; for
    groups R. M. Hirsch, J. R. Slack, R. A. Smith, Water Resources Research 18 (1982)
    107-121.  The intercept is median(y) - slope * median(x).  Raises `ComputeError`
    when no group holds two different `x`.
    """
    of = groups or [""] * len(x)
    slopes = sorted(
        (y[j] - y[i]) / (x[j] - x[i])
        for i, j in combinations(range(len(x)), 2)
        if x[i] != x[j] and of[i] == of[j]
    )
    if not slopes:
        raise ComputeError("A slope needs readings at two different settings: add one more.")
    slope = median(slopes)
    first, last = _ranks(variance(x, y, of), len(slopes), confidence)
    return FittedLine(slope, median(y) - slope * median(x), slopes[first], slopes[last])


def variance(x: Sequence[float], y: Sequence[float], groups: Sequence[str]) -> int:
    """Return 18 times the variance of Kendall's S over the groups, less that of the ties."""
    found = 0
    for group in set(groups):
        at = [i for i, own in enumerate(groups) if own == group]
        found += _pair_variance(len(at))
        found -= _tied_variance([x[i] for i in at]) + _tied_variance([y[i] for i in at])
    return found


def _ranks(spread: int, pairs: int, confidence: float) -> tuple[int, int]:
    """Return which of the sorted slopes end the interval (Sen 1968, with ties).

    With so many ties that no variance is left, the whole span: nothing is known.
    """
    from statistics import NormalDist

    if spread <= 0:
        return 0, pairs - 1
    reach = NormalDist().inv_cdf(0.5 + confidence / 2) * math.sqrt(spread / 18)
    first = max(round((pairs - reach) / 2) - 1, 0)
    return min(first, pairs - 1), min(round((pairs + reach) / 2), pairs - 1)


def _pair_variance(n: int) -> int:
    return n * (n - 1) * (2 * n + 5)


def _tied_variance(values: Sequence[float]) -> int:
    return sum(_pair_variance(count) for count in Counter(values).values())
