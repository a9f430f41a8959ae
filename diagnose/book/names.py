"""What conditions may speak of: every name with its values, or its bands and unit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from diagnose.book import conditions
from diagnose.book.bands import Bands
from diagnose.book.model import Finding, Measure, Observation, Target
from diagnose.book.problems import nearest
from diagnose.compute import units

YES_NO = ("yes", "no")
Domain = frozenset[str]


class Threshold(NamedTuple):
    """A number some rule compares with: the name compared, the value in its unit."""

    name: str
    value: float


@dataclass(frozen=True)
class Names:
    """The name space of one book."""

    observations: Mapping[str, Observation]
    measures: Mapping[str, Measure]
    findings: Mapping[str, Finding]
    targets: Mapping[str, Target]
    units: Mapping[str, str]
    """Unit of every quantity and measure."""

    def all(self) -> Iterable[str]:
        """Every name a condition may speak of."""
        return [*self.observations, *self.measures, *self.findings]

    def values(self, name: str) -> tuple[str, ...] | None:
        """The words a name may have; None where it is a number.

        Raises ConditionError where the book has no such name.
        """
        if name in self.units:
            return None
        if name in self.findings:
            return tuple(self.findings[name].values)
        observation = self.observations.get(name)
        if name in self.measures:
            raise conditions.ConditionError(f"{name} is no number that can be compared")
        if observation is None:
            raise conditions.ConditionError(f"no observation, measure or finding {name!r}"
                                           + nearest(name, self.all()))
        if observation.kind == "date":
            raise conditions.ConditionError(f"{name} is a date; test the measure made from it")
        return YES_NO if observation.kind == "yes_no" else tuple(observation.answers)

    def several(self, name: str) -> bool:
        """May a name have more than one of its values at once?"""
        stated = self.observations.get(name)
        return stated.several == "yes" if stated else name in self.findings

    def threshold(self, name: str, text: str) -> float:
        """The number a comparison names, in the unit of `name`."""
        unit = self.units[name]
        if text.startswith("target."):
            return self._target(text, unit)
        try:
            return units.read(text, unit)
        except units.UnitError as error:
            raise conditions.ConditionError(f"{name}: {error}") from None

    def _target(self, text: str, unit: str) -> float:
        value, own = self.target(text)
        try:
            return units.convert(value, own, unit)
        except units.UnitError as error:
            raise conditions.ConditionError(f"{text}: {error}") from None

    def target(self, text: str) -> tuple[float, str]:
        """Value and unit of `target.name`, `target.name.low` or `target.name.high`."""
        parts = text.split(".")
        target = self.targets.get(parts[1]) if len(parts) in (2, 3) else None
        side = parts[2] if len(parts) == 3 else "value"
        if target is None or side not in ("low", "high", "value"):
            known = [f"target.{n}{s}" for n in self.targets for s in ("", ".low", ".high")]
            raise conditions.ConditionError(f"no target {text!r}{nearest(text, known)}")
        value = getattr(target, side)
        if value is None:
            raise conditions.ConditionError(f"target {parts[1]} states no {side}")
        return value, target.unit

    def check(self, node: conditions.Node) -> Iterable[Threshold]:
        """Check every test of a condition against the book; yields the thresholds in it."""
        for test in conditions.tests(node):
            values = self.values(test.name)
            if isinstance(test, conditions.Known):
                continue
            if values is None:
                if test.words:
                    raise conditions.ConditionError(
                        f"{test.name} is a number; compare it, as in {test.name}: '< 20'")
                for _, text in test.bounds:
                    yield Threshold(test.name, self.threshold(test.name, text))
                continue
            if test.bounds:
                raise conditions.ConditionError(
                    f"{test.name} is no number; name a value: {', '.join(values)}")
            for word in test.words:
                if word not in values:
                    raise conditions.ConditionError(
                        f"{test.name} has no value {word!r}{nearest(word, values)}"
                        f" (it has: {', '.join(values)})")

    def select(self, bands: Mapping[str, Bands]) -> conditions.Select:
        """How a test picks values, given the bands of the numbers."""
        domains: dict[str, tuple[Domain | None, bool]] = {}

        def domain(name: str) -> tuple[Domain | None, bool]:
            values = self.values(name)
            return values if values is None else frozenset(values), not self.several(name)

        def pick(test: conditions.Test) -> tuple[Domain, Domain, bool]:
            if test.name not in domains:
                domains[test.name] = domain(test.name)
            values, single = domains[test.name]
            if values is not None:
                inside = frozenset(test.words)
                return inside, values - inside, single
            own = bands[test.name]
            inside = frozenset(own.words)
            for operator, text in test.bounds:
                inside &= own.select(operator, self.threshold(test.name, text))
            return inside, frozenset(own.words) - inside, True

        return pick
