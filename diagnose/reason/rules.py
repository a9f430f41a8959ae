"""A book's conditions as rules for the engine, and what each rule stands for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from diagnose.engine.rule import Fact, Pattern, Rule
from diagnose.kb.book import Book
from diagnose.kb.condition import Alternative, Literal

COMPLAINT = "complaint"
CAUTION = "caution"
Path_ = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a rule says: the place of its condition, and what its firing brings."""

    path: Path_
    kind: str
    """finding, symptom, evidence or caution."""
    cause: str = ""
    grade: str = ""
    group: str = ""


@dataclass(frozen=True)
class RuleBook:
    """The rules of a book and their meanings, by rule name.

    Nothing follows from evidence but a weight, so its rules stand apart by chapter: a
    question about milk need not try what weighs on grinders.
    """

    findings: tuple[Rule, ...]
    evidence: dict[str, tuple[Rule, ...]]
    """Chapter of the cause to the rules that weigh on its causes."""
    meanings: dict[str, Meaning]
    chapter: dict[str, str]
    """Cause to its chapter."""


def compile_book(book: Book) -> RuleBook:
    """Every condition of the book as engine rules: one rule for each alternative."""
    findings: list[Rule] = []
    evidence: dict[str, list[Rule]] = defaultdict(list)
    meanings: dict[str, Meaning] = {}
    chapter = {c: book.layers.origin["causes", c].chapter.chapter for c in book.causes}
    for meaning, alternatives, then in _all(book):
        base = "/".join(meaning.path)
        shelf = evidence[chapter[meaning.cause]] if meaning.cause else findings
        for i, alternative in enumerate(alternatives):
            name = f"{base}#{i}"
            shelf.append(_rule(name, alternative, then))
            meanings[name] = meaning
    return RuleBook(tuple(findings), {k: tuple(v) for k, v in evidence.items()}, meanings,
                    chapter)


_Stated = Iterator[tuple[Meaning, Iterable[Alternative], Fact]]


def _all(book: Book) -> _Stated:
    yield from _findings(book)
    yield from _evidence(book)
    for name, caution in book.cautions.items():
        if caution.when is not None:
            path = ("cautions", name, "when")
            yield Meaning(path, "caution"), book.holds(path), (CAUTION, name)
    for name, rule in book.rules.items():
        path = ("rules", name, "when")
        held = book.holds(path)
        for finding, value in rule.then.items():
            yield Meaning((*path, "then", finding), "finding"), held, (finding, value)
        for cause, grade in rule.weigh.items():
            here = (*path, "weigh", cause)
            yield Meaning(here, "evidence", cause, grade), held, ("/".join(here), "holds")
        if rule.caution:
            yield Meaning((*path, "caution"), "caution"), held, (CAUTION, rule.caution)


def _findings(book: Book) -> _Stated:
    for name, finding in book.findings.items():
        for value, stated in finding.values.items():
            if stated.when is not None:
                path = ("findings", name, "values", value, "when")
                yield Meaning(path, "finding"), book.holds(path), (name, value)
    for name, symptom in book.symptoms.items():
        ((finding, value),) = symptom.finding.items()
        said = _complained(name, symptom.unless_known)
        yield Meaning(("symptoms", name), "symptom"), (said,), (finding, value)


def _complained(name: str, unless_known: Iterable[str]) -> Alternative:
    """The complaint counts only while nothing that overrules the words is known."""
    said = Literal(COMPLAINT, frozenset({name}), True)
    return frozenset({said, *(Literal(other, None, False) for other in unless_known)})


def _evidence(book: Book) -> _Stated:
    for name, cause in book.causes.items():
        for i, evidence in enumerate(cause.evidence):
            path = ("causes", name, "evidence", str(i), "when")
            group = evidence.group
            yield (Meaning(path, "evidence", name, evidence.weight, group),
                   book.holds(path), ("/".join(path), "holds"))
            if evidence.otherwise:
                here = (*path[:-1], "otherwise")
                yield (Meaning(here, "evidence", name, evidence.otherwise, group),
                       book.fails(path), ("/".join(here), "holds"))
        if cause.requires is not None:
            path = ("causes", name, "requires")
            yield (Meaning(path, "evidence", name, "decisive against", "requires"),
                   book.fails(path), ("/".join(path), "holds"))


def _rule(name: str, alternative: Alternative, then: Fact) -> Rule:
    literals = sorted(alternative, key=lambda literal: literal.name)
    yes = tuple(Pattern(n, values) for n, values, wanted in literals if wanted)
    no = tuple(Pattern(n, values) for n, values, wanted in literals if not wanted)
    return Rule(name, yes, no, then)
