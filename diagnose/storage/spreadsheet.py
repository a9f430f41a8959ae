"""Cells of a CSV file that a spreadsheet shows and does not work out."""

from __future__ import annotations

from typing import Any

FORMULA = ("=", "+", "-", "@")
"""How a cell begins that a spreadsheet would work out."""
GUARD = "'"
"""Stands before such a text, so that it is shown and not worked out."""


def guarded(value: Any) -> Any:
    """A cell for a CSV file; `unguarded` gives back what it was."""
    begins = (*FORMULA, *(GUARD + sign for sign in (*FORMULA, GUARD)))
    return GUARD + value if isinstance(value, str) and value.startswith(begins) else value


def unguarded(cell: str) -> str:
    """What a guarded cell was."""
    return cell[1:] if cell[:1] == GUARD and cell[1:2] in (*FORMULA, GUARD) else cell
