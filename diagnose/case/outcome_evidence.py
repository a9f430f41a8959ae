"""What came of the fixes tried: evidence on their causes, and which are not to be offered again."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable

from diagnose.book.book import Book
from diagnose.case.events import Tried
from diagnose.reason import weights
from diagnose.reason.plan import Planner

SOLVED_ELSEWHERE = 0.1
"""Chance that a complaint gets better after a remedy that did not reach its cause."""
PARTLY = 0.3
"""Part of the fixes that reach their cause and still leave some of the trouble."""
AGAIN = 2
"""Times that a fix which made it better each time may be taken further."""


def decibans(planner: Planner, tries: Iterable[Tried]) -> dict[str, float]:
    """What the outcomes say for or against each cause of what trouble is left.

    A fix that did nothing argues against its causes by its chance of curing them. One that
    helped speaks for them, less clearly so where something is left; but where one complaint of
    several is gone, its cause is cured, and what is left has another, or is another matter.
    """
    found: dict[str, float] = defaultdict(float)
    for tried in tries:
        for cause, cures in planner.cured.get(tried.remedy, {}).items():
            found[cause] += weights.in_decibans(_ratio(tried, cures))
    return dict(found)


def _ratio(tried: Tried, cures: float) -> float:
    if tried.outcome in ("same", "worse") or tried.gone:
        return 1 - cures
    return cures * (1.0 if tried.outcome == "solved" else PARTLY) / SOLVED_ELSEWHERE


def spent(book: Book, tries: Iterable[Tried]) -> frozenset[str]:
    """The remedies not to be offered again.

    What made it better can be taken further where the book says what to look at afterwards,
    such as a grind set finer; for a second time, and not where it did no more good or cured a
    complaint of its own.
    """
    further: Counter[str] = Counter()
    done: set[str] = set()
    for tried in tries:
        stated = book.remedies.get(tried.remedy)
        further[tried.remedy] += 1
        if tried.outcome != "better" or tried.gone or not (stated and stated.changes) \
                or further[tried.remedy] >= AGAIN:
            done.add(tried.remedy)
    return frozenset(done)
