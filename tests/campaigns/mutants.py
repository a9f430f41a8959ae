"""One thing in the book changed at a time: do the worked cases notice?

    python -m tests.campaigns.mutants [--each 40] [--seed 1]

A mutant has one grade turned round, one bound moved by a third, one condition asking for another
value, or one caution that is never called for. It is noticed where any worked case comes out
otherwise (causes, fix, cautions, stop), or where the book does not load. Only the cases are judged
that know a name the change speaks of; the others can't differ. What is missed is listed: no case
stands on it.
"""

from __future__ import annotations

import argparse
import random
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

import msgspec

from diagnose.book import conditions
from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.model import Chapter
from diagnose.book.problems import KnowledgeError
from diagnose.book.yaml import loader
from diagnose.book.yaml.loader import LoadedChapter
from diagnose.case.case import Case
from diagnose.case.casefile import build
from diagnose.reason.system import System
from diagnose.storage import paths
from tests.cases.judge import Verdict, Worked, collection, verdict

MOVED = 1.35
_BOUND = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?= )")
Place = tuple[str | int, ...]


class Mutant(NamedTuple):
    """One change: what kind, in which chapter, where, and the new value."""

    kind: str
    chapter: int
    place: Place
    value: Any
    names: frozenset[str]
    """What a case must know one of for the change to matter to it."""

    def __str__(self) -> str:
        return f"{self.kind:10} {'.'.join(map(str, self.place))}: {self.value!r}"


class Judged(NamedTuple):
    """A worked case as it comes out of the sound book."""

    one: Worked
    case: Case
    known: frozenset[str]
    outcome: tuple[Any, ...]


def mutants(book: Book, chapters: Sequence[LoadedChapter]) -> Iterator[Mutant]:
    """Every change there is to make."""
    for number, loaded in enumerate(chapters):
        for kind, name, entry in _entries(msgspec.to_builtins(loaded.chapter)):
            yield from _grades(book, number, kind, name, entry)
            yield from _conditions(book, number, (kind, name), entry)
            if kind == "cautions" and "when" in entry:
                yield Mutant("caution", number, (kind, name, "when"), None, _names(book, entry["when"]))


def _entries(chapter: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for kind in ("observations", "findings", "causes", "remedies", "cautions", "rules"):
        for name, entry in chapter.get(kind, {}).items():
            yield kind, name, entry


def _grades(book: Book, number: int, kind: str, name: str, entry: dict[str, Any]) -> Iterator[Mutant]:
    for i, evidence in enumerate(entry.get("evidence", ()) if kind == "causes" else ()):
        grade, _, side = evidence["weight"].rpartition(" ")
        turned = f"{grade} {'against' if side == 'for' else 'for'}"
        yield Mutant("grade", number, (kind, name, "evidence", i, "weight"), turned,
                     _names(book, evidence["when"]))


def _conditions(book: Book, number: int, at: Place, data: Any) -> Iterator[Mutant]:
    """Each condition below a place, its first test turned."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key == "when" and isinstance(value, dict):
                yield from _tests(book, number, (*at, key), value, _names(book, value))
            else:
                yield from _conditions(book, number, (*at, key), value)
    elif isinstance(data, list | tuple):
        for i, value in enumerate(data):
            yield from _conditions(book, number, (*at, i), value)


def _tests(book: Book, number: int, at: Place, data: Any, names: frozenset[str]) -> Iterator[Mutant]:
    if isinstance(data, list | tuple):
        for i, part in enumerate(data):
            yield from _tests(book, number, (*at, i), part, names)
    for key, value in data.items() if isinstance(data, dict) else ():
        if isinstance(value, str) and (bound := _BOUND.search(value)):
            moved = f"{value[:bound.start()]}{float(bound[0]) * MOVED:g}{value[bound.end():]}"
            yield Mutant("threshold", number, (*at, key), moved, names)
        elif isinstance(value, str) and (others := _others(book, key, value)):
            yield Mutant("condition", number, (*at, key), others[0], names)
        elif not isinstance(value, str):
            yield from _tests(book, number, (*at, key), value, names)


def _others(book: Book, name: str, value: str) -> list[str]:
    """The other values of a name that has words for them."""
    stated = book.observations.get(name)
    found = book.findings.get(name)
    words = list(stated.answers) if stated else list(found.values) if found else []
    words = ["yes", "no"] if stated and stated.kind == "yes_no" else words
    return [word for word in words if word != value] if value in words else []


def _names(book: Book, when: Any) -> frozenset[str]:
    """What a condition speaks of; for a condition of absence, anything."""
    node = conditions.read(when)
    names = conditions.names(node)
    return names if not _absent(when) else frozenset()


def _absent(when: Any) -> bool:
    if isinstance(when, dict):
        return bool({"none", "unknown"} & when.keys()) or any(map(_absent, when.values()))
    return isinstance(when, list | tuple) and any(map(_absent, when))


# Judging.

def outcome(found: Verdict) -> tuple[Any, ...]:
    """What a worked case is judged by."""
    return found.first, found.near, found.fix, found.missing, found.stops


def judged(system: System, cases: Sequence[Worked]) -> list[Judged]:
    """The cases, read once, as they come out now."""
    built = [(one, build(system, one.file, one.tree)) for one in cases]
    return [Judged(one, case, frozenset(name for name, _ in case.inference.facts),
                   outcome(verdict(case, one))) for one, case in built]


def changed(chapters: Sequence[LoadedChapter], mutant: Mutant) -> Book:
    """The book with one thing in it changed; KnowledgeError where it can't be."""
    data = msgspec.to_builtins(chapters[mutant.chapter].chapter)
    *way, last = mutant.place
    at = data
    for key in way:
        at[key] = list(at[key]) if isinstance(at[key], tuple) else at[key]
        at = at[key]
    at[last] = mutant.value
    chapter = msgspec.convert(data, Chapter)
    return build_book([msgspec.structs.replace(loaded, chapter=chapter) if i == mutant.chapter else loaded
                       for i, loaded in enumerate(chapters)])


def noticed(chapters: Sequence[LoadedChapter], mutant: Mutant, cases: Sequence[Judged]) -> str:
    """The case that comes out otherwise, or what refuses the book; empty where nothing does."""
    try:
        system = System(changed(chapters, mutant))
    except KnowledgeError:
        return "the check"
    for one in cases:
        if mutant.names and mutant.names.isdisjoint(one.known):
            continue
        if outcome(verdict(Case(system, one.case.entries, today=one.case.today), one.one)) != one.outcome:
            return one.one.id
    return ""


def campaign(each: int, seed: int, say: Callable[[str], None] = print) -> dict[str, tuple[int, int]]:
    """Of each kind, how many mutants were noticed of how many; every missed one is said."""
    chapters = loader.load(paths.shipped())
    system = System(build_book(chapters))
    cases = judged(system, collection())
    by_kind: dict[str, list[Mutant]] = {}
    for mutant in mutants(system.book, chapters):
        by_kind.setdefault(mutant.kind, []).append(mutant)
    pick, tally = random.Random(seed), {}
    for kind, found in by_kind.items():
        tried = pick.sample(found, min(each, len(found)))
        caught = Counter(noticed(chapters, mutant, cases) or say(f"missed: {mutant}") for mutant in tried)
        tally[kind] = len(tried) - caught[None], len(tried)
        say(f"{kind}: {tally[kind][0]} of {len(tried)} noticed ({len(found)} there are)")
    return tally


def main() -> None:
    """Print what was missed, and the shares."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--each", type=int, default=40, help="mutants of each kind")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    campaign(given.each, given.seed)


if __name__ == "__main__":
    main()
