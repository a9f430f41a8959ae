"""Where cases in progress are kept: one JSON-lines file each, appended to and synced.

The first line names the case. Each further line is an entry, `{"taken_back": i}` where the
person took entry i back, or `{"closed": how}`. A line torn by a kill or a full disk is
dropped when the file is next read; every line before it stands.
"""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec

from diagnose.case.events import Answered, Complained, Entry, Journal
from diagnose.errors import UserError
from diagnose.storage.atomic import sync_folder

try:
    import fcntl
except ImportError:  # no such module where files can't be locked this way
    fcntl = None  # type: ignore[assignment]

SCHEMA = 1
_ID = re.compile(r"[0-9a-z-]{1,40}")
MOST_BYTES = 5_000_000


@dataclass(frozen=True)
class Kept:
    """A case on file, as a list shows it."""

    id: str
    at: str
    complaint: str
    answers: int
    said: bool
    """Does anything stand in it that was not taken back?"""


@dataclass
class _File:
    """What a case file says."""

    entries: list[Entry]
    closed: str
    sound_bytes: int


class Store:
    """The cases of one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def new_id(self, now: datetime | None = None) -> str:
        """An id for a new case: the moment, and a number where that is taken."""
        stem = (now or datetime.now()).strftime("%Y%m%d-%H%M%S")
        taken = (f"{stem}-{n}" if n else stem for n in range(1000))
        return next(i for i in taken if not self._path(i).exists())

    def journal(self, id: str) -> Keeper:
        """What keeps a case's entries as they come; the file is made with the first."""
        return Keeper(self._path(id), id)

    def load(self, id: str) -> list[Entry]:
        """All entries of a case; UserError where it is not here or can't be read."""
        return self._read(id).entries

    def closed(self, id: str) -> str:
        """How a case was closed; empty while it is open."""
        return self._read(id).closed

    def open_cases(self) -> list[Kept]:
        """The unfinished cases that no other consult holds, the latest first.

        Raises OSError where the folder can't be read; files that make no sense are left out.
        """
        return [kept for kept, closed in self.cases()
                if kept.said and not closed and not self._held(kept.id)]

    def cases(self) -> list[tuple[Kept, str]]:
        """Every readable case with how it was closed, the latest first."""
        found = []
        for path in sorted(self._files(), key=lambda p: p.stem, reverse=True):
            with contextlib.suppress(UserError):
                file = self._read(path.stem)
                if file.entries:
                    found.append((_kept(path.stem, file.entries), file.closed))
        return found

    def _files(self) -> list[Path]:
        if not self.folder.exists():
            return []
        return [Path(e.path) for e in os.scandir(self.folder)
                if e.name.endswith(".jsonl") and _ID.fullmatch(e.name[:-6])]

    def _path(self, id: str) -> Path:
        if not _ID.fullmatch(id):
            raise UserError(f"{id!r} is no case; `diagnose consult --list` names them")
        return self.folder / f"{id}.jsonl"

    def _read(self, id: str) -> _File:
        path = self._path(id)
        try:
            if path.stat().st_size > MOST_BYTES:
                raise UserError(f"{path}: too large for a case; move it away")
            raw = path.read_bytes()
        except FileNotFoundError:
            raise UserError(f"no case {id!r} on file; `diagnose consult --list` names them"
                            ) from None
        except OSError as error:
            raise UserError(f"{path}: {error.strerror}; mend the file's permissions") from None
        return read(raw, str(path))

    def _held(self, id: str) -> bool:
        """Is another consult writing this case?"""
        if fcntl is None:
            return False
        try:
            with open(self._path(id), "rb") as file:
                fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
        except OSError:
            return False
        return False


