"""A reason as data: a line in words, with its weight, its side and its words apart.

In JSON a reason is its line; a front end that says it otherwise takes what it needs.
"""

from __future__ import annotations

from typing import Self

INDENT = "  "
"""What each line of a chain is set in by under the one that it explains."""


class Reason(str):
    """One line that says why."""

    grade: str
    """How much it weighs, as the book grades evidence; empty for what has no weight."""
    side: str
    """for or against; empty with the grade."""
    text: str
    """The line without its weight, and without what sets it in."""
    depth: int
    """How far down a chain it stands; 0 is what is explained."""

    def __new__(cls, line: str, weight: str = "", depth: int = 0) -> Self:
        """The line as a reason; its weight, such as `strong for`, leads it with a colon."""
        made = super().__new__(cls, line)
        made.grade, _, made.side = weight.rpartition(" ")
        made.depth, made.text = depth, line[len(f"{weight}: ") if weight else len(INDENT) * depth:]
        return made
