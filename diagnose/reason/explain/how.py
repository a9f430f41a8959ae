"""How a conclusion was reached: the chain of rules, down to the person's own answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

from diagnose.engine.chain import Firing
from diagnose.engine.rule import Fact
from diagnose.reason.explain.explain import SMALL
from diagnose.reason.explain.reason import Reason
from diagnose.reason.explain.say import Words
from diagnose.reason.infer.infer import Fired, Inference
from diagnose.reason.infer.rules import CAUTION
from diagnose.reason.rank import Ranked
from diagnose.reason.weights import grade_and_side

MOST_REASONS = 6


class Because(msgspec.Struct, frozen=True):
    """One link of the chain: what holds, where the rule stands, and what it rests on."""

    text: str
    place: str = ""
    """File and line of the rule; empty for what the person said."""
    parts: tuple[Because, ...] = ()
    house: bool = False
    """Is it a house rule? Then its place is always said."""
    grade: str = ""
    side: str = ""
    """How much it weighs, and for or against the cause; both empty for what is no evidence."""

    def _where(self, places: bool) -> str:
        if self.house:
            return f" (house rule, {self.place})"
        return f" [{self.place}]" if places and self.place else ""

    def reasons(self, places: bool = False, depth: int = 0) -> Iterator[Reason]:
        """The chain as reasons, each set in under what it explains."""
        lead = "because " if depth else ""
        yield Reason(f"{lead}{self.text}{self._where(places)}", self.grade, self.side, depth)
        for part in self.parts:
            yield from part.reasons(places, depth + 1)


def cause(inference: Inference, ranked: Ranked, values: Mapping[str, Any], places: bool = False
          ) -> list[Reason]:
    """What speaks for and against a cause, the weightiest first, each down to the answers."""
    chain = _Chain(inference, values)
    fired = sorted((p for p in ranked.parts if p.fired and abs(p.decibans) >= SMALL),
                   key=lambda p: -abs(p.decibans))
    return [reason for p in fired[:MOST_REASONS] if p.fired
            for reason in chain.weighed(p.fired).reasons(places)]


def caution(inference: Inference, name: str, values: Mapping[str, Any], places: bool = False
            ) -> list[Reason]:
    """The answers that raised a caution."""
    chain = _Chain(inference, values)
    return [reason for firing in chain.by_then.get((CAUTION, name), ())
            for part in chain.parts(firing.on) for reason in part.reasons(places)]


class _Chain:
    def __init__(self, inference: Inference, values: Mapping[str, Any]) -> None:
        self.inference, self.book = inference, inference.book
        self.words = Words(inference, values)
        self.by_then: dict[Fact, list[Firing]] = {}
        for firing in inference.firings:
            for then in self._then(firing):
                self.by_then.setdefault(then, []).append(firing)

    def _then(self, firing: Firing) -> Iterable[Fact]:
        """What a rule concluded, told from its place in the book."""
        meaning = self.inference.meanings[firing.rule]
        path = meaning.path
        if meaning.kind == "symptom":
            return self.book.symptoms[path[1]].finding.items()
        if meaning.kind == "caution":
            return [(CAUTION, path[1] if path[0] == "cautions"
                     else self.book.rules[path[1]].caution)]
        if meaning.kind == "finding" and path[0] == "findings":
            return [(path[1], path[3])]
        if meaning.kind == "finding":
            return [(path[-1], self.book.rules[path[1]].then[path[-1]])]
        return []

    def weighed(self, fired: Fired) -> Because:
        """A piece of evidence with its weight, and what it rests on."""
        path = fired.meaning.path
        below = [b for f in fired.on for b in self._below(f, frozenset())]
        return Because(self.words.facts(fired.on), str(self.book.place(*path)), _once(below),
                       bool(self.book.house(path[0], path[1])), *grade_and_side(fired.meaning.grade))

    def parts(self, on: tuple[Fact, ...], seen: frozenset[Fact] = frozenset()
              ) -> tuple[Because, ...]:
        return _once(self._fact(f, seen) for f in on)

    def _fact(self, fact: Fact, seen: frozenset[Fact]) -> Because:
        path = self._path(fact)
        return Because(self.words.fact(fact), str(self.book.place(*path)) if path else "",
                       self._below(fact, seen), bool(path and self.book.house(path[0], path[1])))

    def _below(self, fact: Fact, seen: frozenset[Fact]) -> tuple[Because, ...]:
        if fact[0] in self.book.measures:
            return self._inputs(fact[0])
        if fact in seen or not self.by_then.get(fact):
            return ()
        return self.parts(self.by_then[fact][0].on, seen | {fact})

    def _path(self, fact: Fact) -> tuple[str, ...]:
        """Where the rule stands that a fact comes from; empty for what the person said."""
        if fact[0] in self.book.measures:
            return ("measures", fact[0])
        fired = self.by_then.get(fact)
        return self.inference.meanings[fired[0].rule].path if fired else ()

    def _inputs(self, measure: str) -> tuple[Because, ...]:
        """What a number was worked out from."""
        found = []
        for source in self.book.measures[measure].given.values():
            if source in self.book.observations and source in self.words.values:
                found.append(Because(self.words.fact((source, str(self.words.values[source])))))
            elif source in self.book.measures:
                found.append(self._fact((source, ""), frozenset()))
        return tuple(found)


def _once(parts: Iterable[Because]) -> tuple[Because, ...]:
    return tuple({part.text: part for part in parts}.values())
