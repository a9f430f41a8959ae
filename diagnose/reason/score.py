"""Scores fast: the same sums as `rank`, without the reasons, for the many runs of `ask`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from diagnose.engine.rule import Fact
from diagnose.reason import weights
from diagnose.reason.infer import Reasoner
from diagnose.reason.prior import OTHER
from diagnose.reason.rules import CAUTION

MOST_KEPT = 20_000
"""Scores kept of runs already made; going back or asking again costs nothing."""


class Scored(NamedTuple):
    """Decibans by cause, and whether a caution stops the consult."""

    scores: dict[str, float]
    stops: bool


class Scorer:
    """Scores of all causes for given answers; equal to those of `rank`, as a test holds."""

    def __init__(self, reasoner: Reasoner) -> None:
        self.reasoner, self.book = reasoner, reasoner.book
        self._weight = {
            name: (m.cause, weights.decibans(m.grade), m.group or "/".join(m.path))
            for name, m in reasoner.rulebook.meanings.items() if m.kind == "evidence"
        }
        self._starts: dict[tuple[str, ...], dict[str, float]] = {}
        self._cache: dict[tuple[frozenset[Fact], Any], Scored] = {}
        self._stops = frozenset(n for n, c in self.book.cautions.items() if c.stop == "yes")

    def scores(self, values: Mapping[str, Any], complaints: tuple[str, ...],
               assume: Iterable[Fact] = (), causes: frozenset[str] | None = None,
               ) -> dict[str, float]:
        """Score of every cause and OTHER, in decibans; of `causes` only where given."""
        return self.scored(values, complaints, assume, causes).scores

    def scored(self, values: Mapping[str, Any], complaints: tuple[str, ...],
               assume: Iterable[Fact] = (), causes: frozenset[str] | None = None) -> Scored:
        """Scores as above, and whether a caution would stop the consult.

        `assume` adds facts as they are, such as the band of a measure not yet taken.
        """
        measured = self.reasoner.measurer.measure(values)
        facts = frozenset({*self.reasoner.facts(values, measured, complaints), *assume})
        key = (facts, causes)
        if key not in self._cache:
            if len(self._cache) > MOST_KEPT:
                self._cache.clear()
            self._cache[key] = self._run(facts, complaints, causes)
        return self._cache[key]

    def _run(self, facts: frozenset[Fact], complaints: tuple[str, ...],
             causes: frozenset[str] | None) -> Scored:
        chapter = self.reasoner.rulebook.chapter
        wanted = None if causes is None else sorted(
            {chapter[c] for c in causes if c != OTHER} & self.reasoner.rulebook.evidence.keys())
        found, fired = self.reasoner.run(facts, wanted)
        kept: dict[tuple[str, str], float] = {}
        for firing in fired:
            weight = self._weight.get(firing.rule)
            if weight is not None:
                cause, decibans, group = weight
                if abs(decibans) > abs(kept.get((cause, group), 0.0)):
                    kept[cause, group] = decibans
        start = self._start(complaints, found)
        scored = dict(start) if causes is None else {c: start[c] for c in causes}
        for (cause, _), decibans in kept.items():
            if cause in scored:
                scored[cause] += decibans
        stops = any(name == CAUTION and value in self._stops for name, value in found)
        return Scored(scored, stops)

    def _start(self, complaints: tuple[str, ...], facts: frozenset[Fact]) -> dict[str, float]:
        """Priors, and how well each cause explains the complaints that hold."""
        held = tuple(s for s in complaints
                     if all(f in facts for f in self.book.symptoms[s].finding.items()))
        priors = self.reasoner.priors
        if held not in self._starts:
            self._starts[held] = {
                cause: prior + sum(level for _, level in priors.complaint(cause, held))
                for cause, prior in priors.causes.items()}
        return self._starts[held]
