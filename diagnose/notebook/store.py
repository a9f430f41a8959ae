"""The notebook's file: SQLite, every entry on the disk before it is said to be kept."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from diagnose.errors import UserError
from diagnose.notebook.fields import KINDS
from diagnose.notebook.migrations import MIGRATIONS
from diagnose.storage import atomic, paths

APPLICATION_ID = 0x44674E62
"""Written into the file's head, so that another program's database is never taken for ours."""
BUSY_S = 10.0
LEAST_ROOM = 65_536
Row = dict[str, Any]

_ELSEWHERE = "mend its permissions, or name another folder with --data"
_WHY = {
    "SQLITE_FULL": "the disk is full; make room and try again. What was in the notebook is safe",
    "SQLITE_BUSY": "another program is writing to it; try again in a moment",
    "SQLITE_LOCKED": "another program is writing to it; try again in a moment",
    "SQLITE_READONLY": f"it can't be written; {_ELSEWHERE}",
    "SQLITE_CANTOPEN": f"it can't be opened; {_ELSEWHERE}",
    "SQLITE_PERM": f"it can't be opened; {_ELSEWHERE}",
    "SQLITE_AUTH": f"it can't be opened; {_ELSEWHERE}",
    "SQLITE_NOTADB": "it is damaged, or no notebook. It was left as it is; put a copy back in its "
                     "place, or move it away to begin a new one",
    "SQLITE_CORRUPT": "it is damaged. It was left as it is; put a copy back in its place, or move "
                      "it away to begin a new one",
    "SQLITE_IOERR": "the disk did not take or give it; check the disk and try again",
}


class DuplicateError(UserError):
    """The same entry is in the notebook already."""


def where() -> Path:
    """The notebook in the person's data folder."""
    return paths.data() / "notebook.sqlite"


