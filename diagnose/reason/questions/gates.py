"""Questions that make sense after certain answers only, where that answer can't be given."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from typing import Any

from diagnose.book import conditions
from diagnose.book.book import Book

APPLIES = 0.5
"""The share of homes for which a question must make sense to be asked of one that can't tell."""


class Gates:
    """Which questions hang on which answers, and how common those are."""

    def __init__(self, book: Book, answers: Callable[[str], tuple[tuple[Any, float], ...]]) -> None:
        self._behind: dict[str, set[str]] = {}
        for name in book.observations:
            node = book.conditions.get(("observations", name, "requires"))
            for test in wanted(node):
                shares = dict(answers(test.name)) if test.name in book.observations else {}
                if shares and test.words and sum(shares.get(w, 0.0) for w in test.words) < APPLIES:
                    self._behind.setdefault(test.name, set()).add(name)

    def after(self, unknown: Collection[str]) -> frozenset[str]:
        """The questions that most likely make no sense, as these can't be answered."""
        return frozenset(name for gate in unknown for name in self._behind.get(gate, ()))


def wanted(node: conditions.Node | None) -> Iterator[conditions.Test]:
    """What a requirement wants to hold; what it only rules out is no reason to ask first."""
    if isinstance(node, conditions.Test):
        yield node
    elif isinstance(node, conditions.Every):
        for part in node.parts:
            yield from wanted(part)
