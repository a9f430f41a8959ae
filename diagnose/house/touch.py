"""Which cases a change to the book can touch, told without running them.

A rule or caution comes to bear only where its condition can hold, and a condition that
wants something known cannot hold in a case that knows none of it. So every condition is
followed down to the observations and complaints of which a case must have at least one;
a case that has none of them comes out as before, to the last digit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diagnose.kb import condition
from diagnose.kb.book import Book
from diagnose.kb.condition import Every, Known, Node, Not, Some, Test
from diagnose.kb.model import KINDS

FREE = "*"
"""Stands for a condition that may hold where nothing is known: every case is touched."""
WITHOUT_WEIGHT = ("remedies",)
"""Kinds that move neither the ranking nor the cautions of a case."""
FOLLOWED = ("rules", "cautions", "targets", *WITHOUT_WEIGHT)
"""Kinds whose changes are followed; any other change may touch every case."""
Names = frozenset[str]


def complaint(symptom: str) -> str:
    """How a complaint of a symptom is written among the names of a case."""
    return f"complaint {symptom}"


def movers(before: Book, after: Book) -> Names:
    """Names of which a case knows at least one, if its causes or cautions can come out otherwise.

    Observations by their own names, complaints as `complaint` writes them; FREE among them
    where every case may be touched.
    """
    changed = {kind: _changed(before, after, kind) for kind in KINDS}
    if any(changed[kind] for kind in KINDS if kind not in FOLLOWED):
        return frozenset({FREE})
    return frozenset().union(*(_of_book(book, changed) for book in (before, after)))


def _changed(before: Book, after: Book, kind: str) -> Names:
    old, new = getattr(before, kind), getattr(after, kind)
    return frozenset(n for n in {**old, **new} if old.get(n) != new.get(n))


def _of_book(book: Book, changed: dict[str, Names]) -> Names:
    roots = _Roots(book)
    found: set[str] = set()
    for kind in ("rules", "cautions"):
        for name in changed[kind]:
            node = book.conditions.get((kind, name, "when"))
            found |= roots.of(node) if node is not None else frozenset()
    for target in changed["targets"]:
        found |= roots.compared(f"target.{target}")
    return frozenset(found)


class _Roots:
    """For each name of a book, the observations and complaints that it can rest on."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._by_name: dict[str, Names] = {n: frozenset({n}) for n in book.observations}
        growing = True
        while growing:
            growing = False
            for name, supports in self._supports():
                old = self._by_name.get(name, frozenset())
                new = old.union(*supports)
                growing |= new != old
                self._by_name[name] = new

    def of(self, node: Node) -> Names:
        """What a condition needs: one of these at least."""
        match node:
            case Test(name) | Known(name):
                return self._by_name.get(name, frozenset())
            case Not():
                return frozenset({FREE})
            case Every(parts):
                return min(map(self.of, parts), key=lambda names: (FREE in names, len(names)))
            case Some(parts):
                return frozenset().union(*map(self.of, parts))
        raise TypeError(node)

    def _supports(self) -> Iterator[tuple[str, list[Names]]]:
        """Each name that is worked out, with what each way to it rests on."""
        book = self._book
        for name, measure in book.measures.items():
            needs = [n for n in measure.given.values() if not n.startswith("target.")]
            yield name, [self._by_name.get(n, frozenset()) for n in needs] or [frozenset({FREE})]
        for name, finding in book.findings.items():
            yield name, [self.of(book.conditions["findings", name, "values", value, "when"])
                         for value, stated in finding.values.items() if stated.when is not None]
        for symptom, stated in book.symptoms.items():
            for name in stated.finding:
                yield name, [frozenset({complaint(symptom)})]
        for rule, said in book.rules.items():
            for name in said.then:
                yield name, [self.of(book.conditions["rules", rule, "when"])]

    def compared(self, target: str) -> Names:
        """The roots of all that is compared with a target, or worked out from it."""
        names = {test.name for node in self._book.conditions.values() for test in condition.tests(node)
                 if isinstance(test, Test) and any(_is(text, target) for _, text in test.bounds)}
        names |= {name for name, measure in self._book.measures.items()
                  if any(_is(source, target) for source in measure.given.values())}
        return frozenset().union(*(self._by_name.get(n, frozenset()) for n in names))


def _is(text: str, target: str) -> bool:
    return text == target or text.startswith(f"{target}.")


def causes(before: Book, after: Book) -> Names:
    """The causes that a change speaks of: weighed, mended or stated by what is changed."""
    found: set[str] = set(_changed(before, after, "causes"))
    rules, remedies = (_changed(before, after, kind) for kind in ("rules", "remedies"))
    for book in (before, after):
        found |= {c for r in rules & book.rules.keys() for c in book.rules[r].weigh}
        found |= {n for n, c in book.causes.items() if any(r.remedy in remedies for r in c.remedies)}
    return frozenset(found)


def near(book: Book, symptoms: Iterable[str], spoken_of: Names) -> int:
    """How many of these causes show as one of the symptoms."""
    said = set(symptoms)
    return sum(not said.isdisjoint(book.causes[c].shows) for c in spoken_of & book.causes.keys())
