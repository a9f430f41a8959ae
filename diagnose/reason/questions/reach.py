"""Which questions bear on which causes: conditions followed down to what can be answered."""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.reason import weights


class Reach:
    """The observations and measures that the evidence of each cause rests on."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._below = self._edges()
        self.leaves = lru_cache(maxsize=None)(self._leaves)
        self.cause = {name: self._cause(name) for name in book.causes}
        self._by_rules()
        """Cause to leaf to the weightiest decibans resting on it."""
        self.inputs = {name: self._inputs(name) for name in book.measures}
        """Measure to the observations it is worked out from."""

    def _edges(self) -> dict[str, set[str]]:
        below: dict[str, set[str]] = defaultdict(set)
        for path, node in self.book.conditions.items():
            if path[0] == "findings":
                below[path[1]] |= conditions.names(node)
            elif path[0] == "rules":
                for finding in self.book.rules[path[1]].then:
                    below[finding] |= conditions.names(node)
        return below

    def _leaves(self, name: str) -> frozenset[str]:
        seen, stack, found = set(), [name], set()
        while stack:
            at = stack.pop()
            if at in seen:
                continue
            seen.add(at)
            if at in self.book.findings:
                stack += self._below[at]
            else:
                found.add(at)
        return frozenset(found)

    def _cause(self, name: str) -> dict[str, float]:
        stated = self.book.causes[name]
        found: dict[str, float] = {}
        for i, evidence in enumerate(stated.evidence):
            node = self.book.conditions["causes", name, "evidence", str(i), "when"]
            weight = abs(weights.decibans(evidence.weight))
            self._note(found, node, weight)
        if stated.requires is not None:
            node = self.book.conditions["causes", name, "requires"]
            self._note(found, node, weights.GRADES["decisive"])
        return found

    def _by_rules(self) -> None:
        """Rules by themselves can weigh on causes, too."""
        for name, rule in self.book.rules.items():
            for cause, grade in rule.weigh.items():
                self._note(self.cause[cause], self.book.conditions["rules", name, "when"],
                           abs(weights.decibans(grade)))

    def _note(self, found: dict[str, float], node: conditions.Node, weight: float) -> None:
        for at in conditions.names(node):
            for leaf in self.leaves(at):
                found[leaf] = max(found.get(leaf, 0.0), weight)

    def _inputs(self, measure: str) -> frozenset[str]:
        found: set[str] = set()
        stack = list(self.book.measures[measure].given.values())
        while stack:
            source = stack.pop()
            if source in self.book.measures:
                stack += self.book.measures[source].given.values()
            elif source in self.book.observations:
                found.add(source)
        return frozenset(found)
