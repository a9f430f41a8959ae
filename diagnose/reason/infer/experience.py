"""What a collection of told situations shows: how often each cause was told with each thing.

The book says in words how a cause shows; `knowledge/learnt/experience.json` holds counts from the
situations of `knowledge/situations` (made by `python -m diagnose.learn`). Both are put together
as pseudo-counts, so that few situations move the book's word little (Good, The Estimation of
Probabilities, MIT Press 1965, on flattening constants).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import msgspec

from diagnose.book.book import Book
from diagnose.book.model import Observation
from diagnose.reason import weights
from diagnose.storage import paths

BOOK_COUNTS = 12.0
"""Situations that the book's own word for how often a complaint shows is worth.

Moved from 4 to 20 the log score on the development reports stays within 0.08; at 24 one worked case of 239
less has the right cause first, and one more the right fix."""
FLAT = 20.0
"""Situations' worth of what is told in general, laid under the counts of answers of one cause. At 40 one
worked case less has the right cause first, and two more the right fix."""
COUNTS_SHARE = 0.3
"""Part of the weight that counts of answers give which is believed: answers told together are
not independent, and much of what they say the book's evidence says too. At 0.5 the log score on
the development reports falls by 0.2; at 0 one right cause in fifteen is lost."""
TELLS_SHARE = 0.35
"""The same for what the book says that single answers tell. On 94 development reports, told in the
book's form, the right cause is first of all / among three in 51 / 67 % at 0, 56 / 71 % here, 56 / 69 %
at 1, where what is given as 90 % holds in 75."""
TOLD_FLAT, TOLD_USUAL = 30.0, 120.0
"""Situations laid under those in which an observation was told, and how often one usually is."""
KNOWN_SHARE = 0.3
"""How far being told often makes it likelier that somebody who is asked can tell: the power that the ratio
is taken to. Of the consults of 239 worked cases 38 % went beyond six questions (44 % without), the first
fix right in 127 instead of 126, wrong in 41 instead of 44."""
KNOWN_LEAST, KNOWN_MOST = 0.5, 1.2
"""The bounds of what comes of it."""
LOW, USUAL, HIGH = "low", "usual", "high"


class CauseCounts(msgspec.Struct, frozen=True):
    """How often one cause was told with what."""

    situations: int = 0
    symptoms: dict[str, int] = {}
    answers: dict[str, int] = {}
    """`observation=word` to situations in which it was told."""


class Counts(msgspec.Struct, frozen=True):
    """The file: a digest of the situations counted, and the counts by cause."""

    counted: str = ""
    causes: dict[str, CauseCounts] = {}


@cache
def read(path: Path) -> Counts:
    """The counts of a file; none where it is not there."""
    try:
        return msgspec.json.decode(path.read_bytes(), type=Counts)
    except (OSError, msgspec.DecodeError):
        return Counts()


def shipped() -> Counts:
    """The counts that come with the book."""
    return read(paths.shipped() / paths.EXPERIENCE)


def word(stated: Observation, value: Any) -> str:
    """An answer as it is counted: a choice by its id, a number as low, usual or high."""
    if isinstance(value, str):
        return value
    if not isinstance(value, int | float):
        return ""
    low, high = stated.usual or stated.range or (0.0, 1.0)
    return LOW if value < low else HIGH if value > high else USUAL


class Experience:
    """The counts as they bear on one book; entries of the house go by their own words alone."""

    def __init__(self, book: Book, counts: Counts | None = None) -> None:
        self.book = book
        found = shipped() if counts is None else counts
        self.told = {c: t for c, t in found.causes.items()
                     if c in book.causes and not book.house("causes", c)}
        self._all = sum(t.situations for t in self.told.values())
        self._kept: dict[str, dict[str, float]] = {}

    @cached_property
    def _about(self) -> Counter[str]:
        """Observation to situations in which any answer to it was told."""
        found: Counter[str] = Counter()
        for told in self.told.values():
            for answer, count in told.answers.items():
                found[answer.partition("=")[0]] += count
        return found

    @cached_property
    def _tells(self) -> dict[str, list[tuple[str, Mapping[str, str]]]]:
        """Observation to the causes of which the book says what it tells, with the grade of each answer."""
        found: dict[str, list[tuple[str, Mapping[str, str]]]] = {}
        for cause, entry in self.book.causes.items():
            for name, told_by in entry.tells.items():
                found.setdefault(name, []).append((cause, told_by))
        return found

    def shows(self, cause: str, symptom: str, stated: float) -> float:
        """How often a cause is complained of so, from the book's word and the counts (0 to 1)."""
        told = self.told.get(cause)
        if told is None:
            return stated
        return ((told.symptoms.get(symptom, 0) + BOOK_COUNTS * stated)
                / (told.situations + BOOK_COUNTS))

    def known(self, name: str) -> float:
        """How likely people are to know this, as against what is asked in general: told more, known more."""
        stated = self.book.observations[name]
        if not self._all or stated.kind == "date" or self.book.house("observations", name):
            return 1.0
        told = (self._about[name] + TOLD_FLAT) / (TOLD_USUAL + TOLD_FLAT)
        return min(KNOWN_MOST, max(KNOWN_LEAST, math.pow(told, KNOWN_SHARE)))

    def speaks(self, name: str, value: Any) -> Mapping[str, float]:
        """What an answer by itself counts for each cause, in decibans: the book's word and the counts."""
        stated = self.book.observations.get(name)
        said = word(stated, value) if stated else ""
        answer = f"{name}={said}"
        if answer not in self._kept:
            counted = self._weights(answer)
            for cause, told_by in self._tells.get(name, ()):
                if grade := told_by.get(said):
                    counted[cause] = counted.get(cause, 0.0) + TELLS_SHARE * weights.decibans(grade)
            self._kept[answer] = counted
        return self._kept[answer]

    def _weights(self, answer: str) -> dict[str, float]:
        """What the counts say; nothing of an answer that nobody told."""
        counts = {cause: told.answers[answer] for cause, told in self.told.items() if answer in told.answers}
        if not counts:
            return {}
        general = (sum(counts.values()) + 0.5) / (self._all + 1)
        return self._untold | {cause: self._weight(cause, count / general) for cause, count in counts.items()}

    def _weight(self, cause: str, told: float) -> float:
        """What it counts that a cause was told so often with an answer, as against trouble in general."""
        return COUNTS_SHARE * weights.in_decibans((told + FLAT) / (self.told[cause].situations + FLAT))

    @cached_property
    def _untold(self) -> dict[str, float]:
        """What it counts for each cause that it was never told with an answer: for all answers the same."""
        return {cause: self._weight(cause, 0.0) for cause in self.told}
