"""Numbers as words: the bands of a quantity that some rule of the book tells apart.

Thresholds t1 < t2 < ... cut the line into open intervals and the points themselves, so
that `<` and `<=` stay different. Band 2i lies below threshold i, band 2i+1 is the point.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable


class Bands:
    """The bands of one quantity, in its own unit."""

    def __init__(self, thresholds: Iterable[float]) -> None:
        self.points = tuple(sorted({round(t, 9) for t in thresholds}))
        self.words = tuple(f"b{i}" for i in range(2 * len(self.points) + 1))

    def of(self, value: float) -> str:
        """The band that a number falls into."""
        value = round(value, 9)
        i = bisect_left(self.points, value)
        at = i < len(self.points) and self.points[i] == value
        return self.words[2 * i + at]

    def select(self, operator: str, threshold: float) -> frozenset[str]:
        """The bands that satisfy a comparison with one of the thresholds."""
        point = 2 * self.points.index(round(threshold, 9)) + 1
        match operator:
            case "<":
                return frozenset(self.words[:point])
            case "<=":
                return frozenset(self.words[:point + 1])
            case ">":
                return frozenset(self.words[point + 1:])
            case _:
                return frozenset(self.words[point:])

    def limits(self, word: str) -> tuple[float, float]:
        """The ends of a band; a point has both ends alike."""
        i = self.words.index(word)
        if i % 2:
            return self.points[i // 2], self.points[i // 2]
        low = self.points[i // 2 - 1] if i else -math.inf
        high = self.points[i // 2] if i // 2 < len(self.points) else math.inf
        return low, high
