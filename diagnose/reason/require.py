"""The questions and remedies that what is known puts out of the question."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Set
from typing import Any

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import Alternative, Literal


class Requirements:
    """One condition of each entry of a kind, read once: its `requires`, or another that puts it out."""

    def __init__(self, book: Book, kind: str, field: tuple[str, ...] = ("requires",)) -> None:
        self._fails: dict[str, tuple[Alternative, ...]] = {}
        self._by_name: dict[str, list[str]] = defaultdict(list)
        out = book.fails if field == ("requires",) else book.holds
        for entry in getattr(book, kind):
            path = (kind, entry, *field)
            if path in book.conditions:
                self._fails[entry] = out(path)
                for name in conditions.names(book.conditions[path]):
                    self._by_name[name].append(entry)
        self.needy = frozenset(n for n, stated in getattr(book, kind).items() if _needs(stated))
        """Entries for which the person must run, heat, open or plug in the machine or grinder."""
        self._at_once = [entry for entry, fails in self._fails.items()
                         if any(not any(wanted for *_, wanted in one) for one in fails)]
        """Entries that may be out though nothing is known."""

    def failed(self, known: Mapping[str, Set[str]]) -> frozenset[str]:
        """The entries that are out, by what is known: each name with its values."""
        looked = {e for name in known for e in self._by_name.get(name, ())} | set(self._at_once)
        return frozenset(e for e in looked if any(_holds(one, known) for one in self._fails[e]))


def _needs(stated: Any) -> bool:
    """Is something needed of the person? A technician is nobody to be kept from it."""
    return bool(stated.needs) and getattr(stated, "who", "") != "technician"


def _holds(alternative: Alternative, known: Mapping[str, Set[str]]) -> bool:
    return all(holds(literal, known) for literal in alternative)


def holds(literal: Literal, known: Mapping[str, Set[str]]) -> bool:
    """Does one test hold of what is known, each name with its values?"""
    name, values, wanted = literal
    return (name in known if values is None else not values.isdisjoint(known.get(name, ()))) == wanted
