"""One test per name in a rule.

The library wants a different fact for every condition and counts wrongly, or crashes, when one
fact meets two conditions of a rule, a negated one included. So all that a rule says about a name
is folded into one positive test and one negated test that no single fact can both meet.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

import msgspec

from diagnose.engine.checks import shown
from diagnose.engine.errors import EngineError
from diagnose.engine.rule import EngineRule, Fact, NameTest

ALWAYS: Fact = ("\0always", "yes")
"""Asserted in every run, so that a rule of negations alone has something positive to start from."""

MOST_JOINED = 3
"""Positive tests in one clause. The library joins 16 facts; but once a rule of five has fired, to take its
facts back reads past the end of what it holds, and sometimes crashes. A gate may be added, so three."""


class FoldedTest(NamedTuple):
    """A folded test: one fact of the name, its value `among` these (None: any) and not `barred`."""

    name: str
    among: frozenset[str] | None
    barred: frozenset[str] = frozenset()

    def admits(self, value: str) -> bool:
        """Whether a fact of this name with this value meets the test."""
        return value not in self.barred and (self.among is None or value in self.among)


class RuleClause(msgspec.Struct, frozen=True):
    """A rule, or a part of a long one, in the form the library can hold."""

    rule: str
    wants: tuple[FoldedTest, ...]
    refuses: tuple[FoldedTest, ...]
    then: Fact
    is_part: bool = False
    """Whether it concludes a fact of the engine's own."""

    def met(self, known: Mapping[str, Collection[str]]) -> bool:
        """Whether it fires where these are the values of all names: nothing is concluded any more.

        What the library would come to, for a rule whose conclusion no other looks at.
        """
        return all(_meets(test, known) for test in self.wants) \
            and not any(_meets(test, known) for test in self.refuses)


def _meets(test: FoldedTest, known: Mapping[str, Collection[str]]) -> bool:
    values = known.get(test.name)
    return values is not None and any(map(test.admits, values))


def fold(rule: EngineRule) -> RuleClause:
    """Fold a rule's patterns; raise EngineError when no fact could meet them all."""
    refuses = {test.name: test for test in _merge(rule.none)}
    wants: dict[str, FoldedTest] = {}
    for pattern in rule.all:
        before = wants.get(pattern.name)
        wants[pattern.name] = _meet(before, pattern) if before else FoldedTest(*pattern)
    wants = {name: _bar(test, refuses.get(name)) for name, test in wants.items()}
    for test in wants.values():
        if test.among is not None and not test.among:
            raise EngineError(f"rule {shown(rule.name)} can never fire: "
                              f"no value of {shown(test.name)} meets all it says of it")
    return RuleClause(rule.name, tuple(wants.values()), tuple(refuses.values()), rule.then)


def _merge(patterns: Iterable[NameTest]) -> Iterable[FoldedTest]:
    merged: dict[str, FoldedTest] = {}
    for name, values in patterns:
        before = merged.get(name)
        if before is not None:
            values = None if values is None or before.among is None else values | before.among
        merged[name] = FoldedTest(name, values)
    return merged.values()


def _meet(test: FoldedTest, pattern: NameTest) -> FoldedTest:
    if test.among is None:
        return FoldedTest(*pattern)
    return test if pattern.values is None else FoldedTest(test.name, test.among & pattern.values)


def _bar(want: FoldedTest, refused: FoldedTest | None) -> FoldedTest:
    if refused is None:
        return want
    if refused.among is None:
        return FoldedTest(want.name, frozenset())
    if want.among is None:
        return FoldedTest(want.name, None, refused.among)
    return FoldedTest(want.name, want.among - refused.among)


def split(clause: RuleClause) -> list[RuleClause]:
    """Cut a clause with more positive tests than the library joins into parts, the last one whole.

    Each part concludes a fact of the engine's own, which the next part wants.
    """
    wants = clause.wants
    if not wants and not clause.refuses:
        wants = (FoldedTest(ALWAYS[0], frozenset({ALWAYS[1]})),)
    parts: list[RuleClause] = []
    while len(wants) > MOST_JOINED:
        then = ("\0part", f"{len(parts)} {clause.rule}")
        parts.append(RuleClause(clause.rule, wants[:MOST_JOINED], (), then, True))
        wants = (FoldedTest(then[0], frozenset({then[1]})), *wants[MOST_JOINED:])
    return [*parts, RuleClause(clause.rule, wants, clause.refuses, clause.then)]
