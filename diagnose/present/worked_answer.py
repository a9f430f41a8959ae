"""A question's answer as data: its numbers put in, and what its own figures come to said first."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec.structs import replace

from diagnose.book.book import Book
from diagnose.book.model import Practice
from diagnose.book.references import PLACEHOLDER
from diagnose.case.case import Case
from diagnose.compute.registry import TEXT, said
from diagnose.present import cautions
from diagnose.present.asked_inside import first_line
from diagnose.present.fill import number
from diagnose.present.parts import CautionData, PracticeAnswer
from diagnose.reading.figures_told import figures
from diagnose.reading.questions import Asked
from diagnose.reason.infer.measures import Measured, Measurer

_SENTENCE = re.compile(r"(?<=[.!?])\s+")


def answers(book: Book, text: str, found: Sequence[Asked], measurer: Measurer | None = None,
            known: Mapping[str, Any] | None = None) -> list[PracticeAnswer]:
    """The answers to the questions found in a text, in the order asked; `known` is told before."""
    if not found:
        return []
    measurer = measurer or Measurer(book)
    told = {**(known or {}), **figures(book, text)}
    return [answer(book, one, measurer.measure({**told, **figures(book, one.text)})) for one in found]


def of_case(case: Case, text: str, found: Sequence[Asked]) -> list[PracticeAnswer]:
    """The same inside a case: its figures count, and where it decides the answer it says so first."""
    return in_trouble(case, answers(case.book, text, found, case.system.reasoner.measurer, case.values))


def in_trouble(case: Case, found: Iterable[PracticeAnswer]) -> list[PracticeAnswer]:
    """Answers with what the case says to each first, where it has a trouble that says anything."""
    return [replace(one, first=one.first or first_line(case, case.book.practice[one.id].within))
            for one in found]


def answer(book: Book, one: Asked, measured: Measured) -> PracticeAnswer:
    """One answer, numbers put in."""
    stated = book.practice[one.entry]

    def put(text: str) -> str:
        return PLACEHOLDER.sub(lambda found: number(book, measured, found[1]), text)

    first = worked(book, stated, measured)
    return PracticeAnswer(
        id=one.entry, asked=one.text, question=stated.asks, first=first, answer=put(stated.answer),
        numbers=put(stated.numbers), depends=put(stated.depends),
        ask_back="" if first else put(stated.ask_back), now=put(stated.now), maker=put(stated.maker),
        cautions=[cautions.one(book, name) for name in stated.cautions], source=stated.source,
        house=str(book.place("practice", one.entry)) if book.house("practice", one.entry) else "")


def worked(book: Book, stated: Practice, measured: Measured) -> str:
    """What the figures told come to; empty where they give none of the entry's numbers."""
    for name in stated.worked:
        if (value := measured.get(name)) is not None:
            return said(value, book.names.units.get(name, TEXT))
    return ""


def brief(caution: CautionData) -> CautionData:
    """A caution as it stands beside an answer: what can happen, and the first of what to do."""
    return replace(caution, text=_first(caution.text, 1), avoid=_first(caution.avoid, 2))


def _first(text: str, sentences: int) -> str:
    return " ".join(_SENTENCE.split(text)[:sentences])
