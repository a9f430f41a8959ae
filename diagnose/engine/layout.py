"""Where each test of a book stands in the library, within its limits.

Text never reaches the library: every name stands there under one or more *keys*, every value
under a number. A fact is put in once for each key of its name. A key has room for as many tests
as the library can count; when it is full the name gets another, so a test that thousands of rules
share, or a name tested in hundreds of ways, only costs a few more facts. Keys are dealt into
buckets, because one place in the library's tree branches at most 511 ways.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from diagnose.engine.errors import EngineError
from diagnose.engine.fold import Clause, Test
from diagnose.engine.rule import Fact

BUCKETS = 64
MOST_KEYS = BUCKETS * 500
"""The library branches 511 ways; at the 513th it hangs."""
MOST_SHARING = 240
"""Joins on one identical test; at 256 the library crashes."""
MOST_TESTS = 56
"""Tests one fact may meet at once; at 65 the library refuses the fact, half done."""
MOST_VALUES = 480
"""Distinct values tested on one key (511 branches again)."""

CLOSED = "\0closed"
"""Name of the gates: the fact (CLOSED, "2") says that everything below stratum 2 is settled."""


@dataclass(slots=True)
class Key:
    """One place where facts of a name are tested."""

    number: int
    room: int = MOST_TESTS
    sharing: dict[Test, int] = field(default_factory=dict)
    values: set[str] = field(default_factory=set)
    open: bool = False
    """Whether a value that no test mentions can meet a test here."""

    def take(self, test: Test) -> bool:
        """Make room for one more use of `test`; False when there is none."""
        alone = test.among is not None and len(test.among) > 1     # the library never shares an "or"
        used = 0 if alone else self.sharing.get(test, 0)
        mentioned = test.barred if test.among is None else test.among
        if used >= MOST_SHARING or (not used and not self.room) or len(self.values | mentioned) > MOST_VALUES:
            return False
        self.room -= not used
        self.sharing[test] = used + 1
        self.values |= mentioned
        self.open |= test.among is None
        return True


class Layout:
    """Keys and numbers for the clauses of one ruleset, and its definition for the library."""

    def __init__(self, clauses: Sequence[Clause], strata: dict[str, int]) -> None:
        """Lay out `clauses`; raises EngineError for what would not fit."""
        self._keys: dict[str, list[Key]] = defaultdict(list)
        self._roomy: dict[Test, Key] = {}
        self._numbers: dict[str, int] = {}
        self._count = 0
        rules = {str(i): {"all": self._conditions(clause, strata)} for i, clause in enumerate(clauses)}
        self.definition = json.dumps(rules)
        self._tails = {(name, value): self._tails_of(name, value)
                       for name, keys in self._keys.items() for key in keys for value in key.values}
        self._open = {name: self._tails_of(name, None) for name in self._keys}

    def places(self, fact: Fact) -> Sequence[str]:
        """The attributes of `fact`, as JSON without the opening brace, for each key that tests it."""
        return self._tails.get(fact) or self._open.get(fact[0], ())

    def _conditions(self, clause: Clause, strata: dict[str, int]) -> list[dict]:
        wants = [{f"p{i}": self._condition(test)} for i, test in enumerate(clause.wants)]
        if not clause.refuses:
            return wants
        gate = Test(CLOSED, frozenset({str(strata[clause.rule])}))
        refuses = [{f"n{i}$not": self._condition(test)} for i, test in enumerate(clause.refuses)]
        return [*wants, {"g": self._condition(gate)}, *refuses]

    def _condition(self, test: Test) -> dict:
        key = self._place(test)
        terms: list[dict] = [{"g": key.number % BUCKETS}, {"k": key.number}]
        if test.among is None:
            terms += [{"$neq": {"v": v}} for v in self._number(test.barred)]
        elif len(test.among) == 1:
            terms += [{"v": v} for v in self._number(test.among)]
        else:
            terms.append({"$or": [{"v": v} for v in self._number(test.among)]})
        return {"$and": terms}

    def _number(self, values: Iterable[str]) -> list[int]:
        """Numbers from 1; 0 is any value that no test mentions."""
        return [self._numbers.setdefault(value, len(self._numbers) + 1) for value in sorted(values)]

    def _place(self, test: Test) -> Key:
        last = self._roomy.get(test)
        if last and last.take(test):
            return last
        for key in self._keys[test.name]:
            if test not in key.sharing and key.take(test):
                break
        else:
            key = self._new_key(test)
        self._roomy[test] = key
        return key

    def _new_key(self, test: Test) -> Key:
        if self._count == MOST_KEYS:
            raise EngineError(f"the rules speak of more than {MOST_KEYS} names: split the book")
        key = Key(self._count)
        self._count += 1
        self._keys[test.name].append(key)
        if not key.take(test):
            raise EngineError(f"a condition on {test.name!r} lists more than {MOST_VALUES} values: "
                              "conclude a fact from them in several rules, and test that")
        return key

    def _tails_of(self, name: str, value: str | None) -> tuple[str, ...]:
        number = self._numbers[value] if value is not None else 0
        return tuple(f'"g":{key.number % BUCKETS},"k":{key.number},"v":{number}}}'
                     for key in self._keys[name] if key.open or value in key.values)
