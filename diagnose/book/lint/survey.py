"""A book looked over once for all checks: what concludes, what weighs, what rests on what."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property, lru_cache
from typing import NamedTuple

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import Alternative, Literal
from diagnose.book.overlay.support import Fact
from diagnose.book.yaml.source import KeyPath


class Stated(NamedTuple):
    """A condition at its place, as alternatives."""

    path: KeyPath
    alternatives: tuple[Alternative, ...]


class WeighingCondition(NamedTuple):
    """A condition that weighs on a cause."""

    path: KeyPath
    alternatives: tuple[Alternative, ...]
    cause: str
    grade: str
    group: str

    @property
    def sign(self) -> str:
        """`for` or `against`."""
        return self.grade.rsplit(" ", 1)[1]


class Survey:
    """What the checks ask of a book, each worked out once."""

    def __init__(self, book: Book, of_houses: bool = False) -> None:
        self.book = book
        self.remedies, self.observations, self.causes = (
            {n: e for n, e in getattr(book, kind).items() if not of_houses or book.house(kind, n)}
            for kind in ("remedies", "observations", "causes"))
        """The entries whose own texts are looked at: all, or only those of houses."""
        self.leaves = lru_cache(maxsize=None)(self._leaves)

    @cached_property
    def holds(self) -> dict[KeyPath, tuple[Alternative, ...]]:
        """Every condition's alternatives, by the path of its place."""
        return {path: self.book.holds(path) for path in self.book.conditions}

    @cached_property
    def concludes(self) -> dict[Fact, list[Stated]]:
        """Finding value to the conditions that conclude it, complaints left out."""
        found: dict[Fact, list[Stated]] = defaultdict(list)
        for name, finding in self.book.findings.items():
            for value, stated in finding.values.items():
                if stated.when is not None:
                    path: KeyPath = ("findings", name, "values", value, "when")
                    found[name, value].append(Stated(path, self.holds[path]))
        for name, rule in self.book.rules.items():
            for fact in rule.then.items():
                path = ("rules", name, "when")
                found[fact].append(Stated(path, self.holds[path]))
        return found

    @cached_property
    def claimed(self) -> dict[Fact, list[str]]:
        """Finding value to the symptoms that claim it."""
        found: dict[Fact, list[str]] = defaultdict(list)
        for name, symptom in self.book.symptoms.items():
            for fact in symptom.finding.items():
                found[fact].append(name)
        return found

    @cached_property
    def weighs(self) -> dict[str, list[WeighingCondition]]:
        """Cause to everything that weighs on it."""
        found: dict[str, list[WeighingCondition]] = defaultdict(list)
        for cause in self.book.causes:
            found[cause] += self._evidence(cause)
        for name, rule in self.book.rules.items():
            path = ("rules", name, "when")
            for cause, grade in rule.weigh.items():
                found[cause].append(WeighingCondition(path, self.holds[path], cause, grade, ""))
        return found

    def _evidence(self, cause: str) -> Iterator[WeighingCondition]:
        stated = self.book.causes[cause]
        for i, item in enumerate(stated.evidence):
            path: KeyPath = ("causes", cause, "evidence", str(i), "when")
            yield WeighingCondition(path, self.holds[path], cause, item.weight, item.group)
            if item.otherwise:
                yield WeighingCondition((*path[:-1], "otherwise"), self.book.fails(path), cause,
                                        item.otherwise, item.group)
        if stated.requires is not None:
            path = ("causes", cause, "requires")
            yield WeighingCondition(path, self.book.fails(path), cause, "decisive against", "requires")

    @cached_property
    def below(self) -> dict[str, set[str]]:
        """Finding to the names that its conclusions hang on."""
        found: dict[str, set[str]] = defaultdict(set)
        for (name, _), stated in self.concludes.items():
            for one in stated:
                found[name] |= conditions.names(self.book.conditions[one.path])
        return found

    def _leaves(self, name: str) -> frozenset[str]:
        """The observations and measures that a name hangs on, itself if it is one."""
        seen, stack, found = set(), [name], set()
        while stack:
            at = stack.pop()
            if at in seen:
                continue
            seen.add(at)
            if at in self.book.findings:
                stack += self.below.get(at, ())
            else:
                found.add(at)
        return frozenset(found)

    def rests_on(self, path: KeyPath) -> frozenset[str]:
        """The observations and measures that the condition at `path` hangs on in the end."""
        names = conditions.names(self.book.conditions[path])
        return frozenset().union(*(self.leaves(n) for n in names)) if names else frozenset()

    def inputs(self, measure: str) -> frozenset[str]:
        """The observations a measure is worked out from."""
        found: set[str] = set()
        stack = [*self.book.measures[measure].given.values()]
        while stack:
            source = stack.pop()
            if source in self.book.measures:
                stack += self.book.measures[source].given.values()
            elif source in self.book.observations:
                found.add(source)
        return frozenset(found)

    @cached_property
    def answers(self) -> Mapping[str, tuple[str, ...]]:
        """Every observation and measure that conditions test to the values it can have."""
        found: dict[str, tuple[str, ...]] = {}
        for name in (*self.book.observations, *self.book.measures):
            if name in self.book.names.units:
                found[name] = tuple(self._plausible(name))
            elif name in self.book.observations and self.book.observations[name].kind != "date":
                found[name] = tuple(self.book.names.values(name) or ())
        return found

    def _plausible(self, name: str) -> Iterator[str]:
        """The bands that a number within its range can fall into."""
        stated = self.book.observations.get(name)
        bands = self.book.bands[name]
        for word in bands.words:
            low, high = bands.limits(word)
            if stated is None or stated.range is None or (
                    low <= stated.range[1] and high >= stated.range[0]):
                yield word

    def said(self, name: str, value: str) -> str:
        """A value of an observation, finding or measure; a band as the numbers it spans."""
        if name not in self.book.bands:
            return value
        low, high = self.book.bands[name].limits(value)
        unit = self.book.names.units[name]
        if low == high:
            return f"{low:g} {unit}"
        if math.isinf(low):
            return f"below {high:g} {unit}"
        return f"above {low:g} {unit}" if math.isinf(high) else f"between {low:g} and {high:g} {unit}"

    @cached_property
    def reachable(self) -> frozenset[Fact]:
        """The finding values that some answers or complaints can conclude."""
        found = set(self.claimed)
        while True:
            new = {fact for fact, stated in self.concludes.items() if fact not in found
                   and any(self.possible(a, found) for one in stated for a in one.alternatives)}
            if not new:
                return frozenset(found)
            found |= new

    def possible(self, alternative: Alternative, reached: frozenset[Fact] | set[Fact]) -> bool:
        """Can the alternative hold, with these finding values within reach?"""
        return all(self._can(literal, reached) for literal in alternative if literal.holds)

    def _can(self, literal: Literal, reached: frozenset[Fact] | set[Fact]) -> bool:
        if literal.name in self.book.findings:
            values = literal.values or frozenset(self.book.findings[literal.name].values)
            return any((literal.name, value) in reached for value in values)
        if literal.values is None or literal.name not in self.answers:
            return True
        return bool(literal.values & set(self.answers[literal.name]))


def implies(a: Alternative, b: Alternative, single: frozenset[str]) -> bool:
    """Does `a` holding mean that `b` holds? `single` are the names with one value at most."""
    return all(any(_covers(x, y, single) for x in a) for y in b)


def _covers(x: Literal, y: Literal, single: frozenset[str]) -> bool:
    if x.name != y.name:
        return False
    if y.holds:
        return x.holds and (y.values is None or (x.values is not None and x.values <= y.values))
    if not x.holds:
        return x.values is None or (y.values is not None and x.values >= y.values)
    return (x.name in single and x.values is not None and y.values is not None
            and not x.values & y.values)


def all_imply(a: tuple[Alternative, ...], b: tuple[Alternative, ...],
              single: frozenset[str]) -> bool:
    """Does a condition holding mean that another holds? Both as alternatives, none of them empty."""
    return bool(a) and all(any(implies(x, y, single) for y in b) for x in a)
