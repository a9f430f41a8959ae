"""Which cases a change to the book can touch, told without running them.

A rule or caution comes to bear only where its condition can hold. What a case answers is
put to the condition itself; a finding in it is followed down to the observations and
complaints of which a case must have at least one. A target comes to bear only on a number
that lies on its other side than before (see `crossing`). A case in which nothing of this
holds comes out as before, to the last digit; one that does not know a cause stated anew by
its troubles or its answers moves by less than anyone would notice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Set

from diagnose.book.book import Book
from diagnose.book.conditions import Alternative, Every, Known, Literal, Node, Not, Some, Test
from diagnose.book.model import KINDS
from diagnose.case.case import Case
from diagnose.house.crossing import Crossing
from diagnose.reason.require import holds
from diagnose.reason.system import System

FREE = "*"
"""Stands for a condition that may hold where nothing is known: every case is touched."""
FOLLOWED = ("rules", "cautions", "targets", "causes", "remedies", "practice", "observations")
"""Kinds whose changes are followed; any other change may touch every case. So may an observation that
is asked otherwise; of a new one no case knows the answer."""
NameSet = frozenset[str]


def complaint(symptom: str) -> str:
    """How a complaint of a symptom is written among the names of a case."""
    return f"complaint {symptom}"


class Touch:
    """Tells of each case whether a change can touch its causes, cautions or advice."""

    def __init__(self, before: System, after: System) -> None:
        changed = {kind: _changed(before.book, after.book, kind) for kind in KINDS}
        self.everywhere = any(changed[kind] for kind in KINDS if kind not in FOLLOWED) or not (
            changed["observations"].isdisjoint(before.book.observations))
        """Is the change of a kind that is not followed?"""
        asked = after.book.observations.keys() - before.book.observations.keys()
        self._spoken_of = (causes if asked else _restated)(before.book, after.book)
        """With a new question, the causes it tells of too: it may be the next to be asked."""
        self._books = before.book, after.book
        self._sides = () if self.everywhere else (_Side(before, changed), _Side(after, changed))
        self._crossing = Crossing(before, after, changed["targets"])

    def touches(self, case: Case) -> bool:
        """Can the case come out otherwise?"""
        return (self.everywhere or any(side.touches(case) for side in self._sides)
                or self._crossing.touches(case) or self._near(case))

    def _near(self, case: Case) -> bool:
        """Does a cause or remedy that is stated otherwise belong to what was complained of?"""
        said = {*case.complaints, *(symptom for symptom, _ in case.words)}
        return any(near(book, said, self._spoken_of) for book in self._books)


def _changed(before: Book, after: Book, kind: str) -> NameSet:
    old, new = getattr(before, kind), getattr(after, kind)
    return frozenset(n for n in {**old, **new} if old.get(n) != new.get(n))


class _Side:
    """The changed conditions of one of the two books."""

    def __init__(self, system: System, changed: Mapping[str, NameSet]) -> None:
        book = system.book
        self._system, self._roots = system, _Roots(book)
        paths: list[tuple[str, ...]] = [
            (kind, name, "when") for kind in ("rules", "cautions") for name in changed[kind]]
        paths += [path for path in book.conditions
                  if path[0] == "causes" and path[1] in changed["causes"]]
        self._conditions = [book.holds(path) for path in paths if path in book.conditions]

    def touches(self, case: Case) -> bool:
        """May one of the conditions hold?"""
        if not self._conditions:
            return False
        said = case.values.keys() | set(map(complaint, case.complaints))
        known = self._known(case)
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
        self.by_name: dict[str, NameSet] = {n: frozenset({n}) for n in book.observations}
        growing = True
        while growing:
            growing = False
            for name, supports in self._supports():
                old = self.by_name.get(name, frozenset())
                new = old.union(*supports)
                growing |= new != old
                self.by_name[name] = new

    def of(self, node: Node) -> NameSet:
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

    def _supports(self) -> Iterator[tuple[str, list[NameSet]]]:
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


def causes(before: Book, after: Book) -> NameSet:
    """The causes that a change speaks of: weighed, mended or stated by what is changed."""
    rules = _changed(before, after, "rules")
    return _restated(before, after).union(
        c for book in (before, after) for r in rules & book.rules.keys() for c in book.rules[r].weigh)


def _restated(before: Book, after: Book) -> NameSet:
    """The causes that are stated otherwise, or mended by a remedy that is."""
    remedies = _changed(before, after, "remedies")
    return _changed(before, after, "causes").union(
        n for book in (before, after) for n, c in book.causes.items()
        if any(r.remedy in remedies for r in c.remedies))


def near(book: Book, symptoms: Iterable[str], spoken_of: NameSet) -> int:
    """How many of these causes show as one of the symptoms."""
    said = set(symptoms)
    return sum(not said.isdisjoint(book.causes[c].shows) for c in spoken_of & book.causes.keys())
