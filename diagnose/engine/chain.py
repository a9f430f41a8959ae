"""Forward chaining: from facts to everything that follows from them, with the trace.

Every run starts from nothing and leaves nothing behind, so a changed answer is just another run.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable
from dataclasses import dataclass

from diagnose.engine.checks import check_fact, check_rules
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import ALWAYS, Clause, fold, split
from diagnose.engine.layout import CLOSED
from diagnose.engine.rule import Fact, Rule
from diagnose.engine.ruleset import MOST_RULES, Ruleset
from diagnose.engine.strata import clause_levels, levels

__all__ = ["Engine", "EngineError", "Firing", "Outcome", "levels"]


@dataclass(frozen=True, slots=True)
class Firing:
    """A rule that fired, and the facts of its first match, in the order of its conditions.

    All those facts were there before its conclusion, so a trace never argues in a circle.
    """

    rule: str
    on: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """All facts at the end, those given included, and each rule that fired, once, in order."""

    facts: frozenset[Fact]
    fired: tuple[Firing, ...]


class Engine:
    """A book of rules, compiled once and run as often as wanted, from the thread that made it."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        """Compile `rules`; raises EngineError for rules that are malformed, can never fire,
        go round in a circle through negation, or are beyond what the library can hold."""
        folded = [fold(rule) for rule in check_rules(rules)]
        self._strata = clause_levels(folded)
        self._clauses = [part for clause in folded for part in split(clause)]
        guarded = {self._strata[clause.rule] for clause in folded if clause.refuses}
        self._gates: list[Fact] = [(CLOSED, str(stratum)) for stratum in sorted(guarded)]
        self._thread = threading.get_ident()
        self._rulesets = self._compile()

    def run(self, facts: Iterable[Fact]) -> Outcome:
        """Everything that follows from `facts`; the same facts in any order give the same outcome.

        Raises EngineError for a fact that is not clean text, for a call from another thread, and
        when the library fails. After any interruption, Ctrl-C included, the next run starts afresh.
        """
        if threading.get_ident() != self._thread:
            raise EngineError("an engine runs only in the thread that made it: make one for each thread")
        given = sorted({check_fact(fact) for fact in facts})
        rulesets, self._rulesets = self._rulesets or self._compile(), []
        outcome = _Run(rulesets, given).outcome(self._gates)
        for ruleset in rulesets:
            ruleset.clear()
        self._rulesets = rulesets                     # only a run that ended well gives them back
        return outcome

    def _compile(self) -> list[Ruleset]:
        return [Ruleset(self._clauses[at:at + MOST_RULES], self._strata)
                for at in range(0, len(self._clauses), MOST_RULES)]


class _Run:
    """One run in progress."""

    def __init__(self, rulesets: list[Ruleset], given: list[Fact]) -> None:
        self._rulesets = rulesets
        self._given = given
        self._known = set(given)
        self._fired: dict[str, Firing] = {}
        self._parts: dict[Fact, tuple[Fact, ...]] = {ALWAYS: ()}

    def outcome(self, gates: list[Fact]) -> Outcome:
        self._settle([ALWAYS, *self._given])
        for gate in gates:
            self._settle([gate])
        return Outcome(frozenset(self._known), tuple(self._fired.values()))

    def _settle(self, facts: list[Fact]) -> None:
        while facts:
            for ruleset in self._rulesets:
                for fact in facts:
                    ruleset.put(fact)
            facts = [clause.then for ruleset in self._rulesets for clause, on in ruleset.firings()
                     if self._new(clause, on)]

    def _new(self, clause: Clause, on: list[Fact]) -> bool:
        """Record a firing; True when its conclusion was not yet known."""
        grounds = tuple(fact for given in on for fact in self._parts.get(given, (given,)))
        if clause.is_part:
            new = clause.then not in self._parts
            self._parts.setdefault(clause.then, grounds)
            return new
        self._fired.setdefault(clause.rule, Firing(clause.rule, grounds))
        new = clause.then not in self._known
        self._known.add(clause.then)
        return new
