"""What a complaint has answered already: the questions of which one answer says just the same."""

from __future__ import annotations

from collections.abc import Collection

from diagnose.book.book import Book


def answers(book: Book, symptom: str) -> dict[str, str]:
    """The answers that alone make what a complaint claims."""
    found: dict[str, str] = {}
    for finding, value in book.symptoms[symptom].finding.items():
        when = book.findings[finding].values[value].when or {}
        if len(when) == 1:
            found |= {name: said for name, said in when.items() if isinstance(said, str)}
    return found


class Told:
    """Knows which questions the complaints of a book answer."""

    def __init__(self, book: Book) -> None:
        self._by = {symptom: frozenset(n for n in answers(book, symptom) if _once(book, n))
                    for symptom in book.symptoms}

    def by(self, complaints: Collection[str]) -> frozenset[str]:
        """The questions that these complaints answer."""
        return frozenset().union(*(self._by[symptom] for symptom in complaints))


def _once(book: Book, name: str) -> bool:
    """Is it a question of words that takes one answer, so that nothing is left to ask?"""
    stated = book.observations.get(name)
    return stated is not None and stated.kind == "choice" and stated.several == "no"
