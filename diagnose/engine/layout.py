"""Where each test of a book stands in the library, within its limits.

Text never reaches the library: every name stands there under one or more *keys*, every value
under a number. A fact is put in once for each key of its name. A key has room for as many tests
as the library can count; when it is full the name gets another, so a test that thousands of rules
share, or a name tested in hundreds of ways, only costs a few more facts. Keys are dealt into
buckets, because one place in the library's tree branches at most 511 ways.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from diagnose.engine.checks import shown
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import MOST_JOINED, FoldedTest, RuleClause
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

ALIASES = [f"p{i}" for i in range(MOST_JOINED + 1)]
"""What the library calls the positive conditions of a rule."""

CLOSED = "\0closed"


def gate(stratum: int, name: str) -> Fact:
    """The fact that says, to the rules about `name`, that everything below `stratum` is settled.

    Gates go by name so that a run opens only those whose rules could fire: opening one costs as
    much as all the rules behind it.
    """
    return CLOSED, f"{stratum} {name}"


def gated_name(clause: RuleClause) -> str:
    """The name whose gate guards a clause with negations: one it wants, or none at all."""
    return clause.wants[-1].name if clause.wants else ""


def fits(clauses: Iterable[RuleClause]) -> None:
    """Raise EngineError for more names than there are keys, and a test too large for a key of its own."""
    names: set[str] = set()
    for clause in clauses:
        for test in (*clause.wants, *clause.refuses):
            names.add(test.name)
            if len(_mentioned(test)) > MOST_VALUES:
                raise EngineError(f"a condition on {shown(test.name)} lists more than {MOST_VALUES} values: "
                                  "conclude a fact from them in several rules, and test that")
    if len(names) > MOST_KEYS:
        raise _too_many()


def _too_many() -> EngineError:
    return EngineError(f"the rules speak of more than {MOST_KEYS} names: split the book")


def _mentioned(test: FoldedTest) -> frozenset[str]:
    return test.barred if test.among is None else test.among


@dataclass(slots=True)
class Key:
    """One place where facts of a name are tested."""

    number: int
    room: int
    sharing: dict[FoldedTest, int] = field(default_factory=dict)
    values: set[str] = field(default_factory=set)
    open: bool = False
    """Whether a value that no test mentions can meet a test here."""

    def take(self, test: FoldedTest) -> bool:
        """Make room for one more use of `test`; False when there is none."""
        alone = test.among is not None and len(test.among) > 1     # the library never shares an "or"
        used = 0 if alone else self.sharing.get(test, 0)
        mentioned = _mentioned(test)
        if used >= MOST_SHARING or (not used and not self.room) or len(self.values | mentioned) > MOST_VALUES:
            return False
        self.room -= not used
        self.sharing[test] = used + 1
        self.values |= mentioned
        self.open |= test.among is None
        return True


class Layout:
    """Keys and numbers for the clauses of one ruleset, and its definition for the library."""

    def __init__(self, clauses: Mapping[int, RuleClause], strata: dict[str, int]) -> None:
        """Lay out `clauses`, each under its number; raises EngineError for more names than there is room for.

        Tests are of a size that `fits`.
        """
        self._keys: dict[str, list[Key]] = defaultdict(list)
        self._roomy: dict[FoldedTest, Key] = {}
        self._numbers: dict[str, int] = {}
        self._texts: dict[FoldedTest, str] = {}
        self._count = 0
        rules = [f'"{i}":{{"all":[{",".join(self._conditions(clause, strata))}]}}'
                 for i, clause in clauses.items()]
        self.definition = f'{{{",".join(rules)}}}'
        self._tails = {(name, value): self._tails_of(name, value)
                       for name, keys in self._keys.items() for key in keys for value in key.values}
        self._open = {name: self._tails_of(name, None) for name in self._keys}

    @property
    def names(self) -> Iterable[str]:
        """The names that are tested."""
        return self._keys.keys()

    def places(self, fact: Fact) -> Sequence[str]:
        """The attributes of `fact`, as JSON without the opening brace, for each key that tests it."""
        return self._tails.get(fact) or self._open.get(fact[0], ())

    def _conditions(self, clause: RuleClause, strata: dict[str, int]) -> list[str]:
        """The conditions of a clause as JSON: what it wants, the gate, what it refuses."""
        wants = [f'{{"{alias}":{self._condition(test)}}}'
                 for alias, test in zip(ALIASES, clause.wants, strict=False)]
        if not clause.refuses:
            return wants
        name, value = gate(strata[clause.rule], gated_name(clause))
        closed = f'{{"g":{self._condition(FoldedTest(name, frozenset({value})))}}}'
        refuses = [f'{{"n{i}$not":{self._condition(test)}}}' for i, test in enumerate(clause.refuses)]
        return [*wants, closed, *refuses]

    def _condition(self, test: FoldedTest) -> str:
        key = self._place(test)
        return f'{{"$and":[{{"g":{key.number % BUCKETS}}},{{"k":{key.number}}}{self._on_value(test)}]}}'

    def _on_value(self, test: FoldedTest) -> str:
        """The part of a condition that looks at the value, the same for every key."""
        text = self._texts.get(test)
        if text is None:
            if test.among is None:
                text = "".join(f',{{"$neq":{{"v":{number}}}}}' for number in self._number(test.barred))
            else:
                either = ",".join(f'{{"v":{number}}}' for number in self._number(test.among))
                text = f",{either}" if len(test.among) == 1 else f',{{"$or":[{either}]}}'
            self._texts[test] = text
        return text

    def _number(self, values: Iterable[str]) -> list[int]:
        """Numbers from 1; 0 is any value that no test mentions."""
        return [self._numbers.setdefault(value, len(self._numbers) + 1) for value in sorted(values)]

    def _place(self, test: FoldedTest) -> Key:
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

    def _new_key(self, test: FoldedTest) -> Key:
        if self._count == MOST_KEYS:
            raise _too_many()
        key = Key(self._count, MOST_TESTS)
        self._count += 1
        self._keys[test.name].append(key)
        key.take(test)
        return key

    def _tails_of(self, name: str, value: str | None) -> tuple[str, ...]:
        number = self._numbers[value] if value is not None else 0
        return tuple(f'"g":{key.number % BUCKETS},"k":{key.number},"v":{number}}}'
                     for key in self._keys[name] if key.open or value in key.values)
