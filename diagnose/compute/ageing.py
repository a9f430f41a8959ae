"""What one mark does, told apart from what the beans' age does meanwhile.

Beans run faster day by day.  Where the grinder was turned one way over the same
days, the marks take the blame for the age, and the step can even come out the
wrong way round.  So shots are compared within a bag only, and where ageing
could matter, every ageing that the shots do not speak against is allowed for.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from .robust import FittedLine, theil_sen, variance

AGEING_PER_DAY = (-0.06, 0.02)
"""How much a day of age changes the logarithm of the shot time at one mark, least and
most: up to 6 % faster, or 2 % slower.  Common practice, no source."""

SHOT_SCATTER = 0.07
"""Two shots pulled alike differ by about this share (2 s in 28 s): common
practice, no source.  Keeps the interval honest when few shots happen to agree."""

NEAR_DAYS = (0, 2)
"""Shots this many days apart are also compared among themselves alone: on one day, and
within three days, where age has little to say (our choice)."""

_TRIALS = 17
_SURE = 1.96
"""How many standard deviations hold 95 % of a normal spread, to either side."""


@dataclass(frozen=True, slots=True)
class Sample:
    """Shots ready to be compared: marks, logarithms of the time, days, bags."""

    marks: Sequence[float]
    logs: Sequence[float]
    days: Sequence[float] | None
    """None where not every shot carries its day."""
    bags: Sequence[str]


def teaches(sample: Sample) -> bool:
    """Return whether any bag was ground at two marks."""
    return len(set(zip(sample.bags, sample.marks, strict=True))) > len(set(sample.bags))


def step(sample: Sample) -> tuple[FittedLine, bool]:
    """Return the line of log time on mark, and whether the beans' age had to be allowed for.

    The interval is Sen's, widened to what shot-to-shot scatter alone would give.  It
    stands as it is where no ageing there may be moves the slope out of it; else
    it spans the intervals under every ageing that fits, the slope being that under
    the middle one, whichever of the shots of a bag, of a day or of three days tell most.
    """
    plain = _line(sample, 0.0)
    if sample.days is None:
        return plain, False
    ends = [_line(sample, share).slope for share in AGEING_PER_DAY]
    if plain.low <= min(ends) and max(ends) <= plain.high:
        return plain, False
    shares = _fitting(sample)
    near = [replace(sample, bags=_near(sample, days)) for days in NEAR_DAYS]
    spans = [_spanning(part, shares) for part in (sample, *near) if teaches(part)]
    return min(spans, key=lambda line: line.high - line.low), True


def _near(sample: Sample, reach: int) -> list[str]:
    """Return the bags split wherever more than `reach` days have gone by since the first."""
    first: dict[str, float] = {}
    found = [""] * len(sample.bags)
    days = sample.days or []
    for i in sorted(range(len(found)), key=lambda i: days[i]):
        bag = sample.bags[i]
        if days[i] - first.get(bag, -math.inf) > reach:
            first[bag] = days[i]
        found[i] = f"{bag} from {first[bag]:g}"
    return found


def _spanning(sample: Sample, shares: Sequence[float]) -> FittedLine:
    """Return the line under the middle of these ageings, its interval spanning all of theirs."""
    middle = _line(sample, (shares[0] + shares[-1]) / 2)
    lines = [middle, *(_line(sample, share) for share in shares)]
    return replace(middle, low=min(line.low for line in lines), high=max(line.high for line in lines))


def _line(sample: Sample, share: float) -> FittedLine:
    """Return the line within bags, its interval never too sure, if a day does `share`."""
    line = theil_sen(sample.marks, _unaged(sample, share), groups=sample.bags)
    least = _SURE * SHOT_SCATTER / math.sqrt(_spread(sample))
    low, high = min(line.low, line.slope - least), max(line.high, line.slope + least)
    return replace(line, low=low, high=high)


def _unaged(sample: Sample, share: float) -> list[float]:
    days = sample.days or [0.0] * len(sample.logs)
    return [log - share * day for log, day in zip(sample.logs, days, strict=True)]


def _spread(sample: Sample) -> float:
    """Return the sum of squares of the marks about the middle of their bag."""
    bags: dict[str, list[float]] = defaultdict(list)
    for bag, mark in zip(sample.bags, sample.marks, strict=True):
        bags[bag].append(mark)
    return math.fsum((mark - math.fsum(of) / len(of)) ** 2 for of in bags.values() for mark in of)


def _fitting(sample: Sample) -> list[float]:
    """Return the ageings, of those there may be, that the shots do not speak against.

    One is spoken against where what it and the marks leave over still goes with the
    days: Kendall's S, added up over the bags, at 95 %.  Source: R. M. Hirsch,
    J. R. Slack, R. A. Smith, Water Resources Research 18 (1982) 107-121.
    """
    least, most = AGEING_PER_DAY
    trials = [least + (most - least) * i / (_TRIALS - 1) for i in range(_TRIALS)]
    return [share for share in trials if not _left_over(sample, share)] or trials


def _left_over(sample: Sample, share: float) -> bool:
    """Return whether what is left still goes with the days, the marks taken out."""
    days = sample.days or []
    logs = _unaged(sample, share)
    slope = theil_sen(sample.marks, logs, groups=sample.bags).slope
    left = [log - slope * mark for log, mark in zip(logs, sample.marks, strict=True)]
    score = sum(
        _sign(days[j] - days[i]) * _sign(left[j] - left[i])
        for i, j in combinations(range(len(left)), 2)
        if sample.bags[i] == sample.bags[j]
    )
    return abs(score) > _SURE * math.sqrt(max(variance(days, left, sample.bags), 0) / 18)


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)
