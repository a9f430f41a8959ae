"""The likeliest causes of a symptom of which nothing else is known, in the order of the consult.

Lookup names them beside what it finds. Of the shipped book they are worked out once and kept, so that
lookup need not wait for the book and the rules; under a house those that are wanted, every time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import msgspec

from diagnose.storage import cache, paths

if TYPE_CHECKING:
    from diagnose.book.book import Book

Causes = tuple[tuple[str, str], ...]
"""Ids and names, the likeliest first."""
MOST_NAMED = 3
MADE_BY = ("storage", "compute", "book", "engine", "reason", "errors")
"""The packages that work them out."""
ENDING = "likeliest"


def of_book(book: Book, symptoms: Iterable[str]) -> dict[str, Causes]:
    """Each symptom's causes: of those known to show it the first, as they are ranked for it alone."""
    from diagnose.reason.infer.infer import Reasoner
    from diagnose.reason.rank import rank

    reasoner, found = Reasoner(book), {}
    for symptom in symptoms:
        showing = {c: stated.name for c, stated in book.causes.items() if symptom in stated.shows}
        ranked = rank(reasoner.infer({}, (symptom,))) if showing else []
        found[symptom] = tuple((r.cause, showing[r.cause]) for r in ranked if r.cause in showing)[:MOST_NAMED]
    return found


def of_files(houses: Sequence[str] | None, symptoms: Sequence[str]) -> Mapping[str, Causes]:
    """The causes of these symptoms at least, by the shipped book and the house folders laid over it.

    UserError as `diagnose.book.with_house.load` raises it.
    """
    housed = houses or paths.chapters(paths.house())
    name = f"{'' if housed else _key()}.{ENDING}"
    kept = None if housed else cache.recall(name, dict[str, Causes])
    if kept is not None:
        return kept
    from diagnose.book.with_house import load  # the whole book is wanted only here

    book = load(houses).book
    found = of_book(book, symptoms if housed else book.symptoms)
    cache.keep(name, msgspec.msgpack.encode(found))
    return found


def _key() -> str:
    """A name for what the shipped book and the counts that come with it make."""
    counts = paths.shipped() / paths.EXPERIENCE
    return cache.key(MADE_BY, [*paths.chapters(paths.shipped()), *([counts] if counts.exists() else ())])
