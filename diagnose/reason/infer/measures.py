"""Numbers worked out from what is known: the measures of a book, each once its inputs are."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import msgspec

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.compute import registry, units
from diagnose.compute.estimate import Estimate
from diagnose.compute.registry import CATALOGUE, TEXT, Function


@dataclass(frozen=True)
class History:
    """What the notebook holds that numbers can be worked out from."""

    shots: Sequence[Any] = ()
    """Shots of one grinder, `compute.grinder.Shot`, oldest first."""
    weighings: Sequence[Any] = ()
    """Timed doses, `compute.timer.Weighing`, oldest first."""
    use: Any = None
    """What was used in all, `compute.upkeep.Use`."""


NO_HISTORY = History()
"""Nothing written down yet."""


@dataclass
class Measured:
    """The measures that could be worked out, and why others could not be right."""

    values: dict[str, Any] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)
    later: Callable[[str], Any] = field(default=lambda name: None, repr=False, compare=False)
    """Works out a measure that no condition looks at, when it is to be said."""

    def get(self, name: str) -> Any:
        """A measure, worked out now where it is only said; None where it can't be."""
        return self.values[name] if name in self.values else self.later(name)

    def numbers(self) -> dict[str, float]:
        """The measures that are numbers, in their own unit."""
        return {name: v.value if isinstance(v, Estimate) else float(v)
                for name, v in self.values.items() if isinstance(v, Estimate | float | int)}


_Fetch = Callable[[Mapping[str, Any], Measured], Any]


class _Step(msgspec.Struct, frozen=True):
    """One measure made ready: its function, and how to come by each parameter."""

    name: str
    function: Function
    constants: Mapping[str, Any]
    fetches: Mapping[str, _Fetch]
    needs: frozenset[str]
    """Observations and measures without which it can't be worked out."""


class Measurer:
    """The measures of a book in an order in which each finds its inputs worked out."""

    def __init__(self, book: Book, history: History = NO_HISTORY) -> None:
        self.book = book
        self._context = {"history.shots": list(history.shots),
                         "history.weighings": list(history.weighings),
                         "history.use": history.use}
        steps = [self._step(name) for name in self._order()]
        looked_at = self._looked_at()
        self._steps = [s for s in steps if s.name in looked_at]
        self._only_said = [s for s in steps if s.name not in looked_at]

    def measure(self, values: Mapping[str, Any], today: date | None = None) -> Measured:
        """Every measure that conditions look at and whose inputs are known; the rest on asking."""
        done = Measured()
        self._run(self._steps, values, today, done)
        said: list[Measured] = []

        def later(name: str) -> Any:
            if not said:
                said.append(Measured(dict(done.values)))
                self._run(self._only_said, values, today, said[0])
            return said[0].values.get(name)

        done.later = later
        return done

    def _run(self, steps: Iterable[_Step], values: Mapping[str, Any], today: date | None,
             done: Measured) -> None:
        for step in steps:
            if all(n in values or n in done.values for n in step.needs):
                self._work_out(step, values, today, done)

    def _looked_at(self) -> set[str]:
        """The measures that conditions test, and those that these are worked out from."""
        stack = [n for node in self.book.conditions.values() for n in conditions.names(node)]
        found: set[str] = set()
        while stack:
            name = stack.pop()
            if name in self.book.measures and name not in found:
                found.add(name)
                stack += self.book.measures[name].given.values()
        return found

    def _order(self) -> list[str]:
        waiting, order = dict(self.book.measures), []
        while waiting:
            for name, stated in list(waiting.items()):
                if not any(g in waiting for g in stated.given.values()):
                    order.append(name)
                    del waiting[name]
        return order

    def _step(self, name: str) -> _Step:
        stated = self.book.measures[name]
        function = CATALOGUE[stated.compute]
        constants: dict[str, Any] = {}
        fetches: dict[str, _Fetch] = {}
        for parameter, source in stated.given.items():
            unit = function.given[parameter]
            constant = self._constant(source, unit)
            if constant is not None:
                constants[parameter] = constant
            elif source not in self._context:
                fetches[parameter] = self._fetch(source, unit)
        needs = {s for p, s in stated.given.items() if p in fetches and p in function.needs}
        return _Step(name, function, constants, fetches, frozenset(needs))

    def _constant(self, source: str, unit: str) -> Any:
        if source in self._context:
            return self._context[source] or None
        if source.startswith("target."):
            value, own = self.book.names.target(source)
            return units.convert(value, own, unit)
        if source[:1].isdigit() or source[:1] == "-":
            return units.read(source, unit)
        return None

    def _fetch(self, source: str, unit: str) -> _Fetch:
        own = self.book.names.units.get(source, TEXT)
        change = own != unit and own != TEXT and units.known(unit)

        def fetch(values: Mapping[str, Any], done: Measured) -> Any:
            value = done.values.get(source, values.get(source))
            if isinstance(value, Estimate):
                value = value.value
            return units.convert(value, own, unit) if change and value is not None else value

        return fetch

    def _work_out(self, step: _Step, values: Mapping[str, Any], today: date | None,
                  done: Measured) -> None:
        given = dict(step.constants)
        for parameter, fetch in step.fetches.items():
            value = fetch(values, done)
            if value is not None:
                given[parameter] = value
        if "today" in step.function.given:
            given.setdefault("today", today or date.today())
        if step.function.needs - given.keys():
            return
        try:
            value = registry.call(step.function, given)
            if value is not None:
                done.values[step.name] = value
        except registry.NotComputable as refusal:
            done.refused[step.name] = str(refusal)
