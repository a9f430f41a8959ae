"""Checks against something outside the project, held as rows of a table.

Each module of tests in this folder keeps one table of `Check` rows.  A row says
what was computed, what the outside source says, how close the two must be, and
how well the source itself was seen.  Only `HARD` statuses may fail a test: a
figure from memory or a habit of the trade is shown, never enforced.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

VERIFIED_PAGE = "verified: page"
VERIFIED_COMPUTED = "verified: computed"
MEMORY = "memory"
COMMON_PRACTICE = "common practice"

STATUSES = (VERIFIED_PAGE, VERIFIED_COMPUTED, MEMORY, COMMON_PRACTICE)
HARD = frozenset({VERIFIED_PAGE, VERIFIED_COMPUTED})


class Check(NamedTuple):
    """One comparison with a value from outside the project.

    `tolerance` is absolute, in the unit of `reference`.  `call` takes no
    arguments and returns our value, so that building the table computes nothing.
    """

    id: str
    what: str
    call: Callable[[], float]
    reference: float
    tolerance: float
    source: str
    status: str

    @property
    def hard(self) -> bool:
        """Whether the source was seen well enough for this row to fail a test."""
        return self.status in HARD


def relative_difference(ours: float, reference: float) -> float:
    """Return |ours - reference| / |reference|; for a reference of 0, |ours|."""
    difference = abs(ours - reference)
    return difference / abs(reference) if reference else difference


def agrees(check: Check) -> bool:
    """Return whether our value is finite and within the row's tolerance."""
    ours = check.call()
    return math.isfinite(ours) and abs(ours - check.reference) <= check.tolerance


def describe(check: Check) -> str:
    """Return one line for a report or a failing test."""
    ours = check.call()
    return (
        f"{check.id} | {check.what} | ours {ours:.6g} | reference {check.reference:.6g}"
        f" | relative difference {relative_difference(ours, check.reference):.2g}"
        f" | {check.source} | {check.status}"
    )
