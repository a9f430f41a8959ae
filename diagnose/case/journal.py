"""Where cases in progress are kept: one JSON-lines file each, appended to and synced.

The first line names the case. Each further line is an entry, `{"taken_back": i}` where the
person took entry i back, or `{"closed": how}`. A last line torn by a kill or a full disk is
dropped when the file is next written; every line before it stands. A line damaged in the midst
is left out, and all others stand; before such a file is gone on with, it is copied as it was.
"""

from __future__ import annotations

import contextlib
import os
import re
import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec

from diagnose.case.events import Answered, Complained, Entry, Journal
from diagnose.errors import UserError
from diagnose.storage import atomic, bounded

SCHEMA = 1
_ID = re.compile(r"[0-9a-z-]{1,40}")
MOST_BYTES = 5_000_000
_NO_ENTRY = (b'{"taken_back"', b'{"closed"')
"""How lines begin that are no entries."""


class Kept(msgspec.Struct, frozen=True):
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

    entries: list[Entry] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    """Where among all entries of the file, damaged ones too, each of these stands."""
    count: int = 0
    """Entries of the file, damaged ones too."""
    closed: str = ""
    damaged: int = 0
    """Lines that can't be read, a torn last one apart."""
    whole_bytes: int = 0
    """Bytes without a torn last line."""


