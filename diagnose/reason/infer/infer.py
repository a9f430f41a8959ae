"""From answers to findings: one run of the engine over the book, as a plain value."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Set
from datetime import date
from functools import cached_property
from typing import Any

import msgspec

from diagnose.book.book import Book
from diagnose.engine.chain import Engine, Firing
from diagnose.engine.rule import Fact
from diagnose.reason.infer.experience import Experience
from diagnose.reason.infer.measures import NO_HISTORY, History, Measured, Measurer
from diagnose.reason.infer.prior import Heard, Priors, Words, heard
from diagnose.reason.infer.rules import CAUTION, COMPLAINT, Meaning, RuleBook, Shelf
from diagnose.reason.infer.signs import SignQuestions

MOST_KEPT = 16
"""Runs kept of the whole book, and for each shelf of evidence."""
Values = Mapping[str, Any]
"""Answers: words for choices, numbers in the observation's unit, dates."""
Ran = tuple[frozenset[Fact], tuple[Firing, ...]]
"""All facts at the end, and the rules that fired."""


class Fired(msgspec.Struct, frozen=True):
    """A piece of evidence that came to bear, and the facts it rests on."""

    rule: str
    meaning: Meaning
    on: tuple[Fact, ...]


class Inference(msgspec.Struct, frozen=True, dict=True):
    """Everything that follows from the answers."""

    book: Book
    complaints: tuple[str, ...]
    facts: frozenset[Fact]
    firings: tuple[Firing, ...]
    meanings: Mapping[str, Meaning]
    measured: Measured
    priors: Priors
    doubtful: frozenset[str] = frozenset()
    """Complaints read from the words that nobody confirmed."""
    words: Words = ()
    """What the complaint's words may mean, with chances."""
    values: Mapping[str, Any] = msgspec.field(default_factory=dict)
    """The answers themselves."""

    @cached_property
    def heard(self) -> Heard:
        """The symptoms that a cause has to explain."""
        return heard(self.book, self.complaints, self.doubtful, self.facts, self.words)

    @cached_property
    def by_name(self) -> dict[str, set[str]]:
        """Every name known to its values."""
        found: dict[str, set[str]] = defaultdict(set)
        for name, value in self.facts:
            found[name].add(value)
        return dict(found)

    @cached_property
    def findings(self) -> dict[str, tuple[str, ...]]:
        """Finding to its values (more than one: they contradict)."""
        found: dict[str, list[str]] = defaultdict(list)
        for name, value in self.facts:
            if name in self.book.findings:
                found[name].append(value)
        return {name: tuple(sorted(found[name])) for name in sorted(found)}

    @cached_property
    def evidence(self) -> dict[str, list[Fired]]:
        """Cause to the evidence that fired, each place of the book once."""
        fired: dict[str, dict[tuple[str, ...], Fired]] = defaultdict(dict)
        for firing in self.firings:
            meaning = self.meanings[firing.rule]
            if meaning.kind == "evidence":
                fired[meaning.cause].setdefault(
                    meaning.path, Fired(firing.rule, meaning, firing.on))
        return {cause: list(places.values()) for cause, places in fired.items()}

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """Cautions that the answers call for by themselves: the book's, the gravest first, then houses'."""
        raised = {value for name, value in self.facts if name == CAUTION}
        return tuple(sorted(raised, key=self.book.caution_rank))

    @cached_property
    def grounds(self) -> dict[str, set[str]]:
        """Each finding to the names of all that it was concluded from here."""
        found: dict[str, set[str]] = defaultdict(set)
        for firing in self.firings:
            meaning = self.meanings[firing.rule]
            for name in meaning.concludes(self.book):
                found[name].update(fact[0] for fact in firing.on)
        return dict(found)

    def roots(self, name: str) -> frozenset[str]:
        """The observations that what is known of a name rests on."""
        if name not in self._rooted:
            self._rooted[name] = frozenset(self._roots(name))
        return self._rooted[name]

    @cached_property
    def _rooted(self) -> dict[str, frozenset[str]]:
        return {}

    def _roots(self, name: str) -> Iterator[str]:
        seen, waiting = {name}, [name]
        while waiting:
            at = waiting.pop()
            if at in self.book.observations:
                yield at
            measure = self.book.measures.get(at)
            below = set(measure.given.values()) if measure else self.grounds.get(at, set())
            waiting += below - seen
            seen |= below

    def holds(self, symptom: str) -> bool:
        """Is the symptom's finding among what was concluded?"""
        return all(fact in self.facts for fact in self.book.symptoms[symptom].finding.items())


