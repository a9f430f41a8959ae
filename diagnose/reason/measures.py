"""Numbers worked out from what is known: the measures of a book, each once its inputs are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from diagnose.compute import catalogue, units
from diagnose.compute.catalogue import CATALOGUE, TEXT
from diagnose.compute.estimate import Estimate
from diagnose.kb.book import Book


@dataclass(frozen=True)
class History:
    """What the notebook holds that numbers can be worked out from."""

    shots: Sequence[Any] = ()
    weighings: Sequence[Any] = ()


@dataclass
class Measured:
    """The measures that could be worked out, and why others could not be right."""

    values: dict[str, Any] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)

    def numbers(self) -> dict[str, float]:
        """The measures that are numbers, in their own unit."""
        return {name: v.value if isinstance(v, Estimate) else float(v)
                for name, v in self.values.items() if not isinstance(v, str)}


def measure(book: Book, values: Mapping[str, Any], history: History = History(),
            today: date | None = None) -> Measured:
    """Work out every measure whose inputs are known."""
    done = Measured()
    context = {"history.shots": list(history.shots), "history.weighings": list(history.weighings),
               "today": today or date.today()}
    waiting = dict(book.measures)
    progress = True
    while progress and waiting:
        progress = False
        for name, stated in list(waiting.items()):
            if any(g in waiting for g in stated.given.values()):
                continue
            del waiting[name]
            progress = True
            _work_out(book, name, values, context, done)
    return done


def _work_out(book: Book, name: str, values: Mapping[str, Any], context: Mapping[str, Any],
              done: Measured) -> None:
    stated = book.measures[name]
    function = CATALOGUE[stated.compute]
    given: dict[str, Any] = {}
    for parameter, source in stated.given.items():
        value = _value(book, source, function.given[parameter], values, context, done)
        if value is not None:
            given[parameter] = value
    if "today" in function.given:
        given.setdefault("today", context["today"])
    if function.needs - given.keys():
        return
    try:
        done.values[name] = catalogue.call(function, given)
    except catalogue.NotComputable as refusal:
        done.refused[name] = str(refusal)


def _value(book: Book, source: str, unit: str, values: Mapping[str, Any],
           context: Mapping[str, Any], done: Measured) -> Any:
    if source in context:
        return context[source] or None
    if source.startswith("target."):
        value, own = book.names.target(source)
        return units.convert(value, own, unit)
    if source[:1].isdigit() or source[:1] == "-":
        return units.read(source, unit)
    if source in done.values:
        value = done.values[source]
        value = value.value if isinstance(value, Estimate) else value
    else:
        value = values.get(source)
    own = book.names.units.get(source, TEXT)
    if value is None or own == TEXT or not units.known(unit):
        return value
    return units.convert(value, own, unit)
