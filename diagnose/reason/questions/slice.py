"""What one answer can change: the findings, cautions and evidence that hang on it.

A question is tried by running the engine on the facts that rules about findings look at, and no
others; what that comes to is held against the conditions of the evidence. All else stays as it was.
The sums come out as those of a full run, as a test holds.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping

import msgspec

from diagnose.engine.rule import EngineRule
from diagnose.reason.infer.infer import Reasoner
from diagnose.reason.infer.rules import CAUTION, Shelf, StatedEvidence

_CAUTION = f"{CAUTION} "


class Weighs(msgspec.Struct, frozen=True, eq=False):
    """The evidence of one shelf that hangs on an answer."""

    shelf: Shelf
    stated: tuple[StatedEvidence, ...]
    names: frozenset[str]
    """All names it looks at."""
    causes: frozenset[str]


class Slice(msgspec.Struct, frozen=True):
    """What hangs on one observation or measure."""

    given: frozenset[str]
    """The name itself and the measures worked out from it."""
    concluded: frozenset[str]
    """Findings that may come out otherwise."""
    cautions: frozenset[str]
    """Cautions that may come out otherwise."""
    needs: frozenset[str]
    """The names that the rules about all these rest on, all the way down."""
    weighs: tuple[Weighs, ...]
    evidence: frozenset[str]
    """Names of all these pieces of evidence."""
    causes: frozenset[str]
    minded: frozenset[str]
    """The causes whose evidence looks at one of the findings."""


class Slicer:
    """The slices of a book, each worked out when first wanted."""

    def __init__(self, reasoner: Reasoner) -> None:
        self._reasoner = reasoner
        self._kept: dict[str, Slice] = {}
        self._sets: dict[str, tuple[tuple[frozenset[str], str], ...]] = {}
        self._users: dict[str, set[str]] = defaultdict(set)
        """Name to what is concluded with a look at it."""
        self._makers: dict[str, set[str]] = defaultdict(set)
        """What is concluded to the names looked at."""
        for rule in reasoner.rulebook.findings:
            self._link(rule)
        self._measures = _measures(reasoner)
        self._shelves = reasoner.rulebook.shelves
        self._weighed = _weighed(self._shelves)

    def _link(self, rule: EngineRule) -> None:
        name, value = rule.then
        then = f"{_CAUTION}{value}" if name == CAUTION else name
        for pattern in (*rule.all, *rule.none):
            self._users[pattern.name].add(then)
            self._makers[then].add(pattern.name)

    def of(self, name: str) -> Slice:
        """The slice of an observation or measure."""
        if name not in self._kept:
            self._kept[name] = self._slice(name)
        return self._kept[name]

    def _slice(self, name: str) -> Slice:
        given = _reached({name}, self._measures)
        changed = _reached(given, self._users)
        concluded = changed - given
        needs = _reached(concluded, self._makers)
        cautions = frozenset(c for c in concluded if c.startswith(_CAUTION))
        minded = frozenset(weighing.meaning.cause for one in concluded
                           for _, weighing in self._weighed.get(one, ()))
        weighs = tuple(self._weighing(changed))
        return Slice(given, concluded - cautions,
                     frozenset(c.removeprefix(_CAUTION) for c in cautions), needs, weighs,
                     frozenset(one.name for w in weighs for one in w.stated),
                     frozenset().union(*(w.causes for w in weighs)), minded)

    def told_apart(self, name: str) -> tuple[tuple[frozenset[str], str], ...]:
        """Sets of words of a name that some rule tells from the rest, and the cause if it is evidence."""
        if name not in self._sets:
            found = {(p.values, "") for rule in self._reasoner.rulebook.findings
                     for p in (*rule.all, *rule.none) if p.name == name and p.values is not None}
            for weighs in self.of(name).weighs:
                found |= {(p.values, weighing.meaning.cause)
                          for weighing in weighs.stated for rule in weighs.shelf.rules(weighing)
                          for p in (*rule.all, *rule.none)
                          if p.name == name and p.values is not None}
            self._sets[name] = tuple(found)
        return self._sets[name]

    def _weighing(self, changed: Collection[str]) -> Iterable[Weighs]:
        found: dict[int, set[StatedEvidence]] = defaultdict(set)
        for name in changed:
            for at, weighing in self._weighed.get(name, ()):
                found[at].add(weighing)
        for at in sorted(found):
            shelf = self._shelves[at]
            yield Weighs(shelf, tuple(found[at]), frozenset(n for w in found[at] for n in shelf.about[w]),
                         frozenset(w.meaning.cause for w in found[at]))


def _measures(reasoner: Reasoner) -> dict[str, set[str]]:
    """Name to the measures worked out from it at once."""
    users: dict[str, set[str]] = defaultdict(set)
    for measure, stated in reasoner.book.measures.items():
        for source in stated.given.values():
            users[source].add(measure)
    return users


def _weighed(shelves: Iterable[Shelf]) -> dict[str, list[tuple[int, StatedEvidence]]]:
    """Name to the evidence that looks at it, with the number of its shelf."""
    found: dict[str, list[tuple[int, StatedEvidence]]] = defaultdict(list)
    for at, shelf in enumerate(shelves):
        for weighing, names in shelf.about.items():
            for name in names:
                found[name].append((at, weighing))
    return found


def _reached(start: Iterable[str], edges: Mapping[str, Collection[str]]) -> frozenset[str]:
    """The names reached from some names, these included."""
    seen = set(start)
    waiting = list(seen)
    while waiting:
        for name in edges.get(waiting.pop(), ()):
            if name not in seen:
                seen.add(name)
                waiting.append(name)
    return frozenset(seen)
