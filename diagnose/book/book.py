"""The book: shipped chapters with the house's laid over them, every name resolved."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import Any, TypeVar

from diagnose.book import conditions, model
from diagnose.book.bands import Bands
from diagnose.book.model import KINDS, SIGNALS
from diagnose.book.names import Names
from diagnose.book.overlay.merge import Layers
from diagnose.book.problems import Place, Problem
from diagnose.book.yaml.loader import LoadedChapter
from diagnose.book.yaml.source import KeyPath

T = TypeVar("T")


class Book:
    """One knowledge base, ready to reason with once nothing is wrong with it.

    `assemble.build_book` makes a book and sees that it is sound.
    """

    def __init__(self, chapters: Iterable[LoadedChapter]) -> None:
        self.chapters = tuple(chapters)
        self.layers = Layers(self.chapters)
        for kind in KINDS:
            setattr(self, kind, self.layers.entries[kind])
        self.conditions: dict[KeyPath, conditions.Node] = {}
        self.problems = [*self.layers.problems]
        """What is wrong with the layers and the conditions."""
        thresholds: dict[str, set[float]] = {name: set() for name in self.names.units}
        for path, data in self.stated_conditions():
            try:
                node = conditions.read(data)
                for how in self._ways(path):
                    conditions.spread(node, how)
                for name, value in self.names.check(node):
                    thresholds[name].add(value)
                self.conditions[path] = node
            except conditions.ConditionError as error:
                self.problems.append(Problem(self.place(*path), f"{'.'.join(path)}: {error}"))
        self.bands = {name: Bands(points) for name, points in thresholds.items()}
        self._made: dict[Callable[[Book], Any], Any] = {}

    targets: dict[str, model.Target]
    observations: dict[str, model.Observation]
    measures: dict[str, model.Measure]
    findings: dict[str, model.Finding]
    symptoms: dict[str, model.Symptom]
    causes: dict[str, model.Cause]
    remedies: dict[str, model.Remedy]
    cautions: dict[str, model.Caution]
    hazards: dict[str, model.Hazard]
    rules: dict[str, model.Rule]
    practice: dict[str, model.Practice]

    @cached_property
    def names(self) -> Names:
        """The name space of observations, measures and findings."""
        from diagnose.compute.registry import CATALOGUE

        units = {n: o.unit for n, o in self.observations.items() if o.kind == "quantity"}
        units |= {n: CATALOGUE[m.compute].unit for n, m in self.measures.items()
                  if m.compute in CATALOGUE}
        return Names(self.observations, self.measures, self.findings, self.targets, units)

    def once(self, make: Callable[[Book], T]) -> T:
        """What a function makes of this book, kept with the book from the first call."""
        if make not in self._made:
            self._made[make] = make(self)
        made: T = self._made[make]
        return made

    @property
    def letter(self) -> model.LetterFrame:
        """How replies to letters begin and end: the house's way, else the plain one."""
        found = self.layers.letter
        return found.chapter.letter or model.LetterFrame() if found else model.LetterFrame()

    def place(self, kind: str, name: str, *path: str) -> Place:
        """File, line and column of an entry or a part of it."""
        return self.layers.origin[kind, name].place(kind, name, *path)

    def house(self, kind: str, name: str) -> str:
        """The house layer an entry comes from; empty for the shipped book."""
        origin = self.layers.origin.get((kind, name))
        return origin.layer if origin else ""

    def added_by(self, kind: str, name: str) -> str:
        """The house layer that added an entry; empty for one of the shipped book, replaced or not."""
        return "" if (kind, name) in self.layers.shipped else self.house(kind, name)

    def caution_rank(self, name: str) -> tuple[bool, int, str]:
        """The order of cautions: the shipped ones first, by their shipped signal words, then houses' own."""
        stated = self.layers.replaced.get(("cautions", name), self.cautions[name])
        return bool(self.added_by("cautions", name)), SIGNALS.index(stated.signal), name

    def stated_conditions(self) -> Iterator[tuple[KeyPath, Any]]:
        """Every condition of the book, by the path of the place it stands in."""
        for name, finding in self.findings.items():
            for value, stated in finding.values.items():
                if stated.when is not None:
                    yield ("findings", name, "values", value, "when"), stated.when
        for name, cause in self.causes.items():
            if cause.requires is not None:
                yield ("causes", name, "requires"), cause.requires
            for i, evidence in enumerate(cause.evidence):
                yield ("causes", name, "evidence", str(i), "when"), evidence.when
        for name, remedy in self.remedies.items():
            if remedy.harmful_under is not None and remedy.harmful_under.when is not None:
                yield ("remedies", name, "harmful_under", "when"), remedy.harmful_under.when
        for kind, field in (("observations", "requires"), ("remedies", "requires"),
                            ("remedies", "tried_when"), ("cautions", "when"), ("hazards", "when"),
                            ("rules", "when")):
            for name, entry in getattr(self, kind).items():
                if (data := getattr(entry, field)) is not None:
                    yield (kind, name, field), data

    def _ways(self, path: KeyPath) -> tuple[str, ...]:
        """How the engine will be asked about a condition: when it holds, when it is known to fail."""
        if path[-1] == "requires":
            return ("holds", "fails")
        if path[0] == "causes" and self.causes[path[1]].evidence[int(path[3])].otherwise:
            return ("holds", "fails")
        return ("holds",)

    def holds(self, path: KeyPath) -> tuple[conditions.Alternative, ...]:
        """The alternatives under which the condition standing at `path` holds."""
        return conditions.holds(self.conditions[path], self._select)

    def fails(self, path: KeyPath) -> tuple[conditions.Alternative, ...]:
        """The alternatives under which the condition standing at `path` is known to fail."""
        return conditions.fails(self.conditions[path], self._select)

    @cached_property
    def _select(self) -> conditions.Select:
        return self.names.select(self.bands)
