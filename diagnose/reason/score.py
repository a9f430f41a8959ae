"""Scores fast: the same sums as `rank`, without the reasons, for the many runs of `ask`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from diagnose.engine.rule import Fact
from diagnose.reason import weights
from diagnose.reason.infer import Reasoner
from diagnose.reason.measures import History, measure
from diagnose.reason.rank import OTHER
from diagnose.reason.rules import COMPLAINT


class Scorer:
    """Scores of all causes for given answers; equal to those of `rank`, as a test holds."""

    def __init__(self, reasoner: Reasoner, history: History = History()) -> None:
        self.reasoner, self.book, self.history = reasoner, reasoner.book, history
        self._weight = {
            name: (m.cause, weights.decibans(m.grade), m.group or "/".join(m.path),
                   "/".join(m.path))
            for name, m in reasoner.rulebook.meanings.items() if m.kind == "evidence"
        }
        self._prior = {c: weights.COMMON[s.common] for c, s in self.book.causes.items()}
        self._prior[OTHER] = weights.OTHER_PRIOR
        self._inputs = {g for m in self.book.measures.values() for g in m.given.values()}
        self._starts: dict[tuple[str, ...], dict[str, float]] = {}
        self._cache: dict[frozenset[Fact], dict[str, float]] = {}

    def scores(self, values: Mapping[str, Any], complaints: tuple[str, ...],
               outcomes: Mapping[str, float] | None = None,
               assume: Iterable[Fact] = ()) -> dict[str, float]:
        """Score of every cause and OTHER, in decibans."""
        measured = measure(self.book, values, self.history)
        facts = {*self.reasoner.facts(values, measured), *assume,
                 *((COMPLAINT, s) for s in complaints)}
        key = frozenset(facts)
        if key not in self._cache:
            if len(self._cache) > 20_000:
                self._cache.clear()
            self._cache[key] = self._run(facts, complaints)
        found = self._cache[key]
        if not outcomes:
            return found
        return {c: s + outcomes.get(c, 0.0) for c, s in found.items()}

    def _run(self, facts: set[Fact], complaints: tuple[str, ...]) -> dict[str, float]:
        outcome = self.reasoner.engine.run(facts)
        kept: dict[tuple[str, str], float] = {}
        for firing in outcome.fired:
            found = self._weight.get(firing.rule)
            if found is not None:
                cause, decibans, group, _ = found
                if abs(decibans) > abs(kept.get((cause, group), 0.0)):
                    kept[cause, group] = decibans
        scored = dict(self._start(complaints, outcome.facts))
        for (cause, _), decibans in kept.items():
            scored[cause] += decibans
        return scored

    def _start(self, complaints: tuple[str, ...], facts: frozenset[Fact]) -> dict[str, float]:
        """Priors, and how well each cause explains the complaints that hold."""
        held = tuple(s for s in complaints
                     if all(f in facts for f in self.book.symptoms[s].finding.items()))
        if held not in self._starts:
            self._starts[held] = {
                cause: prior + self._explains(cause, held) for cause, prior in self._prior.items()}
        return self._starts[held]

    def _explains(self, cause: str, held: tuple[str, ...]) -> float:
        if cause == OTHER:
            return weights.OTHER_SHOWS * len(held)
        shows = self.book.causes[cause].shows
        levels = sorted((weights.TYPICAL[shows[s]] if s in shows else weights.UNSHOWN
                         for s in held), reverse=True)
        return sum(levels[:1]) + sum(max(x, weights.UNSHOWN_TOO) for x in levels[1:])
