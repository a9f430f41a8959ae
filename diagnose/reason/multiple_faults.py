"""A second fault: competitors explain what the best cause explains, companions the rest."""

from __future__ import annotations

import msgspec

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.engine.rule import Fact
from diagnose.reason import weights
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.rank import Ranked, posterior

WORTH_NAMING = 0.05
"""Posterior from which a competitor is named; named it decides nothing."""
LIKELY_COMPANION = 0.12
"""Probability of being there as well, from which a companion is named. At 0.3 one worked case less has all
its faults named, and one more the right fix first."""
MOST_NAMED = 3
"""Competitors named at most, and companions."""


class Companion(msgspec.Struct, frozen=True):
    """A second fault that may be there too, and the findings left over that it would explain."""

    cause: str
    probability: float
    explains: tuple[Fact, ...]


class Explainers:
    """Which findings each cause of a book explains."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.by_cause = {cause: self._explained(cause) for cause in book.causes}

    def _explained(self, cause: str) -> frozenset[Fact]:
        """The findings its symptoms claim, and those that weigh for it."""
        stated = self.book.causes[cause]
        found = {fact for s in stated.shows if s in self.book.symptoms
                 for fact in self.book.symptoms[s].finding.items()}
        for i, evidence in enumerate(stated.evidence):
            if weights.decibans(evidence.weight) > 0:
                path = ("causes", cause, "evidence", str(i), "when")
                found |= set(conditions.facts(self.book.conditions[path]))
        return frozenset(found)

    def abnormal(self, inference: Inference) -> list[Fact]:
        """The findings of this case that something must explain."""
        return [(name, value) for name, values in inference.findings.items() for value in values
                if self.book.findings[name].values[value].abnormal == "yes"]

    def left(self, inference: Inference, cause: str) -> list[Fact]:
        """The abnormal findings that a cause leaves unexplained."""
        explained = self.by_cause.get(cause, frozenset())
        return [fact for fact in self.abnormal(inference) if fact not in explained]

    def competitors(self, inference: Inference, ranked: list[Ranked]) -> list[Ranked]:
        """Causes that explain a finding the best one explains too, and are likely enough."""
        causes = [r for r in ranked if r.cause != OTHER]
        mine = set(self.abnormal(inference)) - set(self.left(inference, causes[0].cause))
        return [r for r in causes[1:] if r.probability >= WORTH_NAMING
                and (not mine or self.by_cause[r.cause] & mine)][:MOST_NAMED]

    def companions(self, inference: Inference, ranked: list[Ranked]) -> list[Companion]:
        """Causes that would explain what the best one leaves over, the likeliest first.

        With a second fault, each thing observed is put down to whichever of the two explains it
        better. So a companion's odds are those of having it as well, times what it explains
        better than the best cause; the rest counts neither for it nor against.
        """
        best = next(r for r in ranked if r.cause != OTHER)
        left = set(self.left(inference, best.cause))
        if not left:
            return []
        first, besides = _by_name(best), inference.priors.besides
        able = [r for r in ranked if r.cause not in (OTHER, best.cause)
                and not self.by_cause[r.cause].isdisjoint(left)]
        scores = {r.cause: besides[r.cause] + sum(
            max(0.0, decibans - first.get(name, 0.0)) for name, decibans in _by_name(r).items())
            for r in able}
        chances = posterior({OTHER: 0.0, **scores})                # OTHER: there is no second
        order = sorted(scores, key=lambda c: (-chances[c], c))
        return [Companion(c, chances[c], tuple(sorted(self.by_cause[c] & left)))
                for c in order if chances[c] >= LIKELY_COMPANION][:MOST_NAMED]


def _by_name(ranked: Ranked) -> dict[str, float]:
    """What each thing observed says of a cause, in decibans; shared out where several go together."""
    found: dict[str, float] = {}
    for part in ranked.parts:
        names = [part.symptom] if part.kind == "complaint" else (
            [name for name, _ in part.fired.on] if part.fired else [])
        for name in names:
            found[name] = found.get(name, 0.0) + part.decibans / len(names)
    return found
