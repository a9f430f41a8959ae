"""Complaints out of files: plain text, CSV, JSON lines, in whatever encoding they came."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from collections.abc import Iterable, Iterator
from itertools import count
from pathlib import Path
from typing import Any, NamedTuple

from diagnose.errors import UserError
from diagnose.mail import person
from diagnose.mail.person import Person
from diagnose.reading.complaint import LONGEST
from diagnose.storage import bounded

LARGEST = 200_000_000
LONGEST_LETTER = 100_000
SUFFIXES = {".csv": "csv", ".tsv": "csv", ".jsonl": "jsonl", ".ndjson": "jsonl", ".json": "jsonl"}
TEXT_NAMES = ("complaint", "text", "message", "body", "question", "problem", "description", "comment",
              "content", "mail", "email", "letter", "note")
_PART = re.compile(r"\S[^\n]*(?:\n[ \t]*\S[^\n]*)*")
"""Lines with something on them, up to a blank one."""
_ADDRESS = re.compile(r"\s*[^\s@]+@[^\s@]+\s*")
_UNSAFE = re.compile(r"[^a-z0-9]+")
DELIMITERS = ",;\t|"


class Letter(NamedTuple):
    """One complaint: a name fit for a file, its words, where they stand, and who wrote them."""

    id: str
    text: str
    place: str
    person: Person = Person()


class _Row(NamedTuple):
    """A letter in its file: the line it begins in, its words, who wrote them."""

    line: int
    said: str
    person: Person = Person()


def read(path: Path, skip: Path | None = None) -> tuple[list[Letter], list[str]]:
    """The letters of a file or folder, and a line for whatever of it can't be read.

    A folder's text files hold one letter each; a text file named by itself holds letters
    parted by blank lines. Hidden files and what lies under `skip` are left alone. Of a
    broken file every whole row is read. UserError where nothing is there at all.
    """
    if not path.exists():
        raise UserError(f"{path}: no such file or folder; name the file that holds the complaints")
    files = _files(path, skip) if path.is_dir() else [path]
    letters: list[Letter] = []
    faults: list[str] = []
    for file in files:
        try:
            letters += _letters(file, path, faults)
        except UserError as error:
            faults.append(str(error))
    if not letters and not faults:
        raise UserError(f"{path}: holds no complaint")
    return _named_apart(letters), faults


class _Left:
    """What is left out of one file: the first fault told in full, further ones counted."""

    def __init__(self, file: Path) -> None:
        self.file, self.first, self.more = file, "", 0

    def out(self, line: int, why: str) -> None:
        """Note one row that can't be read."""
        if self.first:
            self.more += 1
        else:
            self.first = f"{self.file}:{line}: {why}"

    def told(self) -> list[str]:
        """One line, or none where nothing was left out."""
        if not self.first:
            return []
        more = f"; {self.more} more such row{'s' * (self.more > 1)} in this file" if self.more else ""
        return [f"{self.first}{more}. What is whole was read"]


def _files(folder: Path, skip: Path | None) -> list[Path]:
    inside = skip.resolve() if skip else None
    return sorted(f for f in folder.rglob("*")
                  if f.is_file() and not any(p.startswith(".") for p in f.relative_to(folder).parts)
                  and not (inside and f.resolve().is_relative_to(inside)))


def _named_apart(letters: list[Letter]) -> list[Letter]:
    """Letters with names made different where two files would share one."""
    taken: set[str] = set()
    found = []
    for letter in letters:
        names = (f"{letter.id}-again-{n}" if n > 1 else letter.id for n in count(1))
        found.append(letter._replace(id=next(name for name in names if name not in taken)))
        taken.add(found[-1].id)
    return found


def digest(letters: Iterable[Letter]) -> str:
    """A name for a pile that has none: what its letters say."""
    found = hashlib.sha256()
    for letter in letters:
        found.update(letter.text.encode("utf-8", "replace") + b"\0")
    return f"letters read from a pipe, {found.hexdigest()[:16]}"


def _letters(file: Path, asked: Path, faults: list[str]) -> list[Letter]:
    text, alone, left = decoded(file), file == asked, _Left(file)
    shown = file.name if alone else str(file.relative_to(asked))
    name = _UNSAFE.sub("-", file.stem.lower()).strip("-")[:40] or "letter"
    match SUFFIXES.get(file.suffix.lower()):
        case "csv":
            rows = list(_csv(text, file, left))
        case "jsonl":
            rows = list(_jsonl(text, file, left))
        case _ if alone:
            rows = list(_parted(text))
        case _:
            rows = [_Row(0, text.strip())]  # the file is the letter: it has no line of its own
    kept = [(number, row._replace(said=row.said[:LONGEST_LETTER]))
            for number, row in enumerate(rows, 1) if row.said.strip()]
    faults += left.told() or ([] if kept or alone else [f"{file}: holds no words"])
    faults += [f"{file}:{line or 1}: only the first {LONGEST:,} of {len(said):,} signs are read; shorten it"
               for line, said, _ in rows if len(said) > LONGEST]
    return [Letter(f"{name}-{number:05d}" if row.line else name, row.said,
                   f"{shown}:{row.line}" if row.line else shown, _signed(row))
            for number, row in kept]


def _signed(row: _Row) -> Person:
    """Who wrote a letter: a column's word before the signature's."""
    return row.person if row.person.name else row.person._replace(name=person.signed(row.said))


