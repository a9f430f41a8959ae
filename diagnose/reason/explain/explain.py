"""Reasons: why a cause stands where it stands, why a question is asked."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from diagnose.book.book import Book
from diagnose.reason.explain.reason import Reason
from diagnose.reason.explain.say import Words
from diagnose.reason.infer.infer import Fired, Inference
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.rank import Ranked, Term
from diagnose.reason.weights import grade_and_side

OTHER_NAME = "something not in this book"
KINDS = ("prior", "complaint", "words", "experience", "evidence", "outcome")
SMALL = 0.5
"""Decibans below which a term is not worth a sentence."""


def name(book: Book, cause: str) -> str:
    """A cause's name, or the words for none of them."""
    return OTHER_NAME if cause == OTHER else book.causes[cause].name


def why(inference: Inference, ranked: Ranked, values: Mapping[str, Any],
        places: bool = False, kinds: Collection[str] = KINDS) -> list[Reason]:
    """Why a cause stands where it stands, the weightiest reason first, in plain words.

    With `places`, each reason ends with the file and line of the rule. `kinds` are the kinds
    of reasons wanted (see `rank.Part`).
    """
    words = Words(inference, values)
    parts = [part for part in ranked.parts
             if part.kind in kinds and (abs(part.decibans) >= SMALL or part.kind == "prior")]
    found = [_evidence(inference.book, part.fired, words, places) if part.fired
             else Reason(_other(inference, ranked.cause, part, words))
             for part in sorted(parts, key=lambda p: -abs(p.decibans))]
    return [reason for reason in found if reason]


def _evidence(book: Book, fired: Fired, words: Words, places: bool) -> Reason:
    meaning = fired.meaning
    grade, side = grade_and_side(meaning.grade)
    place = f" [{book.place(*meaning.path)}]" if places else ""
    house = book.house(meaning.path[0], meaning.path[1])
    touched = f" (house rule, {book.place(*meaning.path)})" if house and not places else ""
    return Reason(f"{words.facts(fired.on)}.{place}{touched}", grade, side, capital=True)


def _other(inference: Inference, cause: str, part: Term, words: Words) -> str:
    """A reason that is no evidence of the book, as a sentence; empty where there is nothing to say."""
    book = inference.book
    side = "for" if part.decibans > 0 else "against"
    match part.kind:
        case "prior" if cause == OTHER:
            return "There is always something that no book holds."
        case "prior":
            return f"It is {book.causes[cause].common} in homes."
        case "complaint":
            return _complaint(book, cause, part)
        case "outcome":
            return f"What came of the fixes already tried speaks {side} it."
        case "words":
            return f"Your own words, for all that they may mean, speak {side} it."
    often = "often" if part.decibans > 0 else "seldom"
    told = "; ".join(words.fact(f) for f in sorted(inference.facts) if f[0] == part.answer)
    return f"People with this trouble {often} tell: {told}." if told else ""


def _complaint(book: Book, cause: str, part: Term) -> str:
    symptom = book.symptoms[part.symptom].name
    if cause == OTHER:
        return f"It could show as: {symptom}."
    level = book.causes[cause].shows.get(part.symptom)
    return f"It {level} shows as: {symptom}." if level else f"It is not known to show as: {symptom}."
