"""Scores fast: the same sums as `rank`, without the reasons, for the many runs of `ask`.

A base is a full run for what is known; a change is what one further answer would add to
it, tried through the engine on the slice of the book that hangs on that answer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Any

import msgspec

from diagnose.engine.rule import Fact
from diagnose.reason import weights
from diagnose.reason.infer.infer import Reasoner
from diagnose.reason.infer.prior import Heard, Words, heard
from diagnose.reason.infer.rules import CAUTION
from diagnose.reason.questions.slice import Slice, Slicer, Weighs

MOST_KEPT = 48
"""Bases kept; going back or asking again costs nothing."""
MOST_RUNS = 10_000
"""Runs on slices kept; from one question to the next most stay as they were."""


class Base(msgspec.Struct, frozen=True):
    """What is known, all that follows from it, and the scores."""

    values: Mapping[str, Any]
    complaints: tuple[str, ...]
    doubtful: frozenset[str]
    today: date | None
    given: frozenset[Fact]
    found: frozenset[Fact]
    fired: Mapping[str, frozenset[str]]
    """Cause to the names of its evidence that fired."""
    words: Words
    heard: Heard
    """The symptoms that a cause has to explain."""
    before: Mapping[str, float]
    """Decibans of every cause and OTHER before any evidence."""
    scores: Mapping[str, float]
    """The same with the evidence."""


class Change(msgspec.Struct, frozen=True):
    """What an answer would do to a base."""

    decibans: Mapping[str, float]
    """Causes whose score would change, and by how much."""
    stops: bool
    """Would a caution stop the consult that does not yet?"""
    denies: bool = False
    """Would a complaint that holds hold no longer?"""


class Scorer:
    """Scores of all causes for given answers; equal to those of `rank`, as a test holds."""

    def __init__(self, reasoner: Reasoner) -> None:
        self.reasoner, self.book = reasoner, reasoner.book
        self.experience = reasoner.experience
        self.slicer = Slicer(reasoner)
        self._weights = {w.name: (w.meaning.counts_as, w.meaning.decibans, w.meaning.cause)
                         for shelf in reasoner.rulebook.shelves for w in shelf.stated}
        self._kept: dict[Any, Base] = {}
        self._found: dict[frozenset[Fact], frozenset[Fact]] = {}
        self._fired: dict[tuple[Weighs, frozenset[Fact]], frozenset[str]] = {}
        self._claimed = frozenset(f for s in self.book.symptoms.values() for f in s.finding)
        """Findings that symptoms claim."""
        self._stopping = frozenset(n for n, c in self.book.cautions.items() if c.stop == "yes")

    def scores(self, values: Mapping[str, Any], complaints: tuple[str, ...],
               today: date | None = None,
               doubtful: frozenset[str] = frozenset(), words: Words = ()) -> dict[str, float]:
        """Score of every cause and OTHER, in decibans."""
        return dict(self.base(values, complaints, today, doubtful, words).scores)

    def base(self, values: Mapping[str, Any], complaints: tuple[str, ...],
             today: date | None = None, doubtful: frozenset[str] = frozenset(),
             words: Words = ()) -> Base:
        """All that follows from answers and complaints, with the scores."""
        key = (frozenset(values.items()), complaints, doubtful, today, words)
        if key not in self._kept:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            self._kept[key] = self._base(values, complaints, today, doubtful, words)
        return self._kept[key]

    def _base(self, values: Mapping[str, Any], complaints: tuple[str, ...],
              today: date | None, doubtful: frozenset[str], words: Words) -> Base:
        measured = self.reasoner.measurer.measure(values, today)
        given = frozenset(self.reasoner.facts(values, measured, complaints))
        found, firings = self.reasoner.run(given)
        fired: dict[str, set[str]] = defaultdict(set)
        for name in {firing.rule.rpartition("#")[0] for firing in firings}:
            if name in self._weights:
                fired[self._weights[name][2]].add(name)
        said = heard(self.book, complaints, doubtful, found, words)
        before = self.reasoner.priors.before(said)
        scores = dict(before)
        for cause, names in fired.items():
            scores[cause] += self._sum(names)
        for name, value in values.items():
            for cause, decibans in self.experience.speaks(name, value).items():
                scores[cause] += decibans
        return Base(dict(values), complaints, doubtful, today, given, found,
                    {c: frozenset(names) for c, names in fired.items()}, words, said, before, scores)

    def told(self, change: Change, name: str, answer: Any, causes: Collection[str]) -> Change:
        """A change with what experience says of the answer."""
        speaks = self.experience.speaks(name, answer)
        decibans = {c: change.decibans.get(c, 0.0) + speaks.get(c, 0.0)
                    for c in causes if c in change.decibans or c in speaks}
        return Change(decibans, change.stops, change.denies)

    def change(self, base: Base, name: str, answer: Any, causes: Collection[str]) -> Change:
        """What an answer to an observation not yet made would do to the scores of `causes`.

        For a measure not yet worked out, `answer` is the word of its band.
        """
        return self.told(self.effect(base, name, answer, causes), name, answer, causes)

    def effect(self, base: Base, name: str, answer: Any, causes: Collection[str]) -> Change:
        """The part of `change` that the book's rules make: alike for answers that are `alike`."""
        part = self.slicer.of(name)
        given = self._given(base, part, name, answer)
        concluded = self._concluded(base, part, given, causes)
        found = {f for f in base.found
                 if f[0] not in part.given and f[0] not in part.concluded and f[0] != CAUTION}
        found |= {f for f in given if f[0] in part.given}
        found |= {f for f in concluded if f[0] in part.concluded}
        changed = self._weighed(base, part, found, causes)
        if base.doubtful or self._may_restart(base, part):
            self._restart(base, found, causes, changed)
        stops = any((CAUTION, c) in concluded and (CAUTION, c) not in base.found
                    for c in part.cautions & self._stopping)
        return Change({c: d for c, d in changed.items() if abs(d) > 1e-9}, stops,
                      self._denies(base, part, found))

    def _denies(self, base: Base, part: Slice, found: Collection[Fact]) -> bool:
        """Does what was found deny a complaint that held?"""
        claimed = {fact for s in base.complaints for fact in self.book.symptoms[s].finding.items()
                   if fact[0] in part.concluded}
        return any(fact in base.found and fact not in found for fact in claimed)

    def may_stop(self, name: str) -> bool:
        """Could an answer to this raise a caution that stops the consult?"""
        return not self._stopping.isdisjoint(self.slicer.of(name).cautions)

    def _given(self, base: Base, part: Slice, name: str, answer: Any) -> set[Fact]:
        """The facts given, with the answer and the measures that it makes known."""
        given = {f for f in base.given if f[0] not in part.given}
        if name in self.book.measures:
            return {*given, (name, answer)}
        given |= self.reasoner.given(name, answer, base.complaints)
        if len(part.given) > 1:
            measured = self.reasoner.measurer.measure({**base.values, name: answer}, base.today)
            given |= {self.reasoner.fact(n, v) for n, v in measured.numbers().items()
                      if n in part.given}
        return given

    def alike(self, name: str, answers: Iterable[Any], causes: Collection[str]) -> list[Any]:
        """A key for each answer; those alike can't differ to these causes, nor raise a caution."""
        if len(self.slicer.of(name).given) > 1 or name in self.book.measures:
            return list(answers)
        sets = [words for words, cause in self.slicer.told_apart(name)
                if not cause or cause in causes]
        told = [self.reasoner.fact(name, answer)[1] for answer in answers]
        return [tuple([word in words for words in sets]) for word in told]

    def _concluded(self, base: Base, part: Slice, given: set[Fact], causes: Collection[str]
                   ) -> frozenset[Fact]:
        """Findings and cautions of the slice; none where nothing that counts looks at them."""
        if part.minded.isdisjoint(causes) and part.cautions.isdisjoint(self._stopping) \
                and not self._may_restart(base, part):
            return frozenset()
        facts = frozenset([f for f in given if f[0] in part.needs])
        if facts not in self._found:
            _make_room(self._found)
            self._found[facts] = self.reasoner.findings.run(facts).facts
        return self._found[facts]

    def _weighed(self, base: Base, part: Slice, found: set[Fact], causes: Collection[str]
                 ) -> dict[str, float]:
        fired = {cause: set(self._before(base, part, cause)) for cause in part.causes.intersection(causes)}
        for weighs in part.weighs:
            if not weighs.causes.isdisjoint(causes):
                for name in self._run(weighs, found):
                    if (cause := self._weights[name][2]) in fired:
                        fired[cause].add(name)
        before = {cause: base.fired.get(cause, frozenset()) for cause in fired}
        return {cause: self._sum(now) - self._sum(before[cause]) for cause, now in fired.items()
                if now != before[cause]}

    def _before(self, base: Base, part: Slice, cause: str) -> frozenset[str]:
        """The evidence of a cause that counts already and does not hang on the slice."""
        return base.fired.get(cause, frozenset()) - part.evidence

    def _run(self, weighs: Weighs, found: set[Fact]) -> frozenset[str]:
        """The evidence of a slice that fires; the same facts have often been looked at before."""
        facts = frozenset([f for f in found if f[0] in weighs.names])
        if (weighs, facts) not in self._fired:
            _make_room(self._fired)
            known: dict[str, list[str]] = defaultdict(list)
            for name, value in facts:
                known[name].append(value)
            self._fired[weighs, facts] = frozenset(
                one.name for one in weighs.stated if weighs.shelf.holds(one, known))
        return self._fired[weighs, facts]

    def _may_restart(self, base: Base, part: Slice) -> bool:
        """May an answer change which symptoms are heard?"""
        claims = [self.book.symptoms[s].finding for s in base.complaints]
        if any(all(fact in base.found for fact in claim.items()) for claim in claims):
            return any(name in part.concluded for claim in claims for name in claim)
        return not self._claimed.isdisjoint(part.concluded)

    def _restart(self, base: Base, found: set[Fact], causes: Collection[str],
                 changed: dict[str, float]) -> None:
        """Take in what the answer does to the complaints that hold."""
        said = heard(self.book, base.complaints, base.doubtful, found, base.words)
        if said != base.heard:
            for cause, now in self.reasoner.priors.before_of(said, causes).items():
                changed[cause] = changed.get(cause, 0.0) + now - base.before[cause]

    def _sum(self, names: Iterable[str]) -> float:
        """Decibans of the evidence that counts: of each group only the weightiest."""
        kept: dict[str, float] = {}
        for name in names:
            group, decibans, _ = self._weights[name]
            if weights.outweighs(decibans, kept.get(group, 0.0)):
                kept[group] = decibans
        return sum(kept.values())


def _make_room(kept: dict[Any, Any]) -> None:
    """Drop the older half when there are too many."""
    if len(kept) >= MOST_RUNS:
        for key in list(kept)[:MOST_RUNS // 2]:
            del kept[key]
