"""Which cases a change to the book can touch, told without running them.

A rule or caution comes to bear only where its condition can hold. What a case answers is
put to the condition itself; a finding in it is followed down to the observations and
complaints of which a case must have at least one. A case in which no changed condition can
hold comes out as before, to the last digit.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Set

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import Alternative, Every, Known, Literal, Node, Not, Some, Test
from diagnose.book.model import KINDS
from diagnose.case.case import Case
from diagnose.reason.require import holds
from diagnose.reason.system import System

FREE = "*"
"""Stands for a condition that may hold where nothing is known: every case is touched."""
WITHOUT_WEIGHT = ("remedies", "practice")
"""Kinds that move neither the ranking nor the cautions of a case."""
FOLLOWED = ("rules", "cautions", "targets", *WITHOUT_WEIGHT)
"""Kinds whose changes are followed; any other change may touch every case."""
Names = frozenset[str]


def complaint(symptom: str) -> str:
    """How a complaint of a symptom is written among the names of a case."""
    return f"complaint {symptom}"


class Touch:
    """Tells of each case whether a change can touch its causes or cautions."""

    def __init__(self, before: System, after: System) -> None:
        changed = {kind: _changed(before.book, after.book, kind) for kind in KINDS}
        self.everywhere = any(changed[kind] for kind in KINDS if kind not in FOLLOWED)
        """Is the change of a kind that is not followed?"""
        self._sides = () if self.everywhere else (_Side(before, changed), _Side(after, changed))

    def touches(self, case: Case) -> bool:
        """Can the case come out otherwise?"""
        return self.everywhere or any(side.touches(case) for side in self._sides)


def _changed(before: Book, after: Book, kind: str) -> Names:
    old, new = getattr(before, kind), getattr(after, kind)
    return frozenset(n for n in {**old, **new} if old.get(n) != new.get(n))


class _Side:
    """The changed conditions of one of the two books."""

    def __init__(self, system: System, changed: Mapping[str, Names]) -> None:
        book = system.book
        self._system, self._roots = system, _Roots(book)
        paths = [(kind, name, "when") for kind in ("rules", "cautions") for name in changed[kind]]
        self._conditions = [book.holds(path) for path in paths if path in book.conditions]
        self._compared = frozenset().union(
            *(self._roots.compared(f"target.{t}") for t in changed["targets"]))

    def touches(self, case: Case) -> bool:
        """May one of the conditions hold, or is something known that a changed target bears on?"""
        if not self._conditions and not self._compared:
            return False
        said = case.values.keys() | set(map(complaint, case.complaints))
        if FREE in self._compared or not said.isdisjoint(self._compared):
            return True
        known = self._known(case) if self._conditions else {}
        return any(self._may_hold(one, known, said) for whole in self._conditions for one in whole)

    def _known(self, case: Case) -> Mapping[str, Set[str]]:
        """What the case answers and measures, by name, before anything is concluded."""
        reasoner, found = self._system.reasoner, defaultdict(set)
        measured = reasoner.measurer.measure(case.values, case.today)
        for name, value in reasoner.facts(case.values, measured, case.complaints):
            found[name].add(value)
        return found

    def _may_hold(self, alternative: Alternative, known: Mapping[str, Set[str]], said: Set[str]) -> bool:
        return all(self._may(literal, known, said) for literal in alternative)

    def _may(self, literal: Literal, known: Mapping[str, Set[str]], said: Set[str]) -> bool:
        name, _, wanted = literal
        if name in self._system.book.findings:
            roots = self._roots.by_name[name]
            return not wanted or FREE in roots or not said.isdisjoint(roots)
        return holds(literal, known)


class _Roots:
    """For each name of a book, the observations and complaints that it can rest on."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self.by_name: dict[str, Names] = {n: frozenset({n}) for n in book.observations}
        growing = True
        while growing:
            growing = False
            for name, supports in self._supports():
                old = self.by_name.get(name, frozenset())
                new = old.union(*supports)
                growing |= new != old
                self.by_name[name] = new

    def of(self, node: Node) -> Names:
        """What a condition needs: one of these at least."""
        match node:
            case Test(name) | Known(name):
                return self.by_name.get(name, frozenset())
            case Not():
                return frozenset({FREE})
            case Every(parts):
                return min(map(self.of, parts), key=lambda names: (FREE in names, len(names)))
            case Some(parts):
                return frozenset().union(*map(self.of, parts))
        raise TypeError(node)

    def _supports(self) -> Iterator[tuple[str, list[Names]]]:
        """Each name that is worked out, with what each way to it rests on."""
        book = self._book
        for name, measure in book.measures.items():
            needs = [n for n in measure.given.values() if not n.startswith("target.")]
            yield name, [self.by_name.get(n, frozenset()) for n in needs] or [frozenset({FREE})]
        for name, finding in book.findings.items():
            yield name, [self.of(book.conditions["findings", name, "values", value, "when"])
                         for value, stated in finding.values.items() if stated.when is not None]
        for symptom, stated in book.symptoms.items():
            for name in stated.finding:
                yield name, [frozenset({complaint(symptom)})]
        for rule, said in book.rules.items():
            for name in said.then:
                yield name, [self.of(book.conditions["rules", rule, "when"])]

    def compared(self, target: str) -> Names:
        """The roots of all that is compared with a target, or worked out from it."""
        names = {test.name for node in self._book.conditions.values() for test in conditions.tests(node)
                 if isinstance(test, Test) and any(_is(text, target) for _, text in test.bounds)}
        names |= {name for name, measure in self._book.measures.items()
                  if any(_is(source, target) for source in measure.given.values())}
        return frozenset().union(*(self.by_name.get(n, frozenset()) for n in names))


def _is(text: str, target: str) -> bool:
    return text == target or text.startswith(f"{target}.")


def causes(before: Book, after: Book) -> Names:
    """The causes that a change speaks of: weighed, mended or stated by what is changed."""
    found: set[str] = set(_changed(before, after, "causes"))
    rules, remedies = (_changed(before, after, kind) for kind in ("rules", "remedies"))
    for book in (before, after):
        found |= {c for r in rules & book.rules.keys() for c in book.rules[r].weigh}
        found |= {n for n, c in book.causes.items() if any(r.remedy in remedies for r in c.remedies)}
    return frozenset(found)


def near(book: Book, symptoms: Iterable[str], spoken_of: Names) -> int:
    """How many of these causes show as one of the symptoms."""
    said = set(symptoms)
    return sum(not said.isdisjoint(book.causes[c].shows) for c in spoken_of & book.causes.keys())
