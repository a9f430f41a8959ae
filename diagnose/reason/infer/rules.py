"""A book's conditions as rules for the engine, and what each rule stands for."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Set
from functools import cached_property

import msgspec

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import Alternative, Literal
from diagnose.book.yaml.source import KeyPath
from diagnose.engine.fold import RuleClause, fold
from diagnose.engine.rule import EngineRule, Fact, NameTest
from diagnose.reason import weights

COMPLAINT = "complaint"
CAUTION = "caution"
SHELF_CONDITIONS = 90
"""Evidence conditions on one shelf of those that hang on no single name: enough to be worth one."""


class Meaning(msgspec.Struct, frozen=True):
    """What a rule says: the place of its condition, and what its firing brings."""

    path: KeyPath
    kind: str
    """finding, symptom, evidence or caution."""
    cause: str = ""
    grade: str = ""
    group: str = ""

    def concludes(self, book: Book) -> tuple[str, ...]:
        """The findings that its rule is about; evidence and cautions are about none."""
        if self.kind == "symptom":
            return tuple(book.symptoms[self.path[1]].finding)
        if self.kind == "finding":
            return (self.path[1] if self.path[0] == "findings" else self.path[-1],)
        return ()

    @property
    def decibans(self) -> float:
        """What the evidence weighs."""
        return weights.decibans(self.grade)

    @property
    def counts_as(self) -> str:
        """Of the evidence alike in this only the weightiest counts."""
        return self.group or "/".join(self.path)


class StatedEvidence(msgspec.Struct, frozen=True, eq=False):
    """A piece of evidence as the book states it: the condition, and the side of it that counts."""

    meaning: Meaning
    condition: KeyPath
    when_fails: bool
    """It counts where the condition is known to fail, else where it holds."""

    @property
    def name(self) -> str:
        """Begins the names of its rules."""
        return "/".join(self.meaning.path)


class Shelf:
    """Evidence that hangs on one name, compiled only once something is known of it.

    Nothing follows from evidence but a weight, so its rules stand apart from the findings
    and from each other: a case knows a few dozen names, and the rest of the book's evidence
    would cost it memory for nothing.
    """

    def __init__(self, book: Book, name: str, stated: Iterable[StatedEvidence]) -> None:
        self._book = book
        self.name = name
        """What must be known for any of it to count; empty where there is no such name."""
        self.stated = tuple(stated)
        self._rules: dict[StatedEvidence, tuple[EngineRule, ...]] = {}
        self._folded: dict[StatedEvidence, tuple[RuleClause, ...]] = {}
        self.about = {w: conditions.names(book.conditions[w.condition]) for w in self.stated}
        """The names that each piece of evidence looks at."""
        self.names = frozenset(n for names in self.about.values() for n in names)

    @cached_property
    def compiled(self) -> tuple[tuple[EngineRule, StatedEvidence], ...]:
        """Its rules, one for each alternative, with the evidence each stands for."""
        return tuple((rule, weighing) for weighing in self.stated for rule in self.rules(weighing))

    def rules(self, weighing: StatedEvidence) -> tuple[EngineRule, ...]:
        """The rules of one piece of evidence, one for each alternative."""
        if weighing not in self._rules:
            self._rules[weighing] = tuple(_rules(
                weighing.name, _alternatives(self._book, weighing), (weighing.name, "holds")))
        return self._rules[weighing]

    def holds(self, weighing: StatedEvidence, known: Mapping[str, Collection[str]]) -> bool:
        """Does a piece of evidence count where these are the values of all names, findings too?

        No rule looks at what evidence concludes, so to try it needs no run of the engine.
        """
        if weighing not in self._folded:
            self._folded[weighing] = tuple(map(fold, self.rules(weighing)))
        return any(clause.met(known) for clause in self._folded[weighing])

    def wanted(self, known: Set[str]) -> bool:
        """May any of it count where only these names have a value?"""
        if self.name:
            return self.name in known
        return any(_possible(self._book.conditions[w.condition], known, not w.when_fails)
                   for w in self.stated)


class RuleBook:
    """The rules of a book and their meanings, by rule name."""

    def __init__(self, book: Book) -> None:
        self.meanings: dict[str, Meaning] = {}
        """Meaning of each rule about findings, symptoms and cautions."""
        findings: list[EngineRule] = []
        for meaning, alternatives, then in _concluding(book):
            for rule in _rules("/".join(meaning.path), alternatives, then):
                findings.append(rule)
                self.meanings[rule.name] = meaning
        self.findings = tuple(findings)
        self.shelves = tuple(Shelf(book, name, part) for name, part in _parts(book))


def _parts(book: Book) -> Iterator[tuple[str, list[StatedEvidence]]]:
    """The evidence of the book, all that hangs on one name together; else a shelf's worth at a time."""
    needed = {w: _needed(book.conditions[w.condition], not w.when_fails) for w in _weighings(book)}
    used = Counter(name for names in needed.values() for name in names)
    by_name: dict[str, list[StatedEvidence]] = defaultdict(list)
    for weighing, names in needed.items():
        by_name[min(names, key=lambda name: (used[name], name), default="")].append(weighing)
    rest = by_name.pop("", [])
    yield from by_name.items()
    for at in range(0, len(rest), SHELF_CONDITIONS):
        yield "", rest[at:at + SHELF_CONDITIONS]


