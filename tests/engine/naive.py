"""A second opinion on what follows from a book: slow, short, and sharing nothing with the engine.

No strata are computed here. The alternating fixpoint (Van Gelder, 1993, "The alternating fixpoint
of logic programs with negation"; from memory) closes in on the facts from below and above; for
rules without a cycle through negation the two meet, and what they meet in is the answer.
"""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.engine import EngineRule, Fact


def run(rules: Iterable[EngineRule], facts: Iterable[Fact]) -> tuple[frozenset[Fact], frozenset[str]]:
    """The facts that follow, those given included, and the names of the rules that fire."""
    rules, given = list(rules), frozenset(facts)
    sure = given
    while True:
        possible = _closure(rules, given, absent_unless=sure)
        next_sure = _closure(rules, given, absent_unless=possible)
        if next_sure == sure:
            break
        sure = next_sure
    if sure != possible:
        raise AssertionError("the book has a cycle through negation")
    return sure, frozenset(rule.name for rule in rules if _holds(rule, sure, sure))


def _closure(rules: list[EngineRule], given: frozenset[Fact], absent_unless: frozenset[Fact]
             ) -> frozenset[Fact]:
    known = given
    while True:
        new = {rule.then for rule in rules if _holds(rule, known, absent_unless)}
        if new <= known:
            return known
        known |= new


def _holds(rule: EngineRule, known: frozenset[Fact], refused: frozenset[Fact]) -> bool:
    for name in {pattern.name for pattern in rule.all}:
        sets = [pattern.values for pattern in rule.all if pattern.name == name]
        if not any(n == name and all(s is None or v in s for s in sets) for n, v in known):
            return False
    return not any(n == name and (values is None or v in values)
                   for name, values in rule.none for n, v in refused)
