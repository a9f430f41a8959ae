"""A remedy with its numbers put in: steps a person can follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diagnose.book.book import Book
from diagnose.book.model import Money, Remedy, Who
from diagnose.book.references import PLACEHOLDER
from diagnose.compute import units
from diagnose.compute.registry import TEXT, basis, said
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.measures import Measured


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
    money: Money
    who: Who
    tools: str
    cautions: tuple[str, ...]
    source: str
    numbers: tuple[Number, ...]
    """The numbers put in, with where each comes from."""


@dataclass(frozen=True)
class Number:
    """A number put into a remedy's words."""

    measure: str
    label: str
    text: str
    basis: str


def once_more(inference: Inference, remedy: str) -> str:
    """What to do once more, while a remedy keeps helping."""
    return put_in(inference, inference.book.remedies[remedy].again)


def put_in(inference: Inference, text: str) -> str:
    """Any text of the book with its numbers put in."""
    return PLACEHOLDER.sub(lambda found: number(inference.book, inference.measured, found[1]), text)


def fill(inference: Inference, remedy: str) -> Filled:
    """The remedy with `{measure}` and `{target.x}` put in from the case."""
    stated = inference.book.remedies[remedy]

    def put(text: str) -> str:
        return put_in(inference, text)

    return Filled(remedy, stated.name, tuple(map(put, stated.steps)), put(stated.before),
                  put(stated.should), put(stated.undo), put(stated.stop), stated.minutes,
                  stated.shots, stated.money, stated.who, stated.tools, stated.cautions,
                  stated.source, tuple(_numbers(inference, stated)))


DEFAULT = "a default, since what it takes is not known"


def _numbers(inference: Inference, stated: Remedy) -> Iterator[Number]:
    """The measures that a remedy's words hold, each once."""
    texts = (*stated.steps, stated.before, stated.should, stated.undo, stated.stop)
    book = inference.book
    for name in dict.fromkeys(n for text in texts for n in PLACEHOLDER.findall(text)):
        if name in book.measures:
            value = inference.measured.get(name)
            label = book.measures[name].label
            yield Number(name, f"{label[0].upper()}{label[1:]}",
                         number(book, inference.measured, name, own=False),
                         DEFAULT if value is None else basis(value))


def number(book: Book, measured: Measured, name: str, own: bool = True) -> str:
    """What a placeholder stands for, in words; a measure's default where it is not known."""
    if name.startswith("target."):
        return target(book, name)
    value = measured.get(name)
    if value is None:
        return book.measures[name].default
    return said(value, book.names.units.get(name, TEXT), own)


def target(book: Book, name: str) -> str:
    """A target in words: its value, or its window."""
    parts = name.split(".")
    stated = book.targets[parts[1]]
    if len(parts) == 3:
        return units.show(getattr(stated, parts[2]), stated.unit)
    if stated.low is not None and stated.high is not None and stated.value is None:
        return units.span(stated.low, stated.high, stated.unit)
    value = stated.value if stated.value is not None else stated.low or stated.high
    return units.show(value or 0.0, stated.unit)

