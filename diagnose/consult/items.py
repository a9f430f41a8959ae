"""The things that someone's words may say, each to be kept or not by itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from diagnose.consult.answers import shown
from diagnose.consult.screens import Choice

if TYPE_CHECKING:
    from diagnose.consult.session import Session

MOST_OTHERS = 5
"""Symptoms in doubt that are offered where nothing was plain."""


@dataclass(frozen=True)
class Item:
    """One thing read out of someone's words."""

    kind: Literal["symptom", "answer", "tried"]
    name: str
    value: str = ""
    """An answer's text, or what came of a fix tried."""
    brings: tuple[tuple[str, str], ...] = field(default=(), compare=False)
    """Answers that say nothing else than the symptom does, kept or dropped with it."""

    @property
    def id(self) -> str:
        """What stands for it on a screen."""
        return f"{self.name}={self.value}" if self.value else self.name

    def rules_out(self, other: Item) -> bool:
        """Is the other thing said of the same question or fix?"""
        return self.kind == other.kind != "symptom" and self.name == other.name


@dataclass(frozen=True)
class Heard:
    """What was read out of someone's words."""

    text: str
    sure: tuple[Item, ...] = ()
    maybe: tuple[Item, ...] = ()
    remarks: tuple[str, ...] = ()

    def after(self, earlier: Heard, kept: Iterable[Item]) -> Heard:
        """This, with what was read plainly before and is not decided yet, less what is kept."""
        have = set(kept)
        sure = tuple(i for i in self.sure if i not in have)
        said = (*self.sure, *have)
        rest = dict.fromkeys(i for i in (*earlier.sure, *self.maybe)
                             if i not in said and not any(known.rules_out(i) for known in said))
        most = max(len(earlier.sure), MOST_OTHERS)
        return Heard(self.text, sure, tuple(rest)[:most], self.remarks)


def stops(s: Session, item: Item) -> tuple[str, ...]:
    """The cautions that by themselves stop a consult in which this is true."""
    if item.kind == "answer":
        return s.alarms.answer(item.name, s.read(item.name, item.value))
    return s.alarms.symptom(item.name) if item.kind == "symptom" else ()


def choice(s: Session, item: Item, doubtful: bool = False) -> Choice:
    """An item as something to choose: a symptom's name, a question with its answer, or a fix.

    Beside it stands what came of the fix, or `danger` where it is in doubt and would stop the
    consult; what is sure is warned of at length.
    """
    if item.kind == "tried":
        return Choice(item.id, s.book.remedies[item.name].name, item.value)
    danger = "danger" if doubtful and stops(s, item) else ""
    if item.kind == "symptom":
        return Choice(item.id, s.book.symptoms[item.name].name, danger)
    stated = s.book.observations[item.name]
    return Choice(item.id, f"{stated.ask} {shown(stated, s.read(item.name, item.value))}", danger)


def in_short(s: Session, item: Item) -> Choice:
    """An item in a few words, to recall it: of a choice made, no question."""
    if item.kind == "answer" and s.book.observations[item.name].kind == "choice":
        return Choice(item.id, shown(s.book.observations[item.name], s.read(item.name, item.value)))
    return choice(s, item)
