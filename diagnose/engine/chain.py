"""Forward chaining: from facts to everything that follows from them, with the trace.

Every run starts from nothing and leaves nothing behind, so a changed answer is just another run.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable

import msgspec

from diagnose.engine.checks import check_fact, check_rules
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import ALWAYS, RuleClause, fold, split
from diagnose.engine.layout import fits, gate, gated_name
from diagnose.engine.rule import EngineRule, Fact
from diagnose.engine.ruleset import CompiledClauses
from diagnose.engine.strata import clause_levels, levels

__all__ = ["Engine", "EngineError", "Firing", "RunResult", "levels"]

FactGates = dict[int, dict[str, Fact]]
"""For each stratum, lowest first, its gates by the name each is for."""


class Firing(msgspec.Struct, frozen=True):
    """A rule that fired, and the facts of its first match, in the order of its conditions.

    All those facts were there before its conclusion, so a trace never argues in a circle.
    """

    rule: str
    on: tuple[Fact, ...]


class RunResult(msgspec.Struct, frozen=True):
    """All facts at the end, those given included, and each rule that fired, once, in order."""

    facts: frozenset[Fact]
    fired: tuple[Firing, ...]


class Engine:
    """A book of rules, compiled once and run as often as wanted, from the thread that made it."""

    def __init__(self, rules: Iterable[EngineRule]) -> None:
        """Compile `rules`; raises EngineError for rules that are malformed, can never fire,
        go round in a circle through negation, or are beyond what the library can hold."""
        folded = [fold(rule) for rule in check_rules(rules)]
        self._strata = clause_levels(folded)
        self._clauses = [part for clause in folded for part in split(clause)]
        self._gates = _gates(self._clauses, self._strata)
        fits(self._clauses)
        self._thread = threading.get_ident()
        self._parts: CompiledClauses | None = CompiledClauses(self._clauses, self._strata)

    def run(self, facts: Iterable[Fact]) -> RunResult:
        """Everything that follows from `facts`; the same facts in any order give the same outcome.

        Raises EngineError for a fact that is not clean text, for a call from another thread, and
        when the library fails. After any interruption, Ctrl-C included, the next run starts afresh.
        """
        if threading.get_ident() != self._thread:
            raise EngineError("an engine runs only in the thread that made it: make one for each thread")
        given = sorted({check_fact(fact) for fact in facts})
        parts, self._parts = self._parts or CompiledClauses(self._clauses, self._strata), None
        outcome = _Run(parts, self._gates, given).outcome()
        parts.clear()
        self._parts = parts                           # only a run that ended well gives them back
        return outcome


def _gates(clauses: Iterable[RuleClause], strata: dict[str, int]) -> FactGates:
    """The gates of all clauses with negations."""
    gates: FactGates = {stratum: {} for stratum in sorted(set(strata.values()))}
    for clause in clauses:
        if clause.refuses:
            stratum, name = strata[clause.rule], gated_name(clause)
            gates[stratum][name] = gate(stratum, name)
    return gates


class _Run:
    """One run in progress."""

    def __init__(self, parts: CompiledClauses, gates: FactGates, given: list[Fact]) -> None:
        self._book = parts
        self._gates = gates
        self._settled: list[dict[str, Fact]] = []
        """Gates of the strata reached so far."""
        self._names = {"", *(name for name, _ in given)}
        self._given = given
        self._known = set(given)
        self._fired: dict[str, Firing] = {}
        self._parts: dict[Fact, tuple[Fact, ...]] = {ALWAYS: ()}

    def outcome(self) -> RunResult:
        self._settle([ALWAYS, *self._given])
        for gates in self._gates.values():
            self._settled.append(gates)
            self._settle([gates[name] for name in sorted(self._names & gates.keys())])
        return RunResult(frozenset(self._known), tuple(self._fired.values()))

    def _settle(self, facts: list[Fact]) -> None:
        while facts:
            self._book.put(facts)
            facts = [clause.then for clause, on in self._book.firings() if self._new(clause, on)]
            facts += self._opened_by(facts)

    def _opened_by(self, facts: list[Fact]) -> list[Fact]:
        """The gates, in strata reached already, of names that nothing was known of before."""
        names = dict.fromkeys(name for name, _ in facts if name not in self._names)
        self._names.update(names)
        return [gates[name] for gates in self._settled for name in names if name in gates]

    def _new(self, clause: RuleClause, on: list[Fact]) -> bool:
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