def decoded(file: Path) -> str:
    """The file's text: UTF-8 or UTF-16 with or without mark, else Latin-1 where a line is neither."""
    try:
        data = bounded.read(file, LARGEST)
    except OSError as error:
        raise UserError(f"{file}: can't be read: {error.strerror}") from None
    wide = _wide(data)
    if wide:
        return _newlines(data.decode(wide, errors="replace").lstrip("\ufeff"))
    if b"\0" in data:
        raise UserError(f"{file}:{data[:data.index(0)].count(10) + 1}: is not text; save it as plain "
                        "text, CSV or JSON lines")
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        return _newlines(data.decode("utf-8"))
    except UnicodeDecodeError:
        return _newlines("".join(map(_line, data.splitlines(keepends=True))))


def _newlines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _wide(data: bytes) -> str:
    """utf-16 in one of its forms, by its mark or by where the empty bytes lie; else ``."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "utf-16"
    head = data[:4_000]
    odd, even = head[1::2].count(0), head[0::2].count(0)
    if len(head) >= 8 and odd > 0.4 * len(head) / 2 and even == 0:
        return "utf-16-le"
    return "utf-16-be" if len(head) >= 8 and even > 0.4 * len(head) / 2 and odd == 0 else ""


def _line(data: bytes) -> str:
    """One line of a file of mixed encodings."""
    for encoding in ("utf-8", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def _parted(text: str) -> Iterator[_Row]:
    """Letters parted by blank lines, each with the line it begins in."""
    line, at = 1, 0
    for part in _PART.finditer(text):
        line, at = line + text.count("\n", at, part.start()), part.start()
        yield _Row(line, part.group().strip())


def _csv(text: str, file: Path, left: _Left) -> Iterator[_Row]:
    if not text.strip():
        return
    rows = list(_rows(text, file, left))
    if not rows:
        return
    wide = len(rows[0][1])
    for line, row in rows:
        if len(row) != wide:
            left.out(line, f"{len(row)} column{'s' * (len(row) != 1)} where the first row has {wide}; "
                     "half a file? Mend the row or put its text in quotes")
    whole = [(line, row) for line, row in rows if len(row) == wide]
    column, headed = _text_column(whole, file)
    head = [cell.strip().lower() for cell in whole[0][1]] if headed else []
    for line, row in whole[headed:]:
        who = person.of_columns(zip(head, row, strict=True), head[column]) if head else Person()
        yield _Row(line, row[column], who)


def _rows(text: str, file: Path, left: _Left) -> Iterator[tuple[int, list[str]]]:
    """The rows as far as the file is whole, each with the line it begins in."""
    reader = csv.reader(io.StringIO(text), delimiter=_delimiter(text, file), strict=True)
    start = 1
    try:
        for row in reader:
            if row:
                yield start, row
            start = reader.line_num + 1
    except csv.Error as error:
        left.out(start, f"the row that begins here is broken ({error}); half a file? Save it again, "
                 "every quote closed")


def _delimiter(text: str, file: Path) -> str:
    first = text.lstrip("\n").split("\n", 1)[0]
    if file.suffix.lower() == ".tsv":
        return "\t"
    return max(DELIMITERS, key=first.count) if any(d in first for d in DELIMITERS) else ","


def _text_column(rows: list[tuple[int, list[str]]], file: Path) -> tuple[int, int]:
    """The column that holds the complaints, and how many header rows there are."""
    head = [cell.strip().lower() for cell in rows[0][1]]
    for name in TEXT_NAMES:
        if name in head and not _addresses(rows[1:101], head.index(name)):
            return head.index(name), 1
    sizes = [sum(len(row[c].split()) for _, row in rows[1:101]) for c in range(len(head))]
    best = max(range(len(head)), key=lambda c: sizes[c])
    headed = len(rows) > 1 and len(head[best].split()) < 3
    if len(head) > 1 and not sum(sizes) and len(rows) > 1:
        raise UserError(f"{file}:1: no column of text found; name it `complaint` in the first row")
    return best, int(headed)


def _addresses(rows: list[tuple[int, list[str]]], column: int) -> bool:
    """Does a column hold addresses where its name promises letters?"""
    return any(_ADDRESS.fullmatch(row[column]) for _, row in rows)


def _jsonl(text: str, file: Path, left: _Left) -> Iterator[_Row]:
    if text.lstrip().startswith("["):
        yield from _json_list(text, file)
        return
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            try:
                yield _of_json(number, json.loads(line, parse_int=bounded.whole))
            except (ValueError, RecursionError) as error:
                left.out(number, f"is no JSON object: {error}; one on each line")
            except LookupError as error:
                left.out(number, str(error.args[0]))


def _json_list(text: str, file: Path) -> Iterator[_Row]:
    try:
        data = json.loads(text, parse_int=bounded.whole)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", 1)
        raise UserError(f"{file}:{line}: is no JSON: {error}") from None
    for number, one in enumerate(data, 1):
        try:
            yield _of_json(number, one)
        except LookupError as error:
            raise UserError(f"{file}: entry {number}: {error.args[0]}") from None


def _of_json(number: int, data: Any) -> _Row:
    """One JSON value as a letter; LookupError where it has no words."""
    if isinstance(data, str):
        return _Row(number, data)
    if isinstance(data, dict):
        cells = {str(k).lower(): v if isinstance(v, str) else str(v) for k, v in data.items()
                 if isinstance(v, str | int) and not isinstance(v, bool)}
        texts = {k: v for k, v in cells.items() if isinstance(data.get(k, v), str)}
        named = (n for n in TEXT_NAMES if n in texts and not _ADDRESS.fullmatch(texts[n]))
        if said := next(named, "") or max(texts, key=lambda k: len(texts[k]), default=""):
            return _Row(number, texts[said], person.of_columns(cells.items(), said))
    raise LookupError("holds no text; name it `complaint`")
