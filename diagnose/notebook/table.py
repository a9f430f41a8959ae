"""A table as a spreadsheet saves it: its separator, its columns, its rows with their lines."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from diagnose.book.problems import nearest
from diagnose.errors import UserError
from diagnose.notebook.columns import CLOCK, Column, guess, kind_of
from diagnose.notebook.fields import KINDS, FieldError
from diagnose.storage.spreadsheet import unguarded

SEPARATORS = ";\t|,"
"""The last is taken where nothing tells."""
_CLOCK = re.compile(r"(.+?)[ T,]+([0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?)")
_DAY_FIRST = re.compile(r"([0-9]{1,2})[./]([0-9]{1,2})[./]([0-9]{4})")


@dataclass
class Table:
    """A table read: what its columns are, and its rows, each with its place."""

    kind: str
    columns: tuple[Column, ...]
    own: bool
    """Are the columns the notebook's own, so that nothing was guessed?"""
    rows: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    """Rows that can't be read, each in a line with its place."""

    @property
    def units(self) -> dict[str, str]:
        """Field to the unit that the heading states."""
        return {c.field: c.unit for c in self.columns if c.unit}


def table_of(path: Path, text: str, kind: str | None, named: Mapping[str, str]) -> Table:
    """The table that a file holds; UserError where no table can be made out."""
    table, heads = None, list[str]()
    reader = _reader(text, _separator(text))
    try:
        for cells in reader:
            place = f"{path}:{reader.line_num}"
            if table is None:
                heads = [c.strip() for c in cells]
                table = _headed(place, heads, kind, named)
            elif any(c.strip() for c in cells):
                _take(table, place, [unguarded(c) for c in cells])
    except csv.Error as error:
        raise UserError(f"{path}:{reader.line_num}: {error}; the file looks cut off or a quote is "
                        "open. Nothing was taken in") from None
    if table is None:
        raise UserError(f"{path}: is empty; its first line names the columns")
    return table


def _take(table: Table, place: str, cells: Sequence[str]) -> None:
    if len(cells) != len(table.columns):
        table.wrong.append(f"{place}: holds {len(cells)} of {len(table.columns)} columns; the file looks cut "
                           "off or a comma is missing")
        return
    row = {c.field: cell for c, cell in zip(table.columns, cells, strict=True) if c.field}
    table.rows.append((place, _moment(row)))


def _separator(text: str) -> str:
    """What stands between the cells: that which gives the most lines as many of them as the first."""
    def even(separator: str) -> int:
        widths = []
        with suppress(csv.Error):
            widths += [len(cells) for cells in _reader(text, separator) if any(c.strip() for c in cells)]
        return widths.count(widths[0]) if widths and widths[0] > 1 else 0

    return max(reversed(SEPARATORS), key=even)


def _reader(text: str, separator: str) -> Any:
    return csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=separator)


def _headed(place: str, heads: Sequence[str], kind: str | None, named: Mapping[str, str]) -> Table:
    for head in heads:
        if head and heads.count(head) > 1:
            raise UserError(f"{place}: the column {head!r} stands there twice; drop one")
    kind = kind or kind_of(heads, named)
    known = [f.name for f in KINDS[kind]]
    for head, name in named.items():
        if head not in heads:
            raise UserError(f"{place}: no column {head!r}{nearest(head, heads)}; they are {', '.join(heads)}")
        if name not in (*known, CLOCK, ""):
            raise UserError(f"no field {name!r} in {kind}{nearest(name, known)}; they are {', '.join(known)}")
    columns = guess(heads, kind, named)
    try:
        complete([c.field for c in columns], kind)
    except FieldError as error:
        left = [c.head for c in columns if not c.field]
        hint = "".join(nearest(head, known) for head in left)
        told = (f"; of these columns I make nothing: {', '.join(left)}{hint}. Name one with "
                "`--column HEADING=FIELD`; the fields are " + ", ".join(known)) if left else ""
        raise UserError(f"{place}: {error}{told}") from None
    return Table(kind, tuple(columns), all(c.head == c.field for c in columns))


def complete(names: Sequence[str], kind: str) -> None:
    """FieldError where a field is missing that every entry of the kind has, or one is no field of it."""
    known = [f.name for f in KINDS[kind]]
    for name in names:
        if name and name not in (*known, CLOCK):
            raise FieldError(f"no column {name!r} in {kind}{nearest(name, known)}; "
                             f"they are {', '.join(known)}")
    for stated in KINDS[kind]:
        if (stated.required or stated.name == "at") and stated.name not in names:
            raise FieldError(f"the column {stated.name!r} is missing from {kind}")


def _moment(row: dict[str, str]) -> dict[str, str]:
    """The row with day and time of day put together, as the notebook takes them."""
    said, clock = row.get("at", "").strip(), row.pop(CLOCK, "").strip()
    if not clock and (parted := _CLOCK.fullmatch(said)):
        said, clock = parted.groups()
    if not clock and not _DAY_FIRST.fullmatch(said):
        return row
    if found := _DAY_FIRST.fullmatch(said):
        try:
            said = date(int(found[3]), int(found[2]), int(found[1])).isoformat()
        except ValueError:
            return row
    return row | {"at": f"{said} {clock.zfill(5) if clock.count(':') == 1 else clock.zfill(8)}".strip()
                  if clock else said}
