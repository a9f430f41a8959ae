"""What changed together in the shots kept, so that they can't tell which of the two did it."""

from __future__ import annotations

import statistics
from collections import defaultdict
from collections.abc import Mapping, Sequence
from contextlib import suppress
from statistics import StatisticsError
from typing import Any

from diagnose.compute.robust import median

NUMBERS = {"dose_g": ("the dose", 0.03), "yield_g": ("the yield", 0.06)}
"""Column to its name, and the part of it that it must have moved by to count."""
NEARLY = 0.9
"""Rank correlation from which two numbers are said to have moved together (Spearman 1904)."""
FEWEST = 3


def with_it(rows: Sequence[Mapping[str, Any]], xs: Sequence[float]) -> list[str]:
    """What changed whenever the numbers `xs`, one for each row, did; in words."""
    found = [name for column, (name, least) in NUMBERS.items()
             if _moved(ys := [r[column] for r in rows], least) and abs(correlation(xs, ys)) >= NEARLY]
    return found + (["the beans"] if _each_its_own(rows, xs) else [])


def said(together: Sequence[str], what: str) -> str:
    """That nothing can be concluded, in a sentence."""
    names = " and ".join(together)
    verb = "change" if len(together) > 1 or together[0] == "the beans" else "changes"
    return (f"In these shots {names} {verb} together with {what}, so they can't tell which of them makes the "
            f"time. A few shots with only {what} changed would.")


def _moved(values: Sequence[float], least: float) -> bool:
    return len(values) >= FEWEST and max(values) - min(values) > least * median(values)


def _each_its_own(rows: Sequence[Mapping[str, Any]], xs: Sequence[float]) -> bool:
    """Are there two sorts of beans or more, and for none of them the same number as for another?"""
    seen: dict[str, set[float]] = defaultdict(set)
    for row, x in zip(rows, xs, strict=True):
        seen[(row["beans"] or "").casefold()].add(x)
    return len(seen) > 1 and all(len(found) == 1 for found in seen.values()) and (
        len(set().union(*seen.values())) == len(seen))


def correlation(xs: Sequence[float], ys: Sequence[float]) -> float:
    """The rank correlation of two rows of numbers; 0 where one of them does not move."""
    with suppress(StatisticsError):
        return statistics.correlation(_ranks(xs), _ranks(ys))
    return 0.0


def _ranks(values: Sequence[float]) -> list[float]:
    """The rank of each, those alike sharing the middle of theirs."""
    places: dict[float, list[int]] = defaultdict(list)
    for place, value in enumerate(sorted(values)):
        places[value].append(place)
    return [sum(places[v]) / len(places[v]) for v in values]
