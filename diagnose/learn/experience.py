"""Counting situations: how often each cause was told with which symptom and which answer."""

from __future__ import annotations

from collections import Counter
from datetime import date

from diagnose.book import answers
from diagnose.book.answers import AnswerError
from diagnose.book.book import Book
from diagnose.learn import corpus
from diagnose.learn.corpus import Situation
from diagnose.reason.infer.experience import CauseCounts, Counts, word

TODAY = date(2026, 11, 28)
"""The day the situations were written, for answers such as "3 days ago"."""


def count(book: Book) -> Counts:
    """The counts of all situations of causes that the book has."""
    told = {cause: _told(book, rows) for cause, rows in sorted(corpus.situations().items())
            if cause in book.causes}
    return Counts(corpus.digest(), told)


def _told(book: Book, rows: list[Situation]) -> CauseCounts:
    symptoms: Counter[str] = Counter()
    given: Counter[str] = Counter()
    for one in rows:
        symptoms.update({*one.symptoms, *(s for f in one.facts for s in f.symptoms)} & book.symptoms.keys())
        given.update({f"{name}={said}" for name, text in one.all_answers().items()
                      if (said := _word(book, name, text))})
    return CauseCounts(len(rows), dict(sorted(symptoms.items())), dict(sorted(given.items())))


def _word(book: Book, name: str, text: str) -> str:
    stated = book.observations.get(name)
    if stated is None:
        return ""
    try:
        return word(stated, answers.parse(stated, text, TODAY))
    except AnswerError:
        return ""
