"""Files read up to a bound: what has no end, or is too large, is refused and not read in."""

from __future__ import annotations

from pathlib import Path

from diagnose.errors import UserError

MB = 1_000_000
MOST_FIGURES = 300
"""Figures of a whole number in a file."""


def read(path: Path, most: int, name: str = "") -> bytes:
    """All bytes of a file, a pipe too; UserError where there are more than `most`.

    `name` is how the problem calls the file. Raises OSError where it can't be read.
    """
    with path.open("rb") as file:
        data = file.read(most + 1)
    if len(data) > most:
        size = f"{most // MB} MB" if most >= MB else f"{most:,} bytes"
        raise UserError(f"{name or path}: larger than {size}; split it")
    return data


def whole(figures: str) -> int:
    """A whole number as JSON has it; ValueError for one too long to be any."""
    if len(figures) > MOST_FIGURES:
        raise ValueError(f"a number of {len(figures):,} figures is none")
    return int(figures)
