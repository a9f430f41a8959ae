"""What a subject of `diagnose calc` takes and gives, and how both are read and said."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import combinations, product
from typing import Any

from diagnose.compute import units
from diagnose.compute.estimate import Advice, Estimate
from diagnose.compute.registry import basis
from diagnose.errors import UserError, short
from diagnose.notebook.fields import Field
from diagnose.notebook.plot import Plot


def option(name: str, unit: str, ask: str, *, low: float = 0.0, high: float = float("inf"),
           bare: bool = False) -> Field:
    """A quantity that a subject takes; `bare` where no unit is needed to be clear."""
    return Field(name.replace("-", "_"), f"--{name.strip('_')}", ask, "quantity", unit, low=low, high=high,
                 bare=bare)


def word(name: str, ask: str, *answers: str) -> Field:
    """A word that a subject takes, one of the answers."""
    return Field(name.replace("-", "_"), f"--{name}", f"{ask}: {', '.join(answers)}", "text",
                 " ".join(answers))


def day(name: str, ask: str) -> Field:
    """A date that a subject takes."""
    return Field(name.replace("-", "_"), f"--{name}", ask, "day")


def several(name: str, ask: str) -> Field:
    """Text that may be given more than once."""
    return Field(name.replace("-", "_"), f"--{name}", ask, "several")


LACKS = "{option} is not used: it goes with {needs}."
IDLE = "{option} is not used: nothing else that was given goes with it."
NUMBERS, DAY = (1.0, 20.0), "2026-01-01"
"""Values put in by way of trial for an option that was not given."""
NUDGE = 1.02


@dataclass(frozen=True)
class Result:
    """One number, or words, worked out."""

    id: str
    label: str
    value: Any
    unit: str = "text"
    basis: str = ""
    """Where it comes from, beyond what the value itself says."""

    @property
    def source(self) -> str:
        """Where it comes from."""
        return "; ".join(t for t in (basis(self.value), self.basis) if t)

    def text(self) -> str:
        """The value in plain words with its span."""
        if isinstance(self.value, Advice):
            return self.value.text
        if isinstance(self.value, str):
            return self.value
        if not isinstance(self.value, Estimate):
            return self._show(self.value)
        unit = self.value.unit if units.known(self.value.unit) else self.unit
        middle, span = units.show(self.value.value, unit), units.span(
            self.value.low, self.value.high, unit)
        return middle if span == middle else f"{middle} ({span})"

    def _show(self, value: float) -> str:
        return units.show(value, self.unit) if self.unit != "text" else f"{value:g}"

    def data(self) -> dict[str, Any]:
        """The result as JSON data."""
        found: dict[str, Any] = {"id": self.id, "label": self.label, "text": self.text(),
                                 "basis": self.source}
        if isinstance(self.value, Estimate):
            unit = self.value.unit if units.known(self.value.unit) else self.unit
            found |= {"value": self.value.value, "low": self.value.low, "high": self.value.high,
                      "unit": unit}
        elif not isinstance(self.value, str | Advice):
            found |= {"value": self.value, "unit": self.unit}
        return found


@dataclass(frozen=True)
class Results:
    """What a subject gives: results, a plot where looking beats reading, a word of caution."""

    results: Sequence[Result]
    plot: Plot | None = None
    remarks: Sequence[str] = ()


@dataclass
class Given:
    """What was typed, read: a value by name, None where it was left out."""

    values: dict[str, Any]
    now: datetime
    needed: list[str] = field(default_factory=list)

    def __getattr__(self, name: str) -> Any:
        try:
            return self.values[name]
        except KeyError:
            raise AttributeError(name) from None

    def has(self, *names: str) -> bool:
        """Are all of these given? Those missing are remembered, to be asked for."""
        missing = [n for n in names if self.values[n] in (None, [])]
        self.needed += missing
        return not missing


@dataclass(frozen=True)
class Subject:
    """One subject of the arithmetic."""

    name: str
    about: str
    takes: Sequence[Field]
    work: Callable[[Given], Results]
    notebook: bool = False
    """Works from the notebook where nothing is given."""


def read(subject: Subject, typed: Mapping[str, Any], now: datetime) -> Given:
    """The values typed; UserError, one line, for one that can't be taken."""
    return Given({f.name: _value(f, typed.get(f.name), now) for f in subject.takes}, now)