class Reasoner:
    """A book compiled once; each question is a fresh run from the answers."""

    def __init__(self, book: Book, history: History = NO_HISTORY, priors: Priors | None = None) -> None:
        self.book = book
        self.priors = priors or Priors(book, Experience(book))
        self.experience = self.priors.experience
        self.measurer = Measurer(book, history)
        self.signs = SignQuestions(book)
        self.rulebook = RuleBook(book)
        self.findings = Engine(self.rulebook.findings)
        self.weighers = tuple(Weigher(shelf, self.rulebook.meanings)
                              for shelf in self.rulebook.shelves)
        self._lately: dict[frozenset[Fact], Ran] = {}

    def infer(self, values: Values, complaints: Iterable[str] = (),
              today: date | None = None,
              doubtful: frozenset[str] = frozenset(), words: Words = ()) -> Inference:
        """Everything that follows from answers and complaints, the doubtful ones among them."""
        complaints = tuple(complaints)
        measured = self.measurer.measure(values, today)
        facts, firings = self.run(self.facts(values, measured, complaints))
        return Inference(self.book, complaints, facts, firings, self.rulebook.meanings, measured,
                         self.priors, doubtful, words, dict(values))

    def run(self, facts: Iterable[Fact]) -> Ran:
        """Facts to findings, then to the evidence that they bring to bear.

        The next question begins from what the causes were ranked by, so the last runs are kept.
        """
        given = frozenset(facts)
        if given not in self._lately:
            _make_room(self._lately)
            self._lately[given] = self._run(given)
        return self._lately[given]

    def _run(self, facts: frozenset[Fact]) -> Ran:
        found = self.findings.run(facts)
        names = {name for name, _ in found.facts}
        fired = list(found.fired)
        for weigher in self.weighers:
            if weigher.wanted(names):
                fired += weigher.run(found.facts)
        return found.facts, tuple(fired)

    def facts(self, values: Values, measured: Measured,
              complaints: Iterable[str] = ()) -> set[Fact]:
        """Answers and measures as the engine takes them: words, numbers as bands."""
        facts: set[Fact] = {(COMPLAINT, symptom) for symptom in complaints}
        for name, value in {**values, **measured.numbers()}.items():
            facts |= self.given(name, value, complaints)
        return facts

    def given(self, name: str, value: Any, complaints: Iterable[str] = ()) -> set[Fact]:
        """An answer as the engine takes it, with what was told before; one fact for each sign."""
        if name in self.book.observations and isinstance(value, str):
            return {(name, part) for part in self.signs.given(name, value, complaints)}
        return {self.fact(name, value)}

    def fact(self, name: str, value: Any) -> Fact:
        """One answer or measure as the engine takes it."""
        if name in self.book.bands:
            return name, self.book.bands[name].of(value)
        return name, value if isinstance(value, str) else "given"


class Weigher:
    """The evidence of one shelf, run by an engine of its own that is made when first wanted."""

    def __init__(self, shelf: Shelf, meanings: dict[str, Meaning]) -> None:
        self.shelf, self._meanings = shelf, meanings
        self._lately: dict[frozenset[Fact], tuple[Firing, ...]] = {}

    @cached_property
    def _engine(self) -> Engine:
        self._meanings.update(
            (rule.name, weighing.meaning) for rule, weighing in self.shelf.compiled)
        return Engine(rule for rule, _ in self.shelf.compiled)

    def wanted(self, names: Set[str]) -> bool:
        """May any of it fire where only these names have a value?"""
        return self.shelf.wanted(names)

    def run(self, facts: Iterable[Fact]) -> tuple[Firing, ...]:
        """The evidence that fires on these facts.

        From one state of a case to the next most shelves see the same facts, so what they came
        to lately is kept.
        """
        seen = frozenset([f for f in facts if f[0] in self.shelf.names])
        if seen not in self._lately:
            _make_room(self._lately)
            self._lately[seen] = self._engine.run(seen).fired if self.wanted({n for n, _ in seen}) else ()
        return self._lately[seen]


def _make_room(kept: dict[frozenset[Fact], Any]) -> None:
    """Drop the oldest where there are as many as are kept."""
    if len(kept) >= MOST_KEPT:
        kept.pop(next(iter(kept)))
