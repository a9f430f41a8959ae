"""The engine with a safeguard taken out, to show that the comparison notices.

Each function changes the engine of its process for good: call it in a process of its own.
"""

from __future__ import annotations

import json

from diagnose.engine import EngineError, chain, ruleset
from diagnose.engine.fold import FoldedTest, RuleClause
from diagnose.engine.layout import Layout
from diagnose.engine.rule import EngineRule
from diagnose.engine.ruleset import Ruleset, library

_conditions = Layout._conditions
_init = Layout.__init__
_call = ruleset._call


def no_fold() -> None:
    """Several conditions of a rule on one name stay apart."""
    def fold(rule: EngineRule) -> RuleClause:
        return RuleClause(rule.name, tuple(FoldedTest(*p) for p in rule.all),
                          tuple(FoldedTest(*p) for p in rule.none), rule.then)
    chain.fold = fold


def no_gate() -> None:
    """Negations look at what has arrived so far."""
    def conditions(self, clause, strata):
        found = _conditions(self, clause, strata)
        return [c for c in found if not clause.wants or not c.startswith('{"g":')]
    Layout._conditions = conditions


def no_order() -> None:
    """Negations come first in a rule."""
    Layout._conditions = lambda self, clause, strata: _conditions(self, clause, strata)[::-1]


def no_retraction() -> None:
    """Facts stay from run to run."""
    Ruleset.clear = lambda self: self._held.clear()


def no_reverse() -> None:
    """Facts are taken back first in first out."""
    def clear(self):
        for number in range(len(self._held)):
            ruleset._call(library.retract_fact, self._handle, f'{{"id":{number}}}')
        self._held.clear()
    Ruleset.clear = clear


def no_distinct() -> None:
    """The library is told that one fact may meet several conditions of a rule."""
    def init(self, clauses, strata):
        _init(self, clauses, strata)
        rules = json.loads(self.definition)
        self.definition = json.dumps({name: rule | {"dist": 0} for name, rule in rules.items()})
    Layout.__init__ = init


def watch() -> None:
    """Not a safeguard: fail when a rule fires while facts are taken back."""
    def call(function, *arguments):
        result = _call(function, *arguments)
        if function is library.retract_fact and library.start_action_for_state(arguments[0], result[1]):
            raise EngineError("a rule fired while facts were taken back")
        return result
    ruleset._call = call


CHANGES = {"fold": no_fold, "gate": no_gate, "order": no_order, "retraction": no_retraction,
           "reverse": no_reverse, "distinct": no_distinct, "watch": watch}
