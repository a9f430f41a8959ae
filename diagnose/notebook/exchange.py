"""The notebook as a file to carry: CSV for one kind of entry, JSON for all; both ways, exactly."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from json.decoder import JSONObject  # type: ignore[attr-defined]  # there, if not in the stubs
from json.scanner import py_make_scanner  # type: ignore[attr-defined]  # likewise
from pathlib import Path
from types import MappingProxyType
from typing import Any

from diagnose.book.problems import nearest
from diagnose.compute import units
from diagnose.errors import UserError
from diagnose.notebook.columns import Column
from diagnose.notebook.fields import KINDS, Field, FieldError, bare_number, fitting
from diagnose.notebook.store import Notebook, Row
from diagnose.notebook.table import Table, complete, table_of
from diagnose.storage import atomic, bounded
from diagnose.storage.spreadsheet import guarded

SCHEMA = 1
MOST_BYTES = 10_000_000
MOST_SAID = 20
"""Problems of a file that are named."""
FORMATS = (".csv", ".json")
PlacedRow = tuple[object, str, Row]
"""Place in the file, which is said in words where it is asked for, kind, entry."""


def write(notebook: Notebook, path: Path, kind: str | None, replace: bool = False) -> int:
    """Write entries to a file, CSV or JSON by its name; returns how many.

    CSV holds one kind (shots where none is named). UserError for a file that is there
    already, unless it may be replaced, and where it can't be written.
    """
    _format(path)
    if path.exists() and not replace:
        raise UserError(f"{path} is there already; name another file, or add --replace")
    kinds = [kind] if kind else ["shots"] if path.suffix == ".csv" else list(KINDS)
    rows = {k: notebook.rows(k) for k in kinds}
    text = (_csv(kinds[0], rows[kinds[0]]) if path.suffix.lower() == ".csv" else
            json.dumps({"notebook": SCHEMA, **rows}, indent=1, ensure_ascii=False) + "\n")
    save(path, text)
    return sum(map(len, rows.values()))


def save(path: Path, text: str) -> None:
    """Write a file whole or not at all; UserError where it can't be."""
    try:
        atomic.write(path, text.encode())
    except OSError as error:
        raise UserError(f"{path}: {error.strerror}; name another file") from None


def _format(path: Path) -> None:
    if path.suffix.lower() not in FORMATS:
        raise UserError(f"{path}: its name must end in .csv or .json")


