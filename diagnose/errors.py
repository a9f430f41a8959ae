"""Failures a person can mend."""

from __future__ import annotations

LONGEST_SAID = 60
"""Signs up to which a refusal repeats what it refuses."""


class UserError(Exception):
    """What is wrong, where, and what to do, in one plain line."""


def short(text: str) -> str:
    """What was said, to be repeated in one line: of a long text its beginning."""
    line = "".join(sign if sign.isprintable() else " " for sign in " ".join(text.split()))
    return line if len(line) <= LONGEST_SAID else line[:LONGEST_SAID - 3] + "..."
