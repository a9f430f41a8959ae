"""Rates and means over how cases came out."""

from __future__ import annotations

import statistics
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from diagnose.book.book import Book
from tests.cases.consulted import Consulted
from tests.cases.judge import Verdict, Worked

NO_CAUSE = "no cause"
"""Where cases stand that end in a hazard or outside the book."""


@dataclass(frozen=True)
class Share:
    """So many of so many."""

    held: int
    of: int

    @property
    def percent(self) -> float:
        """In percent; 0 where there is nothing to hold."""
        return 100 * self.held / self.of if self.of else 0.0

    def __str__(self) -> str:
        return f"{self.percent:.0f} %" if self.of else "-"


@dataclass(frozen=True)
class Rates:
    """How a group of cases came out."""

    cases: int
    first: Share
    """The (chief) fault stands first, of the cases with a fault."""
    near: Share
    """Every fault is among the first three or the companions."""
    fix: Share
    """The first fix is a right one, of the cases that name one."""
    cautions: Share
    """All cautions are shown, of the cases that name any."""
    stops: Share
    """It stops where it should and only there."""


def rates(verdicts: Iterable[Verdict], cases: Iterable[Worked]) -> Rates:
    """The rates of verdicts on these cases, in the same order."""
    taken = list(zip(verdicts, cases, strict=True))
    faulty = [v for v, _ in taken if v.expected]
    fixed = [v.fix for v, _ in taken if v.fix is not None]
    warned = [not v.missing for v, one in taken if one.expect.cautions]
    return Rates(len(taken), Share(sum(v.first for v in faulty), len(faulty)),
                 Share(sum(v.near for v in faulty), len(faulty)), Share(sum(fixed), len(fixed)),
                 Share(sum(warned), len(warned)), Share(sum(v.stops for v, _ in taken), len(taken)))


@dataclass(frozen=True)
class Asked:
    """What consults asked up to their first step that is no question."""

    mean: float
    median: float
    unanswered: Share
    """Questions that the facts of the case do not answer."""
    minutes: float
    placed: dict[str, int]
    """How the complaints were placed: `read`, `picked` from the list, or `` for not at all."""
    ends: dict[str, int]


def asked(consults: Iterable[Consulted]) -> Asked:
    """Figures over consults; there is at least one."""
    taken = list(consults)
    counts = [c.questions for c in taken]
    ends = Counter(type(one.end).__name__ if one.end else "no end" for one in taken)
    return Asked(statistics.mean(counts), statistics.median(counts),
                 Share(sum(counts) - sum(c.answered for c in taken), sum(counts)),
                 statistics.mean(c.minutes for c in taken), Counter(c.placed for c in taken), ends)


def chapter(book: Book, one: Worked) -> str:
    """The chapter of the case's chief fault."""
    causes = [c for c in "|".join(one.expect.causes[:1]).split("|") if c in book.causes]
    return chapter_of(book, "causes", causes[0]) if causes else NO_CAUSE


def chapter_of(book: Book, kind: str, name: str) -> str:
    """The chapter that an entry stands in."""
    return book.layers.origin[kind, name].file.rpartition("/")[2].removesuffix(".yaml")
