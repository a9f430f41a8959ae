"""What was complained of, advised and told, out of consults on file, letters replied to and case files."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from diagnose.case.case import Case
from diagnose.case.journal import Store
from diagnose.errors import UserError
from diagnose.mail.folder import JOURNAL, loaded
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.system import System

CONSULT, LETTER, CASE_FILE = "consult", "letter", "case file"
Warn = Callable[[str], None]
"""Told of what can't be read."""


@dataclass(frozen=True)
class TroubleRecord:
    """One trouble on record."""

    source: str
    """CONSULT, LETTER or CASE_FILE."""
    symptoms: tuple[str, ...]
    cause: str
    """The likeliest cause in the end; empty where none was in sight."""
    asked: tuple[str, ...] = ()
    """Questions of practice."""
    tried: tuple[tuple[str, str], ...] = ()
    """Remedies with what came of each."""
    closed: str = ""
    """How a consult ended; empty while it is open."""

    @property
    def solved(self) -> bool:
        """Was something tried that solved it?"""
        return any(outcome == "solved" for _, outcome in self.tried)


def consults(system: System, folder: Path, note: Warn) -> Iterator[TroubleRecord]:
    """The consults on file in a folder in which something was said."""
    store = Store(folder)
    try:
        for kept, closed in store.cases(note):
            if kept.said:
                yield _of_case(Case(system, store.load(kept.id)), CONSULT, closed)
    except OSError as error:
        raise UserError(f"{folder}: {error.strerror}; mend its permissions") from None


def of_paths(system: System, paths: Iterable[Path], note: Warn) -> Iterator[TroubleRecord]:
    """Folders of replies and case files, by what stands there; UserError for what is neither."""
    for path in paths:
        if path.is_dir():
            yield from _letters(path, note)
        else:
            yield from _case_file(system, path)


def _of_case(case: Case, source: str, closed: str = "") -> TroubleRecord:
    said = tuple(dict.fromkeys(s for e in case.events for s in getattr(e, "symptoms", ())))
    first = next(r.cause for r in case.ranked if r.cause != OTHER)
    tried = tuple((t.remedy, t.outcome) for t in case.fixes)
    return TroubleRecord(source, said, first if said else "", (), tried, closed)


def _letters(folder: Path, note: Warn) -> Iterator[TroubleRecord]:
    file = folder / JOURNAL
    try:
        lines = file.read_text(encoding="utf-8", errors="replace").splitlines()
    except FileNotFoundError:
        raise UserError(f"{folder} holds no replies; name a folder that `diagnose mail` wrote, or a case file"
                        ) from None
    except OSError as error:
        raise UserError(f"{file}: {error.strerror}; mend its permissions") from None
    records = [record for line in lines if isinstance(record := loaded(line), dict) and "kind" in record]
    found = {record["id"]: told for record in records if (told := _of_record(record))}
    if len(found) < len({str(r.get("id")) for r in records}):
        note(f"{file}: some letters can't be read and are left out")
    yield from found.values()


def _of_record(record: dict[str, Any]) -> TroubleRecord | None:
    """A letter's record; None where it is damaged or of another version."""
    names = [record.get("symptoms"), record.get("asked", [])]
    if not (isinstance(record.get("id"), str) and isinstance(record.get("cause"), str)
            and all(isinstance(part, list) and all(isinstance(n, str) for n in part) for part in names)):
        return None
    return TroubleRecord(LETTER, tuple(names[0] or ()), record["cause"], tuple(names[1] or ()))


def _case_file(system: System, path: Path) -> Iterator[TroubleRecord]:
    from diagnose.case.casefile import build, read

    for found, tree in read(path):
        yield _of_case(build(system, found, tree), CASE_FILE)
