"""Before any evidence: how common each cause is, and how it explains complaints.

A cause explains a complaint as often as its `shows` says. Under a cause not known to show
it, the words were misread or a second fault speaks: that happens in a fixed part of all
cases (`weights.LEAK`), whatever the complaint, so it counts as that part of the
complaint's own frequency. Something not in this book is a fixed share of all trouble and
complains as people do in general.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from functools import lru_cache
from operator import add, mul
from typing import NamedTuple

from diagnose.book.book import Book
from diagnose.engine.rule import Fact
from diagnose.reason import weights
from diagnose.reason.infer.experience import Experience

OTHER = ""
"""The id of `something not in this book`."""


Words = tuple[tuple[str, float], ...]
"""What a complaint's words may mean, as nobody has confirmed it: symptoms with their chances."""


class Heard(NamedTuple):
    """The symptoms to be explained, which of them are in doubt, and what the words may mean."""

    symptoms: tuple[str, ...]
    doubtful: frozenset[str] = frozenset()
    words: Words = ()


def heard(book: Book, complaints: tuple[str, ...], doubtful: frozenset[str],
          facts: Set[Fact], words: Words = ()) -> Heard:
    """The complaints; where none of them holds, the abnormal symptoms that came up as well.

    A complaint that the answers bear out is in doubt no longer. One that they do not bear out
    still says where to look: an answer may be mistaken, and people seldom complain of nothing.
    Symptoms that were only read count through the chances of the words, if these are given.
    """
    if words:
        sure = tuple(c for c in complaints if c not in doubtful)
        rest = heard(book, sure, frozenset(), facts)
        return Heard(tuple(s for s in rest.symptoms if s in sure or s not in complaints),
                     rest.doubtful.difference(complaints), words)
    held = {s for s in complaints
            if all(f in facts for f in book.symptoms[s].finding.items())}
    if held:
        names = {name for name, _ in facts} if doubtful else set()
        borne = {s for s in held if not names.isdisjoint(book.symptoms[s].unless_known)}
        return Heard(complaints, doubtful.intersection(complaints) - borne)
    found = tuple(s for s, signs in book.once(_abnormal) if s not in complaints and signs <= facts)
    return Heard((*complaints, *found), doubtful.intersection(complaints).union(found))


def _abnormal(book: Book) -> list[tuple[str, frozenset[Fact]]]:
    """The symptoms whose findings are all abnormal, each with these."""
    return [(s, frozenset(stated.finding.items())) for s, stated in book.symptoms.items()
            if all(book.findings[n].values[v].abnormal == "yes" for n, v in stated.finding.items())]


