"""Reasons: why a cause stands where it stands, why a question is asked."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from diagnose.book.book import Book
from diagnose.reason.explain.say import Words
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.rank import Part, Ranked

OTHER_NAME = "something not in this book"
KINDS = ("prior", "complaint", "words", "experience", "evidence", "outcome")
SMALL = 0.5
"""Decibans below which a term is not worth a sentence."""


def name(book: Book, cause: str) -> str:
    """A cause's name, or the words for none of them."""
    return OTHER_NAME if cause == OTHER else book.causes[cause].name


def why(inference: Inference, ranked: Ranked, values: Mapping[str, Any],
        places: bool = False, kinds: Collection[str] = KINDS) -> list[str]:
    """Why a cause stands where it stands, the weightiest reason first, in plain words.

    With `places`, each reason ends with the file and line of the rule. `kinds` are the kinds
    of reasons wanted (see `rank.Part`).
    """
    words = Words(inference, values)
    parts = sorted(ranked.parts, key=lambda p: -abs(p.decibans))
    said = [_part(inference, ranked.cause, part, words, places) for part in parts
            if part.kind in kinds and (abs(part.decibans) >= SMALL or part.kind == "prior")]
    return [text for text in said if text]


def _part(inference: Inference, cause: str, part: Part, words: Words, places: bool) -> str:
    book = inference.book
    if part.kind == "prior":
        if cause == OTHER:
            return "There is always something that no book holds."
        return f"It is {book.causes[cause].common} in homes."
    if part.kind == "complaint":
        return _complaint(book, cause, part)
    if part.kind == "outcome":
        side = "for" if part.decibans > 0 else "against"
        return f"What came of the fixes already tried speaks {side} it."
    if part.kind == "words":
        side = "for" if part.decibans > 0 else "against"
        return f"Your own words, for all that they may mean, speak {side} it."
    if part.kind == "experience":
        often = "often" if part.decibans > 0 else "seldom"
        said = "; ".join(words.fact(f) for f in sorted(inference.facts) if f[0] == part.answer)
        return f"People with this trouble {often} tell: {said}." if said else ""
    assert part.fired is not None
    meaning = part.fired.meaning
    grade, side = meaning.grade.rsplit(" ", 1)
    because = "; ".join(dict.fromkeys(words.fact(f) for f in part.fired.on)) or "as things stand"
    place = f" [{book.place(*meaning.path)}]" if places else ""
    house = book.house(meaning.path[0], meaning.path[1])
    touched = f" (house rule, {book.place(*meaning.path)})" if house and not places else ""
    return f"{grade.capitalize()} {side}: {because}.{place}{touched}"


def _complaint(book: Book, cause: str, part: Part) -> str:
    symptom = book.symptoms[part.symptom].name
    if cause == OTHER:
        return f"It could show as: {symptom}."
    level = book.causes[cause].shows.get(part.symptom)
    return f"It {level} shows as: {symptom}." if level else f"It is not known to show as: {symptom}."
