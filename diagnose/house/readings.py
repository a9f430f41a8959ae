"""The cases read and answered, kept between starts: reading their words costs most.

They hold the person's own cases, so they stay in the person's cache; what a house changes is
counted with them, and nobody is advised by them.
"""

from __future__ import annotations

import hashlib
from datetime import date

import msgspec

from diagnose.book.book import Book
from diagnose.case import casefile
from diagnose.case.case import Case
from diagnose.case.events import Entry
from diagnose.house.cases import Tried
from diagnose.reason.system import System
from diagnose.storage import cache, paths

MADE_BY = ("storage", "compute", "book", "search", "reading", "engine", "reason", "case", "house",
           "errors")
"""The packages that make a case of its file."""
_Kept = dict[str, list[Entry]]


def alike(before: Book, after: Book) -> bool:
    """Do two books read the same words and answers in the same way?"""
    return _words_of(before) == _words_of(after)


def _words_of(book: Book) -> tuple[object, ...]:
    """All of a book that the reading of a case looks at."""
    return book.symptoms, book.observations, book.findings, book.practice, sorted(book.remedies)


class Readings:
    """Builds cases over a system, each read once for as long as book and program are the same."""

    def __init__(self, system: System) -> None:
        self.system, self._name = system, f"{_key(system.book)}.cases"
        self._kept = cache.recall(self._name, _Kept, paths.cache()) or {}
        self._new: _Kept = {}

    def build(self, tried: Tried) -> Case:
        """The case as its file says; UserError names what does not fit the book."""
        key = hashlib.sha256(msgspec.msgpack.encode((tried.file, str(date.today())))).hexdigest()[:24]
        entries = self._kept.get(key)
        if entries is None:
            entries = casefile.build(self.system, tried.file, tried.tree).entries
        self._new[key] = entries
        today = date.fromisoformat(tried.file.today) if tried.file.today else None
        return Case(self.system, entries, today=today)

    def keep(self) -> None:
        """Keep what was read for the next time; a cache that can't be written is done without."""
        if not self._new.keys() <= self._kept.keys():
            cache.keep(self._name, msgspec.msgpack.encode(self._new), paths.cache())


def _key(book: Book) -> str:
    """A name for everything that reading a case hangs on, the cases themselves aside."""
    return cache.key(MADE_BY, paths.read_by(), msgspec.msgpack.encode(_words_of(book)))
