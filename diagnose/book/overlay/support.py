"""What the gravest cautions rest on: every name, value and target that can make them show.

A DANGER or WARNING shows when its condition holds. The condition speaks of findings, these
of other findings, of observations, measures and targets; a change to any of them could
silence it. The support is followed down from every such condition, and keeps apart what
must be there from what must be absent.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from typing import Any

from diagnose.book import conditions
from diagnose.book.conditions import ConditionError, Every, Known, Node, Not, Some, Test

ANY = "*"
"""Stands for every value of a name."""
Entries = Mapping[str, Mapping[str, Any]]
Fact = tuple[str, str]
"""A name and its value."""
_Key = tuple[str, str, bool]


class Support:
    """The support of all grave cautions of some merged entries, by kind and name."""

    def __init__(self, entries: Entries, stated: Iterable[tuple[str, Any]]) -> None:
        """`stated` are the cautions, in words, with the conditions on which they show."""
        self._entries, self._seen = entries, set[_Key]()
        self.values: dict[str, dict[str, str]] = {}
        """Name to each value looked at, and to the caution that looks at it."""
        self.absent: dict[tuple[str, str], str] = {}
        """Name and value that must be absent, to the caution that wants it so."""
        self.targets: dict[str, str] = {}
        """Target to the caution that compares with it."""
        self.by_way_of: dict[str, str] = {}
        """Target to the finding or measure that compares with it; empty: the caution itself."""
        for what, when in stated:
            self._follow(when, False, what, "")

    @classmethod
    def of_grave(cls, entries: Entries, grave: Collection[str]) -> Support:
        """The support of all cautions with these signal words."""
        return cls(entries, [(f"{signal} {name}", when)
                             for signal, name, when in conditions_of(entries, grave)])

    def _walk(self, node: Node, absent: bool, what: str, by: str) -> None:
        match node:
            case Test(name, words, bounds):
                for word in words or (ANY,):
                    self._note(name, word, absent, what)
                for _, text in bounds:
                    self._target(text, what, by)
            case Known(name):
                self._note(name, ANY, absent, what)
            case Not(part):
                self._walk(part, not absent, what, by)
            case Every(parts) | Some(parts):
                for part in parts:
                    self._walk(part, absent, what, by)

    def _target(self, text: str, what: str, by: str) -> None:
        if text.startswith("target."):
            target = text.split(".")[1]
            self.targets.setdefault(target, what)
            self.by_way_of.setdefault(target, by)

    def _note(self, name: str, value: str, absent: bool, what: str) -> None:
        if (name, value, absent) in self._seen:
            return
        self._seen.add((name, value, absent))
        self.values.setdefault(name, {}).setdefault(value, what)
        if absent:
            self.absent.setdefault((name, value), what)
        if name in self._entries["findings"]:
            self._finding(name, value, absent, what)
        elif name in self._entries["measures"]:
            for source in self._entries["measures"][name].given.values():
                self._target(source, what, name)
                self._note(source, ANY, absent, what)

    def _finding(self, name: str, value: str, absent: bool, what: str) -> None:
        for own, stated in self._entries["findings"][name].values.items():
            if value in (own, ANY) and stated.when is not None:
                self._follow(stated.when, absent, what, f"{name}: {own}")
        for rule in self._entries["rules"].values():
            if name in rule.then and value in (rule.then[name], ANY):
                self._follow(rule.when, absent, what, f"{name}: {rule.then[name]}")

    def _follow(self, when: Any, absent: bool, what: str, by: str) -> None:
        with suppress(ConditionError):   # told with its place when the book is put together
            self._walk(conditions.read(when), absent, what, by)

    def looked_at(self, name: str, value: str) -> str:
        """The caution that looks at this value of a name; empty where none does."""
        looked = self.values.get(name, {})
        return looked.get(value) or looked.get(ANY, "")

    def must_lack(self, name: str, value: str) -> str:
        """The caution that wants this value absent; empty where none does."""
        return self.absent.get((name, value)) or self.absent.get((name, ANY), "")

    def whose(self, name: str) -> str:
        """A caution that looks at any value of a name; empty where none does."""
        return next(iter(self.values.get(name, {}).values()), "")


def conditions_of(entries: Entries, signals: Collection[str]) -> Iterator[tuple[str, str, Any]]:
    """Signal word, name and condition of every caution that shows by itself or by a rule."""
    cautions = entries["cautions"]
    for name, caution in cautions.items():
        if caution.when is not None and caution.signal in signals:
            yield caution.signal, name, caution.when
    for rule in entries["rules"].values():
        if rule.caution in cautions and cautions[rule.caution].signal in signals:
            yield cautions[rule.caution].signal, rule.caution, rule.when