class Priors:
    """Priors and complaint likelihoods of one book, in decibans."""

    def __init__(self, book: Book, experience: Experience | None = None) -> None:
        self.book = book
        self.experience = experience or Experience(book)
        self.causes = {c: weights.COMMON[s.common] for c, s in book.causes.items()}
        total = sum(map(weights.odds, self.causes.values()))
        self.causes[OTHER] = weights.in_decibans(
            weights.OTHER_SHARE / (1 - weights.OTHER_SHARE) * max(total, 1e-9))
        self._total = total
        self.besides = {c: prior - weights.in_decibans(max(total, 1e-9)) + weights.TOGETHER
                        for c, prior in self.causes.items() if c != OTHER}
        """Decibans for each cause being there besides another, once something is left over."""
        self._frequent = lru_cache(maxsize=None)(self._frequency)
        self._level = lru_cache(maxsize=None)(self._shown)
        self._levels = lru_cache(maxsize=None)(self._of_all)
        self._odds = lru_cache(maxsize=None)(self._odds_of_all)
        self.worded = lru_cache(maxsize=64)(self._worded)
        self.before = lru_cache(maxsize=64)(self._before)

    def _frequency(self, symptom: str) -> float:
        """The share of all trouble that is complained of so, in decibans."""
        mass = sum(weights.odds(self.causes[c] + weights.TYPICAL[s.shows[symptom]])
                   for c, s in self.book.causes.items() if symptom in s.shows)
        return weights.in_decibans(max(mass, 1e-6) / max(self._total, 1e-9))

    def level(self, cause: str, symptom: str, leak: float = weights.LEAK) -> float:
        """How often the cause is complained of so, in decibans."""
        if cause == OTHER:
            return self._frequent(symptom)
        return self._level(cause, symptom, leak)

    def _shown(self, cause: str, symptom: str, leak: float) -> float:
        shows = self.book.causes[cause].shows
        stated = (weights.odds(weights.TYPICAL[shows[symptom]]) if symptom in shows
                  else leak * weights.odds(self._frequent(symptom)))
        return weights.in_decibans(max(self.experience.shows(cause, symptom, stated), 1e-6))

    def _worded(self, words: Words) -> dict[str, float]:
        """What the words count for every cause, in decibans.

        The words may mean one thing or another: the chances of what they mean, each times how
        much oftener the cause shows so than trouble does in general.
        """
        lifts = [chance / weights.odds(self._frequent(symptom)) for symptom, chance in words]
        columns = [self._odds(symptom) for symptom, _ in words]
        rows = zip(*columns, strict=True)
        return {cause: 0.0 if cause == OTHER else weights.in_decibans(max(1e-6, sum(map(mul, lifts, odds))))
                for cause, odds in zip(self.causes, rows, strict=True)}

    def complaint(self, cause: str, heard: Heard) -> list[tuple[str, float]]:
        """Symptoms with what each counts for the cause, in decibans.

        The best-explained complaint counts in full, each further one at most
        `weights.UNSHOWN_TOO` against: two faults at once are not so rare.
        """
        levels = sorted(((self.level(cause, s, self._leak(s, heard)), s) for s in heard.symptoms),
                        reverse=True)
        counted = _counted(level for level, _ in levels)
        return [(s, level) for (_, s), level in zip(levels, counted, strict=True)]

    def _before(self, heard: Heard) -> dict[str, float]:
        """Decibans of every cause and OTHER before any evidence."""
        columns = [self._levels(s, self._leak(s, heard)) for s in heard.symptoms]
        sums: Iterable[float] = self.causes.values()
        if columns:
            sums = map(_added, sums, zip(*columns, strict=True))
        if heard.words:
            sums = map(add, sums, self.worded(heard.words).values())
        return dict(zip(self.causes, sums, strict=True))

    def before_of(self, heard: Heard, causes: Iterable[str]) -> dict[str, float]:
        """`before` for some causes only."""
        leaks = [(s, self._leak(s, heard)) for s in heard.symptoms]
        worded = self.worded(heard.words) if heard.words else {}
        return {cause: _added(self.causes[cause], [self.level(cause, *leak) for leak in leaks])
                + worded.get(cause, 0.0) for cause in causes}

    def _of_all(self, symptom: str, leak: float) -> tuple[float, ...]:
        """`level` for every cause and OTHER."""
        return tuple(self.level(cause, symptom, leak) for cause in self.causes)

    def _odds_of_all(self, symptom: str) -> tuple[float, ...]:
        """The same as ratios, nothing in doubt."""
        return tuple(map(weights.odds, self._levels(symptom, weights.LEAK)))

    @staticmethod
    def _leak(symptom: str, heard: Heard) -> float:
        return weights.LEAK_DOUBTFUL if symptom in heard.doubtful else weights.LEAK


def _counted(levels: Iterable[float]) -> Iterator[float]:
    """What complaints count for a cause, the best explained first: that in full, the others bounded."""
    for place, level in enumerate(levels):
        yield max(level, weights.UNSHOWN_TOO) if place else level


def _added(prior: float, levels: Sequence[float]) -> float:
    """What counts for a cause before any evidence, added up in the order in which it is told."""
    if len(levels) < 2:
        return prior + levels[0] if levels else prior
    return sum(_counted(sorted(levels, reverse=True)), prior)
