"""What stops a consult by itself: the answers, findings and complaints of danger, and their words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from diagnose.book import conditions
from diagnose.book.conditions import ConditionError, Test
from diagnose.book.model import Cause, Observation, Symptom
from diagnose.book.overlay.support import Entries, Fact


class Dangers:
    """The facts of some merged entries of which each alone raises a caution that stops."""

    def __init__(self, entries: Entries) -> None:
        self._entries, self.facts = entries, set[Fact]()
        stops = {name for name, caution in entries["cautions"].items() if caution.stop == "yes"}
        for name in stops:
            self._follow(entries["cautions"][name].when)
        for rule in entries["rules"].values():
            if rule.caution in stops:
                self._follow(rule.when)
        self.names = frozenset(name for name, _ in self.facts)
        self.symptoms = frozenset(n for n, s in entries["symptoms"].items() if self.claimed(s))

    def _follow(self, when: Any) -> None:
        try:
            found = {(test.name, word) for test in conditions.sufficient_tests(conditions.read(when))
                     for word in test.words}
        except ConditionError:   # no condition, or one told of when the book is put together
            return
        new = found - self.facts
        self.facts |= new
        for fact in new:
            for below in self._grounds(*fact):
                self._follow(below)

    def _grounds(self, name: str, value: str) -> Iterator[Any]:
        """The conditions on which a finding takes a value."""
        finding = self._entries["findings"].get(name)
        if finding and value in finding.values:
            yield finding.values[value].when
        yield from (r.when for r in self._entries["rules"].values() if r.then.get(name) == value)

    def claimed(self, symptom: Symptom) -> bool:
        """Does a complaint alone stop the consult?"""
        return not self.facts.isdisjoint(symptom.finding.items())

    def shown(self, cause: Cause) -> bool:
        """Can a cause bring a complaint that stops the consult?"""
        return not self.symptoms.isdisjoint(cause.shows)

    def denied(self, name: str, value: str) -> bool:
        """Does a fact speak against a danger: another value of what can be one?"""
        return name in self.names and (name, value) not in self.facts

    def told(self, when: Any) -> bool:
        """Does a condition look at a fact of danger?"""
        try:
            found = list(conditions.tests(conditions.read(when)))
        except ConditionError:   # told of when the book is put together
            return False
        return any((test.name, word) in self.facts for test in found if isinstance(test, Test)
                   for word in test.words)

    def phrases(self, name: str, entry: Symptom | Observation, danger: bool) -> Iterable[str]:
        """The words of an entry that mean a danger, or those that do not."""
        if isinstance(entry, Symptom):
            return (entry.name, *entry.lay) if self.claimed(entry) == danger else ()
        return [phrase for answer, stated in entry.answers.items()
                if ((name, answer) in self.facts) == danger for phrase in (stated.says, *stated.lay)]
