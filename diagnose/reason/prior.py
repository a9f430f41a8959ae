"""Before any evidence: how common each cause is, and how it explains complaints.

A cause explains a complaint as often as its `shows` says. Under a cause not known to show
it, the words were misread or a second fault speaks: that happens in a fixed part of all
cases (`weights.LEAK`), whatever the complaint, so it counts as that part of the
complaint's own frequency. Something not in this book is a fixed share of all trouble and
complains as people do in general.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from diagnose.kb.book import Book
from diagnose.reason import weights

OTHER = ""
"""The id of `something not in this book`."""


class Priors:
    """Priors and complaint likelihoods of one book, in decibans."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.causes = {c: weights.COMMON[s.common] for c, s in book.causes.items()}
        total = sum(map(weights.odds, self.causes.values()))
        self.causes[OTHER] = weights.in_decibans(
            weights.OTHER_SHARE / (1 - weights.OTHER_SHARE) * max(total, 1e-9))
        self._total = total
        self._frequent = lru_cache(maxsize=None)(self._frequency)
        self.explained = lru_cache(maxsize=64)(self._explained)

    def _frequency(self, symptom: str) -> float:
        """The share of all trouble that is complained of so, in decibans."""
        mass = sum(weights.odds(self.causes[c] + weights.TYPICAL[s.shows[symptom]])
                   for c, s in self.book.causes.items() if symptom in s.shows)
        return weights.in_decibans(max(mass, 1e-6) / max(self._total, 1e-9))

    def level(self, cause: str, symptom: str) -> float:
        """How often the cause is complained of so, in decibans."""
        if cause == OTHER:
            return self._frequent(symptom)
        shows = self.book.causes[cause].shows
        if symptom in shows:
            return weights.TYPICAL[shows[symptom]]
        return self._frequent(symptom) + weights.in_decibans(weights.LEAK)

    def complaint(self, cause: str, symptoms: Iterable[str]) -> list[tuple[str, float]]:
        """Symptoms with what each counts for the cause, in decibans.

        The best-explained complaint counts in full, each further one at most
        `weights.UNSHOWN_TOO` against: two faults at once are not so rare.
        """
        levels = sorted(((self.level(cause, s), s) for s in symptoms), reverse=True)
        return [(s, level if i == 0 else max(level, weights.UNSHOWN_TOO))
                for i, (level, s) in enumerate(levels)]

    def _explained(self, symptoms: tuple[str, ...]) -> dict[str, list[tuple[str, float]]]:
        """`complaint` for every cause and OTHER."""
        return {cause: self.complaint(cause, symptoms) for cause in self.causes}
