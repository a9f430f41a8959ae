"""Troubles named on the command line: ids, or lay words that the search finds."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.book.book import Book
from diagnose.errors import UserError, short
from diagnose.reading.complaint import index_of

SURE = 0.6
"""The score from which words are taken for a trouble."""
AHEAD = 1.15
"""How far it must lead the next one."""
SHOWN = 5


def symptoms(book: Book, named: Sequence[str]) -> list[str]:
    """The symptoms meant, each once. Words given singly, none of them an id, are one complaint.

    UserError with the nearest where it is in doubt which one is meant.
    """
    single = not any(name in book.symptoms or " " in name for name in named)
    asked = [" ".join(named)] if single else list(named)
    return list(dict.fromkeys(name if name in book.symptoms else _found(book, name) for name in asked))


def _found(book: Book, text: str) -> str:
    hits = index_of(book).search(text, limit=SHOWN)
    if not hits:
        raise UserError(f'nothing in the book fits "{short(text)}"; `diagnose lookup --list` shows all')
    second = hits[1].score if len(hits) > 1 else 0.0
    if hits[0].score >= SURE and hits[0].score >= AHEAD * second:
        return hits[0].id
    near = "".join(f"\n  {hit.id}: {hit.name}" for hit in hits)
    raise UserError(f'"{short(text)}" may mean several things; name one of these:{near}')
