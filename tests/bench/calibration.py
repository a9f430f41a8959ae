"""How far the probabilities can be believed: Brier score and reliability over worked cases."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from pathlib import Path

from diagnose.reason.system import System
from tests.cases.judge import Verdict, judge, worked

EDGES = tuple(i / 10 for i in range(11))

Forecast = tuple[float, bool]
"""A probability given, and whether it was so."""


def brier(forecasts: Iterable[Forecast]) -> float:
    """Mean square of probability less outcome (Brier, Monthly Weather Review 78, 1950)."""
    taken = list(forecasts)
    return sum((p - held) ** 2 for p, held in taken) / len(taken)


def bins(forecasts: Iterable[Forecast]) -> list[tuple[float, float, int, float, float]]:
    """For each band of probability: its ends, how many, the mean given, the share that held."""
    taken = list(forecasts)
    found = []
    for low, high in pairwise(EDGES):
        held = [(p, was) for p, was in taken if low <= p < high or (p == high == 1.0)]
        if held:
            found.append((low, high, len(held), sum(p for p, _ in held) / len(held),
                          sum(was for _, was in held) / len(held)))
    return found


def forecasts(verdicts: Iterable[Verdict]) -> list[Forecast]:
    """The leading cause's probability in every case with one fault, and whether it was the one."""
    leading = [(v.case.ranked[0], v.expected[0]) for v in verdicts if len(v.expected) == 1]
    return [(first.probability, first.cause in fault) for first, fault in leading]


def told(taken: list[Forecast]) -> str:
    """Brier score and reliability table as text."""
    if not taken:
        return "no case with one fault"
    lines = [f"{len(taken)} cases with one fault: Brier score of the leading cause "
             f"{brier(taken):.3f}", f"{'given':>14} {'cases':>6} {'mean given':>11} {'it was so':>10}"]
    lines += [f"{low:6.1f} to {high:3.1f} {count:7} {mean:11.2f} {held:10.2f}"
              for low, high, count, mean, held in bins(taken)]
    return "\n".join(lines)


def table(system: System, folder: Path) -> str:
    """The reliability of every case in a folder, worked out from all its answers."""
    cases = (one for path in sorted(folder.glob("*.yaml")) for one in worked(path))
    return told(forecasts(judge(system, one) for one in cases))