def _csv(kind: str, rows: list[Row]) -> str:
    out = io.StringIO()
    names = [f.name for f in KINDS[kind]]
    writer = csv.DictWriter(out, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows({n: "" if v is None else guarded(v) for n, v in row.items()} for row in rows)
    return out.getvalue()


@dataclass(frozen=True)
class Taken:
    """What a file holds, and how its columns were read."""

    entries: list[PlacedRow]
    kind: str = ""
    columns: tuple[Column, ...] = ()
    """Empty where the file has the notebook's own columns, so that nothing was guessed."""


def read(path: Path, kind: str | None, now: datetime) -> list[PlacedRow]:
    """The entries of a CSV or JSON file, checked; UserError with line and mend."""
    return taken(path, kind, now).entries


def taken(path: Path, kind: str | None, now: datetime, named: Mapping[str, str] = MappingProxyType({})
          ) -> Taken:
    """The entries of a file, all of them or none; `named` are columns that a person named.

    UserError with every problem there is, each with its line and the mend.
    """
    _format(path)
    text = _text(path)
    table = table_of(path, text, kind, named) if path.suffix.lower() == ".csv" else None
    found, wrong = list[PlacedRow](), list[str]()
    rows = _of_table(table, now) if table else _of_json(path, text, kind, now)
    for one in rows:
        found.append(one) if isinstance(one, tuple) else wrong.append(one)
    wrong += _twice(found)
    if wrong:
        raise UserError(_all(wrong))
    return Taken(found, table.kind, () if table.own else table.columns) if table else Taken(found)


def _all(wrong: Sequence[str]) -> str:
    if len(wrong) == 1:
        return f"{wrong[0].rstrip('.')}; nothing was taken in"
    more = [f"... and {len(wrong) - MOST_SAID} more"] if len(wrong) > MOST_SAID else []
    return "\n  ".join([f"{len(wrong)} problems, so nothing was taken in:", *wrong[:MOST_SAID], *more])


def _twice(found: Iterable[PlacedRow]) -> Iterator[str]:
    seen: dict[tuple[Any, ...], object] = {}
    for place, which, row in found:
        key = (which, *(row[f.name] for f in KINDS[which]))
        if key in seen:
            yield f"{place}: the same entry as {seen[key]}; leave one of them out"
        seen.setdefault(key, place)


def _of_table(table: Table, now: datetime) -> Iterator[PlacedRow | str]:
    for place, cells in table.rows:
        yield from _placed(place, table.kind, _row(table.kind, cells, now, table.units))
    yield from table.wrong


def _placed(place: object, kind: str, row: Row | list[str]) -> Iterator[PlacedRow | str]:
    if isinstance(row, list):
        yield from (f"{place}: {wrong}" for wrong in row)
    else:
        yield place, kind, row


def _text(path: Path) -> str:
    try:
        return bounded.read(path, MOST_BYTES).decode("utf-8-sig")
    except OSError as error:
        raise UserError(f"{path}: {error.strerror}; check the name") from None
    except UnicodeDecodeError as error:
        raise UserError(f"{path}: byte {error.start} is no UTF-8 text; save it again as UTF-8"
                        ) from None


def _row(kind: str, cells: Mapping[str, Any], now: datetime, stated: Mapping[str, str] = MappingProxyType({})
         ) -> Row | list[str]:
    """The entry, or all that is wrong with it; `stated` are the units of the columns."""
    row, wrong = Row(), list[str]()
    for field in KINDS[kind]:
        try:
            row[field.name] = _cell(field, cells.get(field.name), now, stated.get(field.name, ""))
        except FieldError as error:
            wrong.append(str(error))
    try:
        return wrong or fitting(kind, row)
    except FieldError as error:
        return [str(error)]


def _cell(field: Field, cell: Any, now: datetime, unit: str = "") -> Any:
    """A cell's value; a bare number is in the unit of the column, else in that of the field."""
    if isinstance(cell, bool) or not isinstance(cell, str | int | float | None):
        raise FieldError(f"{field.name} reads {cell!r}, which is no text or number")
    text = "" if cell is None else repr(cell) if isinstance(cell, float) else str(cell)
    if field.name == "at" and not text.strip():
        raise FieldError("at is missing; write it like \"2026-03-31T08:15:00+00:00\"")
    if field.kind == "quantity" and bare_number(text):
        try:
            return field.check(units.read(f"{text} {unit}".strip(), field.unit))
        except units.UnitError as error:
            raise FieldError(f"{field.name}: {error}") from None
    return field.read(text, now)


def _of_json(path: Path, text: str, kind: str | None, now: datetime) -> Iterator[PlacedRow | str]:
    try:
        data = json.loads(text, parse_constant=_no_number, parse_int=bounded.whole)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", 1)
        raise UserError(f"{path}:{line}: {getattr(error, 'msg', error)}; the file looks cut off. "
                        "Nothing was taken in") from None
    if not isinstance(data, dict) or data.get("notebook") != SCHEMA:
        raise UserError(f'{path}:1: no exported notebook; it begins with "notebook": {SCHEMA}')
    for which, rows in data.items():
        if which == "notebook" or (kind and which != kind):
            continue
        if which not in KINDS or not isinstance(rows, list):
            raise UserError(f"{path}:{_line_of(text, which)}: {which!r} is no list of entries"
                            f"{nearest(which, KINDS)}; they are {', '.join(KINDS)}")
        for number, row in enumerate(rows, 1):
            place = _Place(path, text, which, number)
            try:
                if not isinstance(row, dict):
                    raise FieldError("is no object")
                complete(list(row), which)
                yield from _placed(place, which, _row(which, row, now))
            except FieldError as error:
                yield f"{place}: {error}"


class _Place:
    """Where an entry of a JSON file stands, looked for only where it is to be said."""

    def __init__(self, path: Path, text: str, which: str, number: int) -> None:
        self.path, self.text, self.which, self.number = path, text, which, number

    def __str__(self) -> str:
        decoder = _Placing()
        entry = decoder.decode(self.text)[self.which][self.number - 1]
        at = decoder.starts.get(id(entry))
        line = _line_of(self.text, self.which) if at is None else self.text.count("\n", 0, at) + 1
        return f"{self.path}:{line}: {self.which}, entry {self.number}"


class _Placing(json.JSONDecoder):
    """Decodes as JSON is, and notes where each object begins."""

    def __init__(self) -> None:
        super().__init__()
        self.starts: dict[int, int] = {}
        self.parse_object = self._object
        self.scan_once = py_make_scanner(self)

    def _object(self, text_and_end: tuple[str, int], *how: Any) -> tuple[Any, int]:
        found, end = JSONObject(text_and_end, *how)
        self.starts[id(found)] = text_and_end[1]
        return found, end


def _line_of(text: str, name: str) -> int:
    """The line in which a name first stands as JSON writes it."""
    return text.count("\n", 0, max(text.find(json.dumps(name)), 0)) + 1


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")
