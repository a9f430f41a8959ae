"""The things that someone's words may say, each to be kept or not by itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

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

    def with_figure(self, more: Heard) -> Heard:
        """This, with a figure that was said after it."""
        new = tuple(i for i in more.sure if i not in self.sure and not any(n.rules_out(i) for n in self.sure))
        return Heard(f"{self.text}, {more.text}", (*self.sure, *new), self.maybe, self.remarks)


@dataclass
class Kept:
    """What was kept so far, and the words it was read from."""

    items: list[Item] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def add(self, more: Iterable[Item], text: str) -> None:
        """Keep more; of two answers to one question the later stands."""
        new = list(more)
        if new:
            self.items = [i for i in self.items if i not in new
                          and not any(n.rules_out(i) for n in new)] + new
            self.texts = [*(t for t in self.texts if t != text), text]

    @property
    def symptoms(self) -> list[str]:
        """The symptoms kept."""
        return [i.name for i in self.items if i.kind == "symptom"]

    @property
    def answers(self) -> dict[str, str]:
        """The answers kept, by question."""
        brought = {name: value for i in self.items for name, value in i.brings}
        return brought | {i.name: i.value for i in self.items if i.kind == "answer"}

    @property
    def tried(self) -> dict[str, str]:
        """The fixes tried before, with what came of each."""
        return {i.name: i.value for i in self.items if i.kind == "tried"}

    @property
    def text(self) -> str:
        """The words they were read from."""
        return " ".join(self.texts)
