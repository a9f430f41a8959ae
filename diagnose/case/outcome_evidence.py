"""What came of the fixes tried: evidence on their causes, and which are not to be offered again."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from diagnose.book.book import Book
from diagnose.case.events import Tried
from diagnose.reason import weights
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.plan import Planner

BETTER_BY_CHANCE = 0.1
"""Chance that a complaint gets better after a remedy that did not reach its cause. A fix that usually cures
and did speaks for its cause by 9 decibans."""
PARTLY_CURED_SHARE = 0.3
"""Part of the fixes that reach their cause and still leave some of the trouble: one that helped and did not
cure speaks for its cause by 4 decibans."""
OTHER_PER_FAILURE = 3.0
"""Decibans that each fix which failed brings to something not in the book: whatever it spoke for,
the case is understood less well than it seemed."""
MOST_AGAIN = 6
"""Times that a fix which goes on helping is done; what needs more of it needs another."""
TREATED_FROM = 0.6
"""Chance of a cure from which a fix that did nothing has treated its cause: what `often` cures, and more."""


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
        if _failed(tried):
            found[OTHER] += OTHER_PER_FAILURE
    return dict(found)


def _ratio(tried: Tried, cures: float) -> float:
    if tried.outcome in ("same", "worse") or tried.gone:
        return 1 - cures
    return cures * (1.0 if tried.outcome == "solved" else PARTLY_CURED_SHARE) / BETTER_BY_CHANCE


def _failed(tried: Tried) -> bool:
    return tried.outcome in ("same", "worse")


def spent(book: Book, tries: Iterable[Tried]) -> frozenset[str]:
    """The remedies not to be offered again: all that were tried, but what goes on helping."""
    done: set[str] = set()
    times: Counter[str] = Counter()
    for tried in tries:
        stated = book.remedies.get(tried.remedy)
        times[tried.remedy] += 1
        if tried.outcome != "better" or tried.gone or not (stated and stated.again) \
                or times[tried.remedy] >= MOST_AGAIN:
            done.add(tried.remedy)
    return frozenset(done)


def helping(book: Book, tries: Sequence[Tried]) -> str:
    """The remedy that made it better just now and can be done once more; empty where there is none."""
    last = tries[-1].remedy if tries else ""
    return last if last and not tries[-1].symptoms and last not in spent(book, tries) else ""


def treated(planner: Planner, tries: Iterable[Tried]) -> frozenset[str]:
    """The causes that a fix was tried for which mostly cures them, and did nothing."""
    return frozenset(cause for tried in tries if _failed(tried)
                     for cause, cures in planner.cured.get(tried.remedy, {}).items() if cures >= TREATED_FROM)