class Store:
    """The cases of one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def new_journal(self, now: datetime | None = None) -> Keeper:
        """What keeps a new case: called by the moment, with a number where another has that name."""
        stem = (now or datetime.now()).strftime("%Y%m%d-%H%M%S")
        return Keeper(self._path(stem), new=True)

    def journal(self, id: str) -> Keeper:
        """What keeps the entries of a case on file as they come."""
        return Keeper(self._path(id))

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

    def cases(self, unread: Callable[[str], None] = lambda why: None) -> list[tuple[Kept, str]]:
        """Every readable case with how it was closed, the latest first; `unread` is told of others."""
        found = []
        for path in sorted(self._files(), key=lambda p: p.stem, reverse=True):
            try:
                file = self._read(path.stem)
            except UserError as error:
                unread(str(error))
                continue
            if file.damaged:
                unread(_damaged(path, file.damaged))
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
            raw = bounded.read(path, MOST_BYTES)
        except FileNotFoundError:
            raise UserError(f"no case {id!r} on file; `diagnose consult --list` names them"
                            ) from None
        except OSError as error:
            raise UserError(f"{path}: {error.strerror}; mend the file's permissions") from None
        return read(raw, str(path))

    def _held(self, id: str) -> bool:
        """Is another consult writing this case?"""
        try:
            with open(self._path(id), "rb") as file:
                atomic.hold(file.fileno(), wait=False, shared=True)
        except atomic.BusyError:
            return True
        except OSError:
            return False
        return False


class Keeper:
    """Keeps one case: call it with all entries after every change (a Journal).

    Raises OSError where it can't; what failed is tried again with the next call, so that
    nothing is lost once the disk has room again.
    """

    def __init__(self, path: Path, new: bool = False) -> None:
        self.path, self._new = path, new
        self.set_aside = ""
        """The copy of a damaged file as it was; empty where it was sound."""
        self._file: Any = None
        self._undone: list[bool] = []
        """Whether each entry on file is marked as taken back there."""
        self._numbers: list[int] = []
        self._count = 0

    @property
    def id(self) -> str:
        """What the case is called; of a new one it stands once something is kept."""
        return self.path.stem

    def taken_up(self) -> list[Entry]:
        """All entries of the case on file, which from here on nobody else can write.

        UserError where it is not here or another consult holds it, OSError where it can't be written.
        """
        self._opened(new=False)
        self._file.seek(0)
        return read(self._file.read(), str(self.path)).entries

    def __call__(self, entries: list[Entry]) -> None:
        """Bring the file up to date with the entries."""
        lines: list[Any] = [{"taken_back": self._numbers[i]}
                            for i, was in enumerate(self._opened()) if entries[i].undone and not was]
        new = entries[len(self._undone):]
        self._append([*lines, *new])
        self._undone = [e.undone for e in entries]
        self._numbers += range(self._count, self._count + len(new))
        self._count += len(new)

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

    def _opened(self, new: bool = True) -> list[bool]:
        if self._file is None:
            if new:
                atomic.private_folder(self.path.parent)
            self._file = self._made() if self._new else _open(self.path, os.O_CREAT if new else 0)
            try:
                self._start()
            except BaseException:
                self.release()
                raise
        return self._undone

    def _made(self) -> Any:
        """A file of its own for a new case, whatever other consult began in this very second."""
        self._new = False
        stem = self.path
        for n in range(1000):
            self.path = stem.with_stem(f"{stem.stem}-{n}") if n else stem
            with contextlib.suppress(FileExistsError):
                return _open(self.path, os.O_CREAT | os.O_EXCL)
        raise FileExistsError(17, "too many cases of one second", str(stem))

    def _start(self) -> None:
        try:
            atomic.hold(self._file.fileno(), wait=False)
        except atomic.BusyError:
            raise UserError(f"case {self.id} is open in another window; "
                            "go on there, or start a new one with --new") from None
        self._file.seek(0)
        raw = self._file.read()
        if raw:
            file = read(raw, str(self.path))
            if file.damaged:
                self._set_aside(raw)
            self._file.truncate(file.whole_bytes)
            self._undone = [e.undone for e in file.entries]
            self._numbers, self._count = file.numbers, file.count
        else:
            self._append([{"schema": SCHEMA, "case": self.id}])
            atomic.sync_folder(self.path.parent)

    def _set_aside(self, raw: bytes) -> None:
        """Keep a damaged file as it was; one copy of the same bytes is enough."""
        copy = self.path.with_name(f"{self.path.stem}-{zlib.crc32(raw):08x}.damaged")
        if not copy.exists():
            atomic.write(copy, raw, mode=atomic.PRIVATE)
        self.set_aside = str(copy)

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


def _open(path: Path, how: int) -> Any:
    """A case file to be read and appended to, for its owner alone."""
    return os.fdopen(os.open(path, os.O_RDWR | os.O_APPEND | how, atomic.PRIVATE), "a+b", buffering=0)


def read(raw: bytes, name: str) -> _File:
    """What the sound lines of a case file say; UserError where it is none of ours."""
    lines = raw.splitlines(keepends=True)
    head = _line(lines[0]) if lines else None
    if not isinstance(head, dict) or "schema" not in head:
        raise UserError(f"{name}:1: this is no case file; move it away")
    if head["schema"] != SCHEMA:
        raise UserError(f"{name}:1: kept by another version of diagnose (schema "
                        f"{head['schema']!r}, this one reads {SCHEMA}); use that version")
    file = _File(whole_bytes=len(raw) if raw.endswith(b"\n") else raw.rfind(b"\n") + 1)
    for line in lines[1:]:
        if line.endswith(b"\n") and not _take(file, _line(line)):
            file.damaged += 1
            file.count += not line.startswith(_NO_ENTRY)
    return file


def _line(line: bytes) -> Any:
    if not line.endswith(b"\n"):
        return None
    try:
        return msgspec.json.decode(line)
    except (msgspec.MsgspecError, ValueError, RecursionError):
        return None


def _take(file: _File, said: Any) -> bool:
    """Take in a line; False where it is none, or nothing that could be."""
    match said:
        case {"taken_back": int(i)} if 0 <= i < file.count:
            if i in file.numbers:
                at = file.numbers.index(i)
                file.entries[at] = msgspec.structs.replace(file.entries[at], undone=True)
        case {"closed": str(how)}:
            file.closed = how
        case {"event": _}:
            try:
                file.entries.append(msgspec.convert(said, Entry))
            except msgspec.ValidationError:
                return False
            file.numbers.append(file.count)
            file.count += 1
            file.closed = ""
        case _:
            return False
    return True


def _damaged(path: Path, lines: int) -> str:
    return (f"{path}: {lines} line{'s' * (lines > 1)} can't be read and "
            f"{'are' if lines > 1 else 'is'} left out; what else stands there counts")


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
