"""The one module that calls durable-rules.

Its C module is used directly: errors and Ctrl-C surface where they happen. One handle, one
session; facts are known by numbers of our own, because the library tells facts apart by a 32-bit
hash of their content; everything is taken back after a run, last in first out. What a ruleset holds
is given back with it: the library frees nothing unasked.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

import durable_rules_engine as library
import msgspec

from diagnose.engine.checks import shown
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import ALWAYS, FoldedTest, RuleClause
from diagnose.engine.layout import ALIASES, Layout
from diagnose.engine.rule import Fact

MOST_RULES = 4000
"""Clauses in one ruleset; the library takes 4,096."""
MOST_HELD = 100_000
"""Facts held at once; the numbers below this are known not to collide in the library's hash."""

FEW = 12
"""Clauses waiting for one name up to which any value wakes them all: where one value is looked at, others
will be, and what is compiled apart costs as much as four clauses."""
MOST_APART = 32
"""Rulesets after which all that still sleeps is compiled as one more: an engine in long use needs it all."""
_ANYWAY = FoldedTest(ALWAYS[0], None)

TAKEN, NOT_MENTIONED = 0, 1
SESSION = "0"
"""The library's name for the session of facts that name none."""


class Matched(msgspec.Struct):
    """A fact in the library's account of a match; all but its number is left out."""

    id: int


read_match = msgspec.json.Decoder(dict[str, dict[str, Matched]]).decode


class Ruleset:
    """Some clauses compiled, and the facts they hold at present."""

    def __init__(self, clauses: Mapping[int, RuleClause], strata: dict[str, int]) -> None:
        """Compile `clauses`, each under its number; raises EngineError for what the library cannot hold."""
        self._clauses = clauses
        self._layout = Layout(clauses, strata)
        self._held: list[Fact] = []
        self._state: int | None = None
        self._fired = False
        """Whether a rule ever did: before that the library crashes where its session is to be freed."""
        self._handle: int | None = None
        self._handle = _call(library.create_ruleset, "book", self._layout.definition)

    @property
    def names(self) -> Iterable[str]:
        """The names that its clauses test."""
        return self._layout.names

    def put(self, fact: Fact) -> None:
        """Add a fact; one that no clause tests is passed over."""
        for place in self._layout.places(fact):
            number = len(self._held)
            if number >= MOST_HELD:
                raise EngineError(f"more than {MOST_HELD} facts at once: ask about less at a time")
            self._held.append(fact)                       # and held it stays where the call fails
            code, state = _call(library.assert_fact, self._handle, f'{{"id":{number},{place}')
            if code == TAKEN:
                self._state = state
                continue
            self._held.pop()
            if code != NOT_MENTIONED:
                raise EngineError(f"the rule library did not take {shown(fact)} (code {code})")

    def firings(self) -> Iterator[tuple[int, list[Fact]]]:
        """The number of every clause that the facts put since the last call made fire, with the facts."""
        if self._state is None:
            return
        state, self._state = self._state, None
        started = _call(library.start_action_for_state, self._handle, state)
        message = started and started[1]
        while message:
            self._fired = True
            (name, match), = read_match(message).items()
            number = int(name)
            wants = len(self._clauses[number].wants)
            yield number, [self._held[match[alias].id] for alias in ALIASES[:wants]]
            message = _call(library.complete_and_start_action, self._handle, state)

    def clear(self) -> None:
        """Take every fact back, so that gates go before what they guard."""
        while self._held:
            _call(library.retract_fact, self._handle, f'{{"id":{len(self._held) - 1}}}')
            self._held.pop()

    def __del__(self) -> None:
        """Give the memory back; not that of a run that failed, nor at the end of the process."""
        if self._handle is None or self._held or sys.is_finalizing():
            return
        if self._fired:
            library.delete_state(self._handle, SESSION)
        library.delete_ruleset(self._handle)


class CompiledClauses:
    """All clauses of an engine, each compiled when a fact first meets what fewest others of it ask for.

    A case knows a few dozen names. A rule that cannot fire costs the library as much as one that can: the
    time to compile it, and some 45 kB. So a clause sleeps until a fact meets one test of it, a test on the
    name that is tested least, and all that wake together are compiled together.
    """

    def __init__(self, clauses: Sequence[RuleClause], strata: dict[str, int]) -> None:
        self._clauses, self._strata = clauses, strata
        self._rulesets: list[Ruleset] = []
        self._testing: dict[str, list[Ruleset]] = defaultdict(list)
        """Name to the rulesets that test it."""
        self._asleep: dict[str, list[tuple[FoldedTest, int]]] = defaultdict(list)
        """Name to the tests that wake a clause."""
        self._held: list[Fact] = []
        used = Counter(test.name for clause in clauses for test in clause.wants)
        for number, clause in enumerate(clauses):
            by = min(clause.wants, key=lambda test: (used[test.name], test.name), default=_ANYWAY)
            self._asleep[by.name].append((by, number))

    def put(self, facts: Sequence[Fact]) -> None:
        """Add facts; what they wake sees those that were there before as well."""
        woken = sorted({number for fact in facts for number in self._woken(fact)})
        if woken and len(self._rulesets) >= MOST_APART:
            woken = sorted([*woken, *(number for waiting in self._asleep.values() for _, number in waiting)])
            self._asleep.clear()
        for at in range(0, len(woken), MOST_RULES):
            self._compile(woken[at:at + MOST_RULES])
        for fact in facts:
            self._held.append(fact)
            for ruleset in self._testing.get(fact[0], ()):
                ruleset.put(fact)

    def firings(self) -> list[tuple[RuleClause, list[Fact]]]:
        """Every clause that the facts put since the last call made fire, with the facts it fired on.

        In the order of the clauses, so that nothing hangs on which were compiled together.
        """
        found = [firing for ruleset in self._rulesets for firing in ruleset.firings()]
        found.sort(key=lambda firing: firing[0])
        return [(self._clauses[number], on) for number, on in found]

    def clear(self) -> None:
        """Take every fact back."""
        for ruleset in self._rulesets:
            ruleset.clear()
        self._held.clear()

    def _woken(self, fact: Fact) -> list[int]:
        """The clauses that a fact wakes; they sleep no more."""
        name, value = fact
        waiting = self._asleep.get(name)
        if not waiting:
            return []
        few = len(waiting) <= FEW
        woken = [number for test, number in waiting if few or test.admits(value)]
        if woken:
            self._asleep[name] = [] if few else [one for one in waiting if not one[0].admits(value)]
        return woken

    def _compile(self, numbers: Sequence[int]) -> None:
        ruleset = Ruleset({number: self._clauses[number] for number in numbers}, self._strata)
        self._rulesets.append(ruleset)
        for name in ruleset.names:
            self._testing[name].append(ruleset)
        for fact in self._held:
            ruleset.put(fact)


def _call(function: Callable[..., Any], *arguments: object) -> Any:
    """Call the library, and say its errors as ours."""
    try:
        return function(*arguments)
    except library.error as error:
        raise EngineError(f"the rule library failed: {error}") from error
