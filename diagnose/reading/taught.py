"""Words that a house has taught: which of its phrases stand in a text."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.book.book import Book
from diagnose.search.text import words

Said = list[tuple[str, bool]]
"""Stems in order, each with whether it is negated."""


def meant(book: Book, text: str) -> Iterator[str]:
    """The entries whose house phrases stand in a text, word for word but for endings."""
    if not book.layers.phrases:
        return
    said = _said(text)
    for entry, phrases in book.layers.phrases.items():
        if any(_stands(_said(phrase), said) for phrase in phrases):
            yield entry


def _said(text: str) -> Said:
    return [(word.stem, word.negated) for word in words(text)]


def _stands(phrase: Said, said: Said) -> bool:
    return any(said[at:at + len(phrase)] == phrase for at in range(len(said) - len(phrase) + 1))