class Keeper:
    """Keeps one case: call it with all entries after every change (a Journal).

    Raises OSError where it can't; what failed is tried again with the next call, so that
    nothing is lost once the disk has room again.
    """

    def __init__(self, path: Path, id: str) -> None:
        self.path, self.id = path, id
        self._file: Any = None
        self._undone: list[bool] = []
        """Whether each entry on file is marked as taken back there."""

    def __call__(self, entries: list[Entry]) -> None:
        """Bring the file up to date with the entries."""
        lines: list[Any] = [
            {"taken_back": i} for i, was in enumerate(self._opened()) if entries[i].undone and not was]
        lines += entries[len(self._undone):]
        self._append(lines)
        self._undone = [e.undone for e in entries]

    def close(self, how: str) -> None:
        """Mark the case as finished: solved, handover, not_in_book or left."""
        if self.path.exists() or self._file:
            self._opened()
            self._append([{"closed": how}])

    def release(self) -> None:
        """Let go of the file."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def _opened(self) -> list[bool]:
        if self._file is None:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._file = open(self.path, "a+b", buffering=0)  # noqa: SIM115 (held for the case)
            try:
                self._start()
            except BaseException:
                self.release()
                raise
        return self._undone

    def _start(self) -> None:
        if fcntl is not None:
            try:
                fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                raise UserError(f"case {self.id} is open in another window; "
                                "go on there, or start a new one with --new") from None
        self._file.seek(0)
        raw = self._file.read()
        if raw:
            file = read(raw, str(self.path))
            self._file.truncate(file.sound_bytes)
            self._undone = [e.undone for e in file.entries]
        else:
            self._append([{"schema": SCHEMA, "case": self.id}])
            sync_folder(self.path.parent)

    def _append(self, lines: Iterable[Any]) -> None:
        data = b"".join(msgspec.json.encode(line) + b"\n" for line in lines)
        if not data:
            return
        size = self._file.seek(0, os.SEEK_END)
        try:
            written = self._file.write(data)
            if written != len(data):
                raise OSError(28, "the disk is full")
            os.fsync(self._file.fileno())
        except OSError:
            with contextlib.suppress(OSError):
                self._file.truncate(size)
            raise


def read(raw: bytes, name: str) -> _File:
    """What a case file says, up to the first torn line; UserError where it is none of ours."""
    lines = raw.splitlines(keepends=True)
    head = _line(lines[0]) if lines else None
    if not isinstance(head, dict) or "schema" not in head:
        raise UserError(f"{name}:1: this is no case file; move it away")
    if head["schema"] != SCHEMA:
        raise UserError(f"{name}:1: kept by another version of diagnose (schema "
                        f"{head['schema']!r}, this one reads {SCHEMA}); use that version")
    file = _File([], "", len(lines[0]))
    for line in lines[1:]:
        if not _take(file, _line(line)):
            break
        file.sound_bytes += len(line)
    return file


def _line(line: bytes) -> Any:
    if not line.endswith(b"\n"):
        return None
    try:
        return msgspec.json.decode(line)
    except msgspec.DecodeError:
        return None


def _take(file: _File, said: Any) -> bool:
    match said:
        case {"taken_back": int(i)} if 0 <= i < len(file.entries):
            file.entries[i] = msgspec.structs.replace(file.entries[i], undone=True)
        case {"closed": str(how)}:
            file.closed = how
        case {"event": _}:
            try:
                file.entries.append(msgspec.convert(said, Entry))
            except msgspec.ValidationError:
                return False
            file.closed = ""
        case _:
            return False
    return True


def _kept(id: str, entries: list[Entry]) -> Kept:
    standing = [e for e in entries if not e.undone]
    words = [e.event.text for e in standing if isinstance(e.event, Complained)]
    answered = {e.event.name for e in standing if isinstance(e.event, Answered)}
    return Kept(id, entries[-1].at, " ".join(words), len(answered), bool(standing))


class Guarded:
    """A journal that never stops the consult: a failure is held for the screens to say."""

    def __init__(self, journal: Journal) -> None:
        self.journal, self.problem = journal, ""

    def __call__(self, entries: list[Entry]) -> None:
        """Keep the entries, or note why they could not be kept."""
        self.tell(lambda: self.journal(entries))

    def tell(self, work: Callable[[], None]) -> bool:
        """Do something with the file; True where it went well."""
        try:
            work()
        except (OSError, UserError) as error:
            self.problem = getattr(error, "strerror", None) or str(error)
            return False
        self.problem = ""
        return True
