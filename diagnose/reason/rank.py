"""Rank the causes: log-odds from priors, complaints and evidence, then posteriors.

score(cause) = prior + complaint + sum of the weights that fired, in decibans; the
posterior is 10**(score/13), normalised over all causes and `something not in this book`.
Once fixes were tried, the evidence itself is open to doubt (see `believed`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

import msgspec

from diagnose.reason import weights
from diagnose.reason.infer.infer import Fired, Inference

MOST_DOUBT = 0.3
"""How far the evidence of a case is doubted at most, once its fixes fail: an answer may have been
mistaken, a weight too bold. A share of 1: with odds of 1,000 to 1 for a cause whose sure fix then does
nothing, 17 % go to the others at 0.3, and 2 % at 0."""
DOUBTED_WEIGHT_SHARE = 0.4
"""The part of its weight that evidence in doubt keeps."""


class Term(msgspec.Struct, frozen=True, gc=False):
    """One term of a score: decibans, what it comes from, and the evidence if it is some."""

    decibans: float
    kind: str
    """prior, complaint, words, evidence, experience or outcome."""
    fired: Fired | None = None
    symptom: str = ""
    answer: str = ""
    """The observation that experience speaks of."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """A cause with its posterior probability and the parts of its score."""

    cause: str
    probability: float
    score: float
    _sums: _Sums = field(repr=False, compare=False)

    @property
    def parts(self) -> tuple[Term, ...]:
        """The terms of the score, as they were added up; made when asked for, which is of few causes."""
        return self._sums.parts(self.cause)

    @property
    def evidence(self) -> tuple[Term, ...]:
        """Those of them that are evidence."""
        return self._sums.evidence.get(self.cause, ())


class _Sums:
    """What the scores of one case are made of."""

    def __init__(self, inference: Inference, outcomes: Mapping[str, float]) -> None:
        self._priors, self._heard = inference.priors, inference.heard
        self.evidence = {cause: tuple(counted(fired)) for cause, fired in inference.evidence.items()}
        self._speak = [(name, inference.priors.experience.speaks(name, value))
                       for name, value in inference.values.items()]
        self._outcomes = outcomes

    def scores(self) -> dict[str, float]:
        """Every cause and OTHER to its score before anything was tried, added up in the order of `parts`."""
        scores = dict(self._priors.before(self._heard))
        for cause, parts in self.evidence.items():
            for part in parts:
                scores[cause] += part.decibans
        for _, speaks in self._speak:
            for cause, decibans in speaks.items():
                scores[cause] += decibans
        return scores

    def parts(self, cause: str) -> tuple[Term, ...]:
        """The terms of a cause's score."""
        spoken = [Term(speaks[cause], "experience", answer=name)
                  for name, speaks in self._speak if cause in speaks]
        tried = [Term(self._outcomes[cause], "outcome")] if cause in self._outcomes else []
        return (*self._before(cause), *self.evidence.get(cause, ()), *spoken, *tried)

    def _before(self, cause: str) -> Iterator[Term]:
        """What counts for it before any evidence: how common it is, what was complained of."""
        yield Term(self._priors.causes[cause], "prior")
        for symptom, level in self._priors.complaint(cause, self._heard):
            yield Term(level, "complaint", symptom=symptom)
        if self._heard.words:
            yield Term(self._priors.worded(self._heard.words)[cause], "words")


def rank(inference: Inference, outcomes: Mapping[str, float] | None = None) -> list[Ranked]:
    """All causes and OTHER, most probable first; `outcomes` are decibans from fixes tried."""
    sums = _Sums(inference, outcomes or {})
    scores = sums.scores()
    chances = believed(scores, inference.priors.before(inference.heard), outcomes)
    for cause, decibans in (outcomes or {}).items():
        if cause in scores:
            scores[cause] += decibans
    order = sorted(scores, key=lambda c: (-chances[c], c))
    return [Ranked(c, chances[c], scores[c], sums) for c in order]


def believed(scores: Mapping[str, float], before: Mapping[str, float],
             outcomes: Mapping[str, float] | None) -> dict[str, float]:
    """Probabilities from scores, those before any evidence, and what came of fixes tried.

    A cause that all evidence points to, and whose sure fix then does nothing, says that some of
    the evidence is not worth its weight. So it is read in two ways, in full and in part; the
    second counts as far as it foresaw what came of the fixes better. All in decibans.
    """
    full = posterior(scores)
    if not outcomes:
        return full
    part = posterior({c: b + DOUBTED_WEIGHT_SHARE * (scores[c] - b) for c, b in before.items()})
    came = {c: weights.odds(outcomes.get(c, 0.0)) for c in full}
    foreseen, in_part = (sum(p * came[c] for c, p in taken.items()) for taken in (full, part))
    doubt = MOST_DOUBT * max(0.0, 1 - foreseen / in_part)
    joint = {c: ((1 - doubt) * p + doubt * part[c]) * came[c] for c, p in full.items()}
    total = sum(joint.values())
    return {c: p / total for c, p in joint.items()}


def posterior(scored: Mapping[str, float]) -> dict[str, float]:
    """Probabilities from the weights of all facts added up, in decibans; they sum to one."""
    top = max(scored.values())
    odds = {cause: weights.summed_odds(score - top) for cause, score in scored.items()}
    total = sum(odds.values())
    return {cause: odd / total for cause, odd in odds.items()}


def counted(fired: Iterable[Fired]) -> list[Term]:
    """The evidence that counts: of each group only the weightiest."""
    kept: dict[str, Term] = {}
    for i, one in enumerate(fired):
        part = Term(weights.decibans(one.meaning.grade), "evidence", one)
        group = one.meaning.group or f"#{i}"
        if group not in kept or weights.outweighs(part.decibans, kept[group].decibans):
            kept[group] = part
    return list(kept.values())
