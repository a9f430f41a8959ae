"""Complaints out of files: plain text, CSV, JSON lines, in whatever encoding they came."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from diagnose.errors import UserError

LARGEST = 200_000_000
LONGEST_LETTER = 100_000
SUFFIXES = {".csv": "csv", ".tsv": "csv", ".jsonl": "jsonl", ".ndjson": "jsonl", ".json": "jsonl"}
TEXT_NAMES = ("complaint", "text", "message", "body", "question", "problem", "description", "comment",
              "content", "mail", "email", "letter", "note")
_PART = re.compile(r"\S[^\n]*(?:\n[ \t]*\S[^\n]*)*")
"""Lines with something on them, up to a blank one."""
_UNSAFE = re.compile(r"[^a-z0-9]+")
DELIMITERS = ",;\t|"


class Letter(NamedTuple):
    """One complaint: a name fit for a file, its words, and where they stand."""

    id: str
    text: str
    place: str


def read(path: Path, skip: Path | None = None) -> tuple[list[Letter], list[str]]:
    """The letters of a file or folder, and one line for each file that can't be read.

    A folder's text files hold one letter each; a text file named by itself holds letters
    parted by blank lines. Hidden files and what lies under `skip` are left alone.
    UserError where nothing is there at all.
    """
    if not path.exists():
        raise UserError(f"{path}: no such file or folder; name the file that holds the complaints")
    files = [path] if path.is_file() else _files(path, skip)
    letters: list[Letter] = []
    faults: list[str] = []
    for file in files:
        try:
            letters += _letters(file, path)
        except UserError as error:
            faults.append(str(error))
    if not letters and not faults:
        raise UserError(f"{path}: holds no complaint")
    return _named_apart(letters), faults


def _files(folder: Path, skip: Path | None) -> list[Path]:
    inside = skip.resolve() if skip else None
    return sorted(f for f in folder.rglob("*")
                  if f.is_file() and not any(p.startswith(".") for p in f.relative_to(folder).parts)
                  and not (inside and f.resolve().is_relative_to(inside)))


def _named_apart(letters: list[Letter]) -> list[Letter]:
    """Letters with names made different where two files would share one."""
    seen: dict[str, int] = {}
    found = []
    for letter in letters:
        count = seen[letter.id] = seen.get(letter.id, 0) + 1
        found.append(letter if count == 1 else letter._replace(id=f"{letter.id}-again-{count}"))
    return found


def _letters(file: Path, asked: Path) -> list[Letter]:
    text, alone = decoded(file), file == asked
    shown = file.name if alone else str(file.relative_to(asked))
    name = _UNSAFE.sub("-", file.stem.lower()).strip("-")[:40] or "letter"
    match SUFFIXES.get(file.suffix.lower()):
        case "csv":
            rows = list(_csv(text, file))
        case "jsonl":
            rows = list(_jsonl(text, file))
        case _ if alone:
            rows = list(_parted(text))
        case _:
            return [Letter(name, text.strip(), shown)] if text.strip() else []
    return [Letter(f"{name}-{number:05d}", said[:LONGEST_LETTER], f"{shown}:{line}")
            for number, (line, said) in enumerate(rows, 1) if said.strip()]


def decoded(file: Path) -> str:
    """The file's text: UTF-8 or UTF-16 with or without mark, else Latin-1 where a line is neither."""
    try:
        if file.stat().st_size > LARGEST:
            raise UserError(f"{file}: larger than {LARGEST // 1_000_000} MB; split it")
        data = file.read_bytes()
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


def _parted(text: str) -> Iterator[tuple[int, str]]:
    """Letters parted by blank lines, each with the line it begins in."""
    line, at = 1, 0
    for part in _PART.finditer(text):
        line, at = line + text.count("\n", at, part.start()), part.start()
        yield line, part.group().strip()


def _csv(text: str, file: Path) -> Iterator[tuple[int, str]]:
    if not text.strip():
        return
    reader = csv.reader(io.StringIO(text), delimiter=_delimiter(text, file), strict=True)
    rows: list[tuple[int, list[str]]] = []
    start = 1
    try:
        for row in reader:
            if row:
                rows.append((start, row))
            start = reader.line_num + 1
    except csv.Error as error:
        raise UserError(f"{file}:{start}: the row that begins here is broken ({error}); half a file? "
                        "Save it again, every quote closed") from None
    wide = len(rows[0][1])
    for line, row in rows:
        if len(row) != wide:
            raise UserError(f"{file}:{line}: {len(row)} columns where the first row has {wide}; half "
                            "a file? Mend the row or put its text in quotes")
    column, headed = _text_column(rows, file)
    yield from ((line, row[column]) for line, row in rows[headed:])


def _delimiter(text: str, file: Path) -> str:
    first = text.lstrip("\n").split("\n", 1)[0]
    if file.suffix.lower() == ".tsv":
        return "\t"
    return max(DELIMITERS, key=first.count) if any(d in first for d in DELIMITERS) else ","


def _text_column(rows: list[tuple[int, list[str]]], file: Path) -> tuple[int, int]:
    """The column that holds the complaints, and how many header rows there are."""
    head = [cell.strip().lower() for cell in rows[0][1]]
    for name in TEXT_NAMES:
        if name in head:
            return head.index(name), 1
    sizes = [sum(len(row[c].split()) for _, row in rows[1:101]) for c in range(len(head))]
    best = max(range(len(head)), key=lambda c: sizes[c])
    headed = len(rows) > 1 and len(head[best].split()) < 3
    if len(head) > 1 and not sum(sizes) and len(rows) > 1:
        raise UserError(f"{file}:1: no column of text found; name it `complaint` in the first row")
    return best, int(headed)


def _jsonl(text: str, file: Path) -> Iterator[tuple[int, str]]:
    if text.lstrip().startswith("["):
        yield from _json_list(text, file)
        return
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            try:
                data = json.loads(line)
            except (ValueError, RecursionError) as error:
                raise UserError(f"{file}:{number}: is no JSON object: {error}; one on each line") from None
            yield number, _text_of(data, f"{file}:{number}")


def _json_list(text: str, file: Path) -> Iterator[tuple[int, str]]:
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", 1)
        raise UserError(f"{file}:{line}: is no JSON: {error}") from None
    for number, one in enumerate(data, 1):
        yield number, _text_of(one, f"{file}: entry {number}")


def _text_of(data: Any, place: str) -> str:
    if isinstance(data, str):
        return data
    if isinstance(data, dict):
        lower = {str(k).lower(): v for k, v in data.items()}
        for name in TEXT_NAMES:
            if isinstance(lower.get(name), str):
                return lower[name]
        texts = [v for v in data.values() if isinstance(v, str)]
        if texts:
            return max(texts, key=len)
    raise UserError(f"{place}: holds no text; name it `complaint`")
