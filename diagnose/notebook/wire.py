"""The notebook in a consult: it answers what it knows, lends its shots, and takes new ones."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

from diagnose.book import answers
from diagnose.book.answers import AnswerError
from diagnose.book.book import Book
from diagnose.book.model import Observation
from diagnose.case.case import Case
from diagnose.case.events import NOTEBOOK, Answered, Entry, Tried, Unknown
from diagnose.errors import UserError
from diagnose.notebook import fields, memory
from diagnose.notebook.store import Notebook, Row
from diagnose.reason.infer.measures import History
from diagnose.reason.system import System

MADE_OF = {
    "shots": {"dose": "dose_g", "drink_mass": "yield_g", "shot_time": "shot_time_s"},
    "weighings": {"timer_time": "timer_s", "timer_dose": "dose_g"},
}
"""Kind of entry to the questions of the book that make one, with the notebook's columns."""
ROASTED = "roast_date"


def system_for(book: Book, path: Path | None = None, now: datetime | None = None
               ) -> tuple[System, str]:
    """The reasoning over a book with the notebook's history; and why there is none, or nothing."""
    try:
        return System(book, memory.history(path, now)), ""
    except UserError as error:
        return System(book, History()), str(error)


def prepare(case: Case, path: Path | None = None) -> list[str]:
    """Answer from the notebook what it knows of the equipment; the questions answered.

    What was answered otherwise, or can't be told, stands. Raises UserError where the notebook
    can't be read.
    """
    return [name for name, value in memory.known_equipment(path).items()
            if name not in case.values and name not in case.unknown and _answered(case, name, value)]


def _answered(case: Case, name: str, value: str) -> bool:
    stated = case.book.observations.get(name)
    if stated is None:
        return False
    try:
        case.answer(name, value, given=NOTEBOOK)
    except AnswerError:
        return False  # an answer of an earlier edition of the book
    return True


class CaseNotebook:
    """One consult's dealings with the notebook."""

    def __init__(self, book: Book, path: Path | None = None) -> None:
        self.book, self.path = book, path

    def prepare(self, case: Case) -> list[str]:
        """The questions that the notebook answered, in the book's words. Raises UserError."""
        return [f"{self.book.observations[n].ask} "
                f"{answers.shown(self.book.observations[n], case.values[n])}"
                for n in prepare(case, self.path)]

    def offered(self, case: Case) -> list[str]:
        """What of the case is new and worth keeping, in words. Raises UserError."""
        said = {"shots": "a shot, {dose_g} in, {yield_g} out, {shot_time_s}",
                "weighings": "a timed dose, {dose_g} in {timer_s}"}
        made = [said[kind].format(**{f.name: f.show(row[f.name]) for f in fields.KINDS[kind]})
                for kind in MADE_OF for row in self._new(case, kind)]
        return made + [answers.told(n, self.book.observations[n], case.values[n])
                       for n in self._new_equipment(case)]

    def grinds(self, case: Case) -> bool:
        """Is there a shot or weighing to keep, so that the grinder's mark is worth asking?"""
        return any(self._new(case, kind) for kind in MADE_OF)

    def keep(self, case: Case, mark: float | None = None) -> None:
        """Write what is new into the notebook, the last shot and weighing at this mark.

        Raises UserError.
        """
        notebook = Notebook(self.path)
        last = memory.last_grinder([*notebook.rows("shots"), *notebook.rows("weighings")])
        for kind in MADE_OF:
            rows = [{**row, "grinder": last} for row in self._new(case, kind)]
            for row in rows:
                row["mark"] = mark if row is rows[-1] else None
                notebook.add(kind, row)
        at = datetime.now().astimezone().isoformat(timespec="seconds")
        for name, value in self._new_equipment(case).items():
            notebook.add("equipment", {"name": name, "value": value, "at": at})

    def _new(self, case: Case, kind: str) -> list[Row]:
        columns = ("at", *MADE_OF[kind].values())
        known = {tuple(r[c] for c in columns) for r in Notebook(self.path).rows(kind)}
        return [r for r in made_of(case, kind) if tuple(r[c] for c in columns) not in known]

    def _new_equipment(self, case: Case) -> dict[str, str]:
        known = memory.known_equipment(self.path)
        found = {name: kept(self.book.observations[name], value)
                 for name, value in case.values.items()
                 if self.book.observations[name].equipment == "yes"}
        return {n: v for n, v in found.items() if known.get(n) != v}


def kept(stated: Observation, value: Any) -> str:
    """An answer as the notebook keeps it: a number with its unit, else its word."""
    return f"{value!r} {stated.unit}" if stated.kind == "quantity" else str(value)


def made_of(case: Case, kind: str) -> list[Row]:
    """The shots or weighings that a case's answers describe: before the first fix, after each."""
    parts = MADE_OF[kind]
    found: list[Row] = []
    values: dict[str, str] = {}
    row: Row | None = None
    for entry in case.entries:
        match entry.event:
            case _ if entry.undone:
                continue
            case Answered(name, value) if name in parts or name == ROASTED:
                values[name] = value
                if name in parts and set(parts) <= values.keys():
                    row = _row(kind, entry, values)
            case Unknown(name):
                values.pop(name, None)
            case Tried(remedy, outcome):
                found += [row] if row else []
                row = None
                if outcome in ("better", "worse") and remedy in case.book.remedies:
                    for name in case.book.remedies[remedy].changes:
                        values.pop(name, None)
    return found + ([row] if row else [])


def _row(kind: str, entry: Entry, values: dict[str, str]) -> Row:
    row: Row = dict.fromkeys(f.name for f in fields.KINDS[kind])
    row |= {column: float(values[name]) for name, column in MADE_OF[kind].items()}
    row |= {"at": entry.at, "note": "from a consult"}
    return row | ({"roast_date": values.get(ROASTED)} if kind == "shots" else {})
