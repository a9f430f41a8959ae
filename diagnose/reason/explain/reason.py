"""A reason as data: its words, with its weight and its side apart, and the line that they make.

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
    """Its words alone: without the weight, and without what sets the line in."""
    depth: int
    """How far down a chain it stands; 0 is what is explained."""

    def __new__(cls, text: str, grade: str = "", side: str = "", depth: int = 0, capital: bool = False
                ) -> Self:
        """The words with what leads them: what sets them in, and the weight, if wanted with a capital."""
        weight = f"{grade.capitalize() if capital else grade} {side}: " if grade else ""
        made = super().__new__(cls, f"{INDENT * depth}{weight}{text}")
        made.text, made.grade, made.side, made.depth = text, grade, side, depth
        return made
