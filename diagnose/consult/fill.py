"""A remedy with its numbers put in: steps a person can follow."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.compute import units
from diagnose.compute.catalogue import TEXT, said
from diagnose.kb.book import Book
from diagnose.kb.check import PLACEHOLDER
from diagnose.reason.infer import Inference


@dataclass(frozen=True)
class Filled:
    """A remedy ready to be shown."""

    remedy: str
    name: str
    steps: tuple[str, ...]
    before: str
    should: str
    undo: str
    stop: str
    minutes: float
    shots: int
    money: str
    who: str
    tools: str
    cautions: tuple[str, ...]
    source: str


def fill(inference: Inference, remedy: str) -> Filled:
    """The remedy with `{measure}` and `{target.x}` put in from the case."""
    stated = inference.book.remedies[remedy]

    def put(text: str) -> str:
        return PLACEHOLDER.sub(lambda found: number(inference, found[1]), text)

    return Filled(remedy, stated.name, tuple(map(put, stated.steps)), put(stated.before),
                  put(stated.should), put(stated.undo), put(stated.stop), stated.minutes,
                  stated.shots, stated.money, stated.who, stated.tools, stated.cautions,
                  stated.source)


def number(inference: Inference, name: str) -> str:
    """What a placeholder stands for, in words; a measure's default where it is not known."""
    book = inference.book
    if name.startswith("target."):
        return target(book, name)
    value = inference.measured.values.get(name)
    if value is None:
        return book.measures[name].default
    return said(value, book.names.units.get(name, TEXT))


def target(book: Book, name: str) -> str:
    """A target in words: its value, or its window."""
    parts = name.split(".")
    stated = book.targets[parts[1]]
    if len(parts) == 3:
        return units.show(getattr(stated, parts[2]), stated.unit)
    if stated.low is not None and stated.high is not None and stated.value is None:
        return window(stated.low, stated.high, stated.unit)
    value = stated.value if stated.value is not None else stated.low or stated.high
    return units.show(value or 0.0, stated.unit)


def window(low: float, high: float, unit: str) -> str:
    """`26 to 32 s`: a window with its unit said once."""
    first, last = units.show(low, unit), units.show(high, unit)
    number_only = first.rsplit(" ", 1)
    if len(number_only) == 2 and last.endswith(number_only[1]):
        first = number_only[0]
    return f"{first} to {last}"
