"""The cases read and answered, kept between starts: reading their words costs most.

They hold the person's own cases, so they stay in the person's cache; what a house changes is
counted with them, and nobody is advised by them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import date
from threading import Event, Thread

import msgspec

from diagnose.book.book import Book
from diagnose.book.model import Practice
from diagnose.case import casefile
from diagnose.case.case import Case
from diagnose.case.events import Answered, Entry, Unknown
from diagnose.case.events import Tried as Outcome
from diagnose.errors import UserError
from diagnose.house.cases import NamedCase
from diagnose.reason.system import System
from diagnose.storage import cache, paths

MADE_BY = ("storage", "compute", "book", "search", "reading", "engine", "reason", "case", "house",
           "errors")
"""The packages that make a case of its file."""
_Kept = dict[str, list[Entry]]


def alike(before: Book, after: Book) -> bool:
    """Do two books read the words and answers of a case in the same way?

    New questions, remedies and answers of practice change nothing that was written before them.
    """
    return ((before.symptoms, before.findings) == (after.symptoms, after.findings)
            and all(after.observations.get(name) == o for name, o in before.observations.items())
            and before.remedies.keys() <= after.remedies.keys()
            and all(name in after.practice and _asked(p) == _asked(after.practice[name])
                    for name, p in before.practice.items()))


def _asked(stated: Practice) -> tuple[object, ...]:
    """What of a question of practice makes out that it is asked."""
    return stated.asks, stated.lay


def _words_of(book: Book) -> tuple[object, ...]:
    """All of a book that the reading of a case looks at, what a house has only added to it aside."""
    questions, practice, remedies = (
        {name: entry for name, entry in getattr(book, kind).items() if not book.added_by(kind, name)}
        for kind in ("observations", "practice", "remedies"))
    asked = {name: _asked(stated) for name, stated in practice.items()}
    return book.symptoms, questions, book.findings, asked, sorted(remedies), book.layers.phrases


class Readings:
    """Builds cases over a system, each read once for as long as book and program are the same."""

    def __init__(self, system: System) -> None:
        self.system, self._name = system, f"{_key(system.book)}.cases"
        self._kept = cache.recall(self._name, _Kept, paths.cache()) or {}
        self._new: _Kept = {}

    def build(self, tried: NamedCase) -> Case:
        """The case as its file says; UserError names what does not fit the book."""
        always, today = (_named(tried, day) for day in ("", str(date.today())))
        entries = self._kept.get(always) or self._kept.get(today)
        if entries is None or not self._fits(entries):
            entries = casefile.build(self.system, tried.file, tried.tree).entries
        self._new[today if self._dated(entries) else always] = entries
        day = date.fromisoformat(tried.file.today) if tried.file.today else None
        return Case(self.system, entries, today=day)

    def _fits(self, entries: Iterable[Entry]) -> bool:
        """Is all that they answer still asked, and all that they tried still there?"""
        book = self.system.book
        named = {e.event.name for e in entries if isinstance(e.event, Answered | Unknown)}
        tried = {e.event.remedy for e in entries if isinstance(e.event, Outcome)}
        return named <= book.observations.keys() and tried <= book.remedies.keys()

    def _dated(self, entries: Iterable[Entry]) -> bool:
        """Does an answer hang on the day on which the case is read?"""
        questions = self.system.book.observations
        return any(isinstance(e.event, Answered) and questions[e.event.name].kind == "date" for e in entries)

    def keep(self) -> None:
        """Keep what was read for the next time; a cache that can't be written is done without."""
        if not self._new.keys() <= self._kept.keys():
            self._kept |= self._new
            cache.keep(self._name, msgspec.msgpack.encode(self._kept), paths.cache())


@contextmanager
def read_ahead(book: Book, cases: Iterable[NamedCase]) -> Iterator[None]:
    """Read cases while a person types, as many as there is time for."""
    enough, readings = Event(), Readings(System(book))
    reader = Thread(target=_read, args=(readings, cases, enough), daemon=True)
    reader.start()
    try:
        yield
    finally:
        enough.set()
        reader.join()
        readings.keep()


def _read(readings: Readings, cases: Iterable[NamedCase], enough: Event) -> None:
    for tried in cases:
        if enough.is_set():
            return
        with suppress(UserError):  # it is told where it is tried
            readings.build(tried)


def _named(tried: NamedCase, day: str) -> str:
    return hashlib.sha256(msgspec.msgpack.encode((tried.file, day))).hexdigest()[:24]


def _key(book: Book) -> str:
    """A name for everything that reading a case hangs on, the cases themselves aside."""
    return cache.key(MADE_BY, paths.read_by(), msgspec.msgpack.encode(_words_of(book)))
