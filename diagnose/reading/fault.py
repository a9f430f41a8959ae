"""What a text says besides the questions that were answered: the part that may be a fault."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from diagnose.book.book import Book
from diagnose.reading import danger, taught
from diagnose.reading.complaint import Understood, understand
from diagnose.reading.questions import Asked


def without_questions(book: Book, text: str, answered: Iterable[Asked], stops: Callable[[str], bool]) -> str:
    """The text without the questions answered; one that tells of a hazard (`stops`), or of a trouble in
    words that a house has taught, stays in it.
    """
    for one in answered:
        if one.plainly and not (_hazard(book, one, stops) or _trouble_taught(book, one)):
            for said in one.said:
                text = text.replace(said, " ", 1)
    return text.strip() if re.search(r"[^\W\d_]{2}", text) else ""


def fault_in(book: Book, text: str, answered: Sequence[Asked], stops: Callable[[str], bool],
             today: Any = None) -> Understood:
    """The text read as a complaint, the questions answered left out; its figures count all the same."""
    whole = understand(book, text, today)
    if not answered:
        return whole
    said = without_questions(book, text, answered, stops)
    if not said:
        return Understood((), whole.values)
    return replace(understand(book, said, today), values=whole.values)


def _trouble_taught(book: Book, one: Asked) -> bool:
    return any(entry in book.symptoms for entry in taught.meant(book, one.text))


def _hazard(book: Book, one: Asked, stops: Callable[[str], bool]) -> bool:
    """May the question tell of a danger, or does it claim a hazard that the book's own question does not?

    "Which trick is there for beans that I poke down with a finger while it runs?" is answered, and the finger
    comes first.
    """
    if danger.heard(book, one.text):
        return True
    claimed = {s for s in understand(book, one.text).symptoms if stops(s)}
    if not claimed or book.house("practice", one.entry):
        return bool(claimed)
    return not claimed <= set(understand(book, book.practice[one.entry].asks).symptoms)
