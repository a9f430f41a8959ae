"""The one module that calls durable-rules.

Its C module is used directly: errors and Ctrl-C surface where they happen. One handle, one
session; facts are known by numbers of our own, because the library tells facts apart by a 32-bit
hash of their content; everything is taken back after a run, last in first out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

import durable_rules_engine as library
import msgspec

from diagnose.engine.checks import shown
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import Clause
from diagnose.engine.layout import ALIASES, Layout
from diagnose.engine.rule import Fact

MOST_RULES = 4000
"""Clauses in one ruleset; the library takes 4,096."""
MOST_HELD = 100_000
"""Facts held at once; the numbers below this are known not to collide in the library's hash."""

TAKEN, NOT_MENTIONED = 0, 1


class Matched(msgspec.Struct):
    """A fact in the library's account of a match; all but its number is left out."""

    id: int


read_match = msgspec.json.Decoder(dict[str, dict[str, Matched]]).decode


class Ruleset:
    """Some clauses compiled, and the facts they hold at present."""

    def __init__(self, clauses: Mapping[int, Clause], strata: dict[str, int]) -> None:
        """Compile `clauses`, each under its number; raises EngineError for what the library cannot hold."""
        self._clauses = clauses
        self._layout = Layout(clauses, strata)
        self._held: list[Fact] = []
        self._state: int | None = None
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
            code, state = _call(library.assert_fact, self._handle, f'{{"id":{number},{place}')
            if code == TAKEN:
                self._held.append(fact)
                self._state = state
            elif code != NOT_MENTIONED:
                raise EngineError(f"the rule library did not take {shown(fact)} (code {code})")

    def firings(self) -> Iterator[tuple[int, list[Fact]]]:
        """The number of every clause that the facts put since the last call made fire, with the facts."""
        if self._state is None:
            return
        state, self._state = self._state, None
        started = _call(library.start_action_for_state, self._handle, state)
        message = started and started[1]
        while message:
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


def _call(function: Callable[..., Any], *arguments: object) -> Any:
    """Call the library, and say its errors as ours."""
    try:
        return function(*arguments)
    except library.error as error:
        raise EngineError(f"the rule library failed: {error}") from error