class Notebook:
    """One notebook file; made with the first entry, lifted to the present version when opened.

    Every method raises UserError, one plain line, where the file can't be read or written.
    """

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or where()

    def rows(self, kind: str) -> list[Row]:
        """All entries of a kind, oldest first (equipment by name); none without a file."""
        if not self.path.exists():
            return []
        names = ", ".join(f.name for f in KINDS[kind])
        order = "name" if kind == "equipment" else "at, id"
        with self._reading() as db:
            if (kind,) not in db.execute("SELECT name FROM sqlite_master").fetchall():
                return []  # a read-only file of an older version
            return [dict(r) for r in _named(db).execute(
                f"SELECT {names} FROM {kind} ORDER BY {order}")]

    def add(self, kind: str, row: Mapping[str, Any]) -> None:
        """Keep one entry; a piece of equipment takes the place of what was known of it.

        DuplicateError where the very same entry is there already.
        """
        with self.writing() as db:
            insert(db, kind, row, replace=True)

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction that is kept as a whole or not at all; others wait their turn."""
        with self._plainly():
            atomic.private_folder(self.path.parent)
            if not self.path.exists():
                os.close(os.open(self.path, os.O_RDWR | os.O_CREAT, atomic.PRIVATE))
            db = self._opened("rw")
            try:
                with _transaction(db):
                    yield db
            finally:
                db.close()

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        with self._plainly():
            db = self._opened_to_read()
            try:
                yield db
            finally:
                db.close()

    def _opened_to_read(self) -> sqlite3.Connection:
        try:
            return self._opened("rw")
        except sqlite3.OperationalError as error:
            if not _name(error).startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_IOERR",
                                            "SQLITE_FULL")) or self._pending():
                raise
        # A file in a place that can't be written, or on a full disk, is read as it stands.
        return self._opened("ro", "&immutable=1")

    def _pending(self) -> bool:
        """Do entries wait beside the file, so that by itself it would not be all?"""
        beside = self.path.with_name(f"{self.path.name}-wal")
        return beside.exists() and beside.stat().st_size > 0

    def _opened(self, mode: str, more: str = "") -> sqlite3.Connection:
        """The file opened and, where it may be written, of the present version."""
        db = self._connect(mode, more)
        try:
            if mode == "ro":
                _versioned(db, self.path)
            else:
                db.execute("PRAGMA synchronous=FULL")
                _lift(db, self.path)
        except BaseException:
            db.close()
            raise
        return db

    def _connect(self, mode: str, more: str) -> sqlite3.Connection:
        return sqlite3.connect(f"{self.path.absolute().as_uri()}?mode={mode}{more}", uri=True,
                               timeout=BUSY_S, isolation_level=None)

    @contextmanager
    def _plainly(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise UserError(f"{self.path}: {_why(error, self.path)}") from None
        except OSError as error:
            raise UserError(f"{self.path}: {error.strerror}; {_ELSEWHERE}") from None


def insert(db: sqlite3.Connection, kind: str, row: Mapping[str, Any], replace: bool = False) -> None:
    """Put one entry into an open transaction; DuplicateError where it is there already.

    A piece of equipment that is known with another value is one too, unless it may `replace`.
    """
    names = [f.name for f in KINDS[kind]]
    same = ["name"] if kind == "equipment" and not replace else names
    if db.execute(f"SELECT 1 FROM {kind} WHERE {' AND '.join(f'{n} IS ?' for n in same)}",
                  [row[n] for n in same]).fetchone():
        raise DuplicateError(f"the notebook holds {_which(kind, row)} already")
    verb = "REPLACE" if replace and kind == "equipment" else "INSERT"
    db.execute(f"{verb} INTO {kind} ({', '.join(names)}) VALUES ({', '.join('?' * len(names))})",
               [row[n] for n in names])


def _which(kind: str, row: Mapping[str, Any]) -> str:
    if kind == "equipment":
        return f"an answer for {row['name']}"
    return f"the same entry of {row['at'][:16].replace('T', ' ')} in its {kind}"


def _lift(db: sqlite3.Connection, path: Path) -> None:
    """Bring the file to the present version, one migration and one transaction at a time."""
    if _versioned(db, path) == len(MIGRATIONS):
        return
    _patiently(lambda: db.execute("PRAGMA journal_mode=WAL").fetchone())
    for number, migration in enumerate(MIGRATIONS):
        with _transaction(db):
            if _versioned(db, path) == number:
                migration(db)
                db.execute(f"PRAGMA application_id={APPLICATION_ID}")
                db.execute(f"PRAGMA user_version={number + 1}")


def _versioned(db: sqlite3.Connection, path: Path) -> int:
    """The file's version; UserError for a newer one and for another program's file."""
    version = db.execute("PRAGMA user_version").fetchone()[0]
    mark = db.execute("PRAGMA application_id").fetchone()[0]
    if mark != APPLICATION_ID and db.execute("SELECT 1 FROM sqlite_master").fetchone():
        raise UserError(f"{path}: this is another program's file, not a notebook; it was left as "
                        "it is. Move it away, or name another folder with --data")
    if version > len(MIGRATIONS):
        raise UserError(f"{path}: written by a newer diagnose (notebook version {version}, this "
                        f"one reads up to {len(MIGRATIONS)}); use that one. Nothing was changed")
    return int(version)


def _patiently(work: Callable[[], Any]) -> Any:
    """Do what may meet another program's lock without waiting for it by itself."""
    end = time.monotonic() + BUSY_S
    while True:
        try:
            return work()
        except sqlite3.OperationalError as error:
            if not _name(error).startswith("SQLITE_BUSY") or time.monotonic() > end:
                raise
            time.sleep(0.02)


@contextmanager
def _transaction(db: sqlite3.Connection) -> Iterator[None]:
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise
    db.execute("COMMIT")


def _named(db: sqlite3.Connection) -> sqlite3.Cursor:
    cursor = db.cursor()
    cursor.row_factory = sqlite3.Row
    return cursor


def _name(error: sqlite3.Error) -> str:
    return getattr(error, "sqlite_errorname", "") or ""


def _why(error: sqlite3.Error, path: Path) -> str:
    name = _name(error)
    if name.startswith("SQLITE_IOERR") and _is_full(path.parent):
        name = "SQLITE_FULL"
    for known, text in _WHY.items():
        if name.startswith(known):
            return text
    return f"{error}; check the file, or move it away to begin a new one"


def _is_full(folder: Path) -> bool:
    """Is there no room even for the file that stands beside an open notebook?"""
    try:
        return shutil.disk_usage(folder).free < LEAST_ROOM
    except OSError:
        return False


def add_all(notebook: Notebook, entries: Iterable[tuple[object, str, Mapping[str, Any]]],
            new_only: bool = False) -> tuple[int, int]:
    """Keep entries, each with its place in a file and its kind: all of them or none.

    Returns how many were added and how many left out as known. UserError, with the place,
    for one that is there already, unless only the new are wanted.
    """
    added = known = 0
    with notebook.writing() as db:
        for place, kind, row in entries:
            try:
                insert(db, kind, row)
                added += 1
            except DuplicateError as error:
                if not new_only:
                    raise UserError(f"{place}: {error}; nothing was taken in. Leave the line out, "
                                    "or add --new-only to skip what is known") from None
                known += 1
    return added, known
