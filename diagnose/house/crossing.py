"""Which cases a moved target reaches: those with a number that now lies on its other side."""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Iterator, Mapping

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import ConditionError, Test
from diagnose.case.case import Case
from diagnose.reason.system import System

_COMPARE: Mapping[str, Callable[[float, float], bool]] = {
    "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
Bound = tuple[str, str, str]
"""The name compared, the operator, the target."""


class Crossing:
    """Compares a case's numbers with targets as they were and as they would be."""

    def __init__(self, before: System, after: System, targets: Iterable[str]) -> None:
        self._systems = before, after
        moved = [f"target.{name}" for name in targets]
        self._bounds = {bound for system in self._systems for bound in _bounds(system.book, moved)}
        self._made = {name for system in self._systems for name in _made_of(system.book, moved)}

    def touches(self, case: Case) -> bool:
        """Does a comparison come out otherwise, or a number that is compared with something?"""
        if not self._bounds and not self._made:
            return False
        old, new = ({**case.values, **s.reasoner.measurer.measure(case.values, case.today).numbers()}
                    for s in self._systems)
        return (any(old.get(name) != new.get(name) for name in self._made)
                or any(self._crosses(bound, new[bound[0]]) for bound in self._bounds if bound[0] in new))

    def _crosses(self, bound: Bound, number: float) -> bool:
        name, sign, text = bound
        was, now = (_holds(system.book, number, name, sign, text) for system in self._systems)
        return was != now


def _holds(book: Book, number: float, name: str, sign: str, text: str) -> bool | None:
    """How the comparison comes out in a book; None where it does not state that side of the target."""
    try:
        return _COMPARE[sign](number, book.names.threshold(name, text))
    except ConditionError:
        return None


def _bounds(book: Book, targets: Iterable[str]) -> Iterator[Bound]:
    for node in book.conditions.values():
        for test in conditions.tests(node):
            if isinstance(test, Test):
                yield from ((test.name, sign, text) for sign, text in test.bounds
                            if any(_is(text, target) for target in targets))


def _made_of(book: Book, targets: Iterable[str]) -> Iterator[str]:
    """The numbers worked out from a target that some condition looks at, whatever lies between."""
    made: set[str] = set()
    growing = True
    while growing:
        new = {name for name, measure in book.measures.items() if name not in made and any(
            source in made or any(_is(source, target) for target in targets)
            for source in measure.given.values())}
        made |= new
        growing = bool(new)
    yield from (name for name in made if name in book.bands)


def _is(text: str, target: str) -> bool:
    return text == target or text.startswith(f"{target}.")