def _value(stated: Field, typed: Any, now: datetime) -> Any:
    if stated.kind == "several":
        return list(typed or ())
    if typed is None:
        return None
    if not typed.strip():
        raise UserError(f"{stated.option} is empty; {stated.example()}")
    if stated.kind == "text":
        return _word(stated, typed)
    return stated.read(typed, now)


def _word(stated: Field, typed: str) -> str:
    answers = stated.unit.split()
    said = typed.strip().lower().replace(" ", "-").replace("_", "-")
    found = [a for a in answers if a == said] or [a for a in answers if a.startswith(said)]
    if len(found) != 1:
        raise UserError(f"{stated.option} reads {short(typed)!r}; write one of {', '.join(answers)}")
    return found[0]


def run(subject: Subject, given: Given) -> Results:
    """The answer; UserError where the numbers can't be right or are too few."""
    try:
        answer = subject.work(given)
    except ValueError as error:
        raise UserError(str(error)) from None
    if not answer.results:
        missing = ", ".join(f"--{n.strip('_').replace('_', '-')}" for n in dict.fromkeys(given.needed))
        raise UserError(f"too little is given to work anything out; try adding some of {missing}")
    idle = [_unused(subject, given, f) for f in subject.takes if _idle(subject, given, f, answer)]
    return replace(answer, remarks=[*answer.remarks, *idle])


def _unused(subject: Subject, given: Given, stated: Field) -> str:
    """Why an option was not used: the least that it lacks, found by trying."""
    missing = [f for f in subject.takes if given.values[f.name] is None and f is not stated]
    others = [f.name for f in subject.takes if given.values[f.name] not in (None, []) and f is not stated]
    for count, instead in ((1, ["", *others]), (2, [""])):
        for more in combinations(missing, count):
            tried = (dict(zip((f.name for f in more), values, strict=True)) | ({out: None} if out else {})
                     for values in product(*map(_trials, more)) for out in instead)
            if any(_counts(subject, given, stated, one) for one in tried):
                return LACKS.format(option=stated.option, needs=" and ".join(f.option for f in more))
    return IDLE.format(option=stated.option)


def _trials(stated: Field) -> list[Any]:
    if stated.kind == "text":
        return stated.unit.split()
    if stated.kind == "day":
        return [DAY]
    return [v for v in NUMBERS if stated.kind == "quantity" and stated.low <= v <= stated.high]


def _counts(subject: Subject, given: Given, stated: Field, more: Mapping[str, Any]) -> bool:
    """Would the option count if more were given?"""
    with_it = Given({**given.values, **more}, given.now)
    try:
        answer = subject.work(with_it)
    except (ValueError, UserError):
        return False
    return bool(answer.results) and not _idle(subject, with_it, stated, answer)


def _idle(subject: Subject, given: Given, stated: Field, answer: Results) -> bool:
    """Would the answer be the same without this option, and with another number in it?"""
    value = given.values[stated.name]
    if value in (None, []):
        return False
    others: list[Any] = [[] if stated.kind == "several" else None]
    if isinstance(value, float):
        others.append(value * NUDGE or NUDGE)
    return all(_same(subject, Given({**given.values, stated.name: other}, given.now), answer)
               for other in others)


def _same(subject: Subject, given: Given, answer: Results) -> bool:
    try:
        found = subject.work(given)
    except ValueError:
        return False
    return [r.data() for r in found.results] == [r.data() for r in answer.results]