def _weighings(book: Book) -> Iterator[StatedEvidence]:
    for name, cause in book.causes.items():
        for i, evidence in enumerate(cause.evidence):
            path = ("causes", name, "evidence", str(i), "when")
            group = evidence.group
            yield StatedEvidence(Meaning(path, "evidence", name, evidence.weight, group), path, False)
            if evidence.otherwise:
                here = (*path[:-1], "otherwise")
                yield StatedEvidence(Meaning(here, "evidence", name, evidence.otherwise, group),
                                     path, True)
        if cause.requires is not None:
            needs = ("causes", name, "requires")
            yield StatedEvidence(Meaning(needs, "evidence", name, "decisive against", "requires"),
                                 needs, True)
    for name, rule in book.rules.items():
        by = ("rules", name, "when")
        for weighed, grade in rule.weigh.items():
            yield StatedEvidence(Meaning((*by, "weigh", weighed), "evidence", weighed, grade), by, False)


def _alternatives(book: Book, weighing: StatedEvidence) -> tuple[Alternative, ...]:
    side = book.fails if weighing.when_fails else book.holds
    return side(weighing.condition)


_Stated = Iterator[tuple[Meaning, Iterable[Alternative], Fact]]


def _concluding(book: Book) -> _Stated:
    """What concludes findings and cautions."""
    yield from _findings(book)
    for name, caution in book.cautions.items():
        if caution.when is not None:
            path = ("cautions", name, "when")
            yield Meaning(path, "caution"), book.holds(path), (CAUTION, name)
    for name, rule in book.rules.items():
        path = ("rules", name, "when")
        for finding, value in rule.then.items():
            yield Meaning((*path, "then", finding), "finding"), book.holds(path), (finding, value)
        if rule.caution:
            yield Meaning((*path, "caution"), "caution"), book.holds(path), (CAUTION, rule.caution)


def _findings(book: Book) -> _Stated:
    for name, finding in book.findings.items():
        for value, stated in finding.values.items():
            if stated.when is not None:
                path = ("findings", name, "values", value, "when")
                yield Meaning(path, "finding"), book.holds(path), (name, value)
    for name, symptom in book.symptoms.items():
        (claimed,) = symptom.finding.items()
        said = _complained(name, symptom.unless_known)
        yield Meaning(("symptoms", name), "symptom"), (said,), claimed


def _complained(name: str, unless_known: Iterable[str]) -> Alternative:
    """The complaint counts only while nothing that overrules the words is known."""
    said = Literal(COMPLAINT, frozenset({name}), True)
    return frozenset({said, *(Literal(other, None, False) for other in unless_known)})


def _possible(node: conditions.Node, known: Set[str], holds: bool) -> bool:
    """May a condition hold (or else: be known to fail) where only these names have a value?"""
    match node:
        case conditions.Test(name):
            return name in known
        case conditions.Known(name):
            return name in known if holds else True
        case conditions.Not(part):
            return True if holds else _possible(part, known, True)
        case conditions.Every(parts) | conditions.Some(parts):
            every = isinstance(node, conditions.Every) == holds
            return (all if every else any)(_possible(part, known, holds) for part in parts)
    raise TypeError(node)


def _needed(node: conditions.Node, holds: bool) -> frozenset[str]:
    """The names that must be known for a condition to hold (or else: to be known to fail)."""
    match node:
        case conditions.Test(name):
            return frozenset([name])
        case conditions.Known(name):
            return frozenset([name] if holds else [])
        case conditions.Not(part):
            return frozenset() if holds else _needed(part, True)
        case conditions.Every(parts) | conditions.Some(parts):
            each = [_needed(part, holds) for part in parts]
            every = isinstance(node, conditions.Every) == holds
            return frozenset().union(*each) if every else each[0].intersection(*each[1:])
    raise TypeError(node)


def _rules(name: str, alternatives: Iterable[Alternative], then: Fact) -> Iterator[EngineRule]:
    for i, alternative in enumerate(alternatives):
        literals = sorted(alternative, key=lambda literal: literal.name)
        yes = tuple(NameTest(n, values) for n, values, wanted in literals if wanted)
        no = tuple(NameTest(n, values) for n, values, wanted in literals if not wanted)
        yield EngineRule(f"{name}#{i}", yes, no, then)
