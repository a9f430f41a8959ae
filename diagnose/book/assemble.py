"""Chapters to a sound book."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError
from diagnose.book.references import check
from diagnose.book.yaml.loader import LoadedChapter


def build_book(chapters: Iterable[LoadedChapter]) -> Book:
    """The book that chapters make; KnowledgeError with every problem of every chapter."""
    book = Book(chapters)
    problems = [*book.problems, *check(book)]
    if problems:
        raise KnowledgeError(problems)
    return book
