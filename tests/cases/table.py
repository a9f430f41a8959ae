"""The coverage table: what each chapter holds, and how its worked cases come out.

    python -m tests.cases.table                      all cases of the book but those kept aside
    python -m tests.cases.table --held-out FILE...   these files apart, after the others
    python -m tests.cases.table --misses             write the list of known misses anew

Every case is judged twice: with all its answers given at once ("told"), and as a consult that
asks ("asked"): the symptoms read confirmed unless the facts deny them (where none is left, one that
the facts bear out is picked), each question answered from the case's facts and with "don't know"
where they do not say. The consult is judged at its first step that is no question.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from diagnose.book.book import Book
from diagnose.book.with_house import load
from diagnose.errors import UserError
from diagnose.reason.system import System
from tests.bench import calibration
from tests.cases import figures, misses
from tests.cases.consulted import Consulted, consult
from tests.cases.judge import Verdict, Worked, collection, judge

COUNTED = ("symptoms", "causes", "findings", "observations", "remedies", "cautions")
KINDS = ("single", "two-fault", "misleading", "dont-know", "wrong-answer", "normal", "hazard")
LEGEND = """\
top-1: the (chief) fault stands first. top-3: it is among the first three; of two faults, both are
among them or named as companions. fix: the first fix is a right one. warned: every caution that
the case names is shown. stops: it stops where it should, and only there. put: questions asked, mean."""


@dataclass(frozen=True)
class Judged:
    """A case with both ways of working it out."""

    one: Worked
    told: Verdict
    asked: Consulted | None


def judged(system: System, cases: list[Worked], interview: bool) -> list[Judged]:
    """Work the cases out, saying on stderr how far it is."""
    found = []
    for i, one in enumerate(cases, 1):
        found.append(Judged(one, judge(system, one), consult(system, one) if interview else None))
        if sys.stderr.isatty():
            print(f"\r{i} of {len(cases)}", end="" if i < len(cases) else "\n", file=sys.stderr)
    return found


def contents(book: Book) -> Iterator[str]:
    """What each chapter holds."""
    held: dict[str, list[int]] = {}
    for at, kind in enumerate(COUNTED):
        for name in getattr(book, kind):
            row = held.setdefault(figures.chapter_of(book, kind, name), [0] * len(COUNTED))
            row[at] += 1
    yield _cells("chapter", COUNTED)
    for chapter in sorted(held):
        yield _cells(chapter, held[chapter])
    yield _cells("all", [sum(column) for column in zip(*held.values(), strict=True)])


def outcomes(found: list[Judged], title: str, group: Callable[[Judged], str],
             order: tuple[str, ...] = ()) -> Iterator[str]:
    """How the cases come out, by group: told all at once, then asked."""
    groups: dict[str, list[Judged]] = {name: [] for name in order}
    for one in found:
        groups.setdefault(group(one), []).append(one)
    yield _cells("", ("", "told:", "", "", "", "", "asked:"))
    yield _cells(title, ("cases", *("top-1", "top-3", "fix", "warned", "stops") * 2, "put"))
    for name in order or sorted(groups):
        if groups[name]:
            yield _cells(name, _outcome(groups[name]))
    yield _cells("all", _outcome(found))


def _outcome(found: list[Judged]) -> list[object]:
    cases = [j.one for j in found]
    consults = [j.asked for j in found if j.asked]
    told = figures.rates([j.told for j in found], cases)
    cells: list[object] = [told.cases, *_rates(told)]
    if consults:
        cells += _rates(figures.rates([c.verdict for c in consults], cases))
        cells.append(f"{figures.asked(consults).mean:.1f}")
    return cells


def _rates(found: figures.Rates) -> list[figures.Share]:
    return [found.first, found.near, found.fix, found.cautions, found.stops]


def _cells(title: str, cells: object) -> str:
    width = max(map(len, COUNTED)) + 1 if cells is COUNTED else 8
    return f"{title:13}" + "".join(f"{cell!s:>{width}}" for cell in cells)  # type: ignore[attr-defined]  # rows and tuples alike


def consults(found: list[Judged]) -> Iterator[str]:
    """What was asked."""
    taken = [j.asked for j in found if j.asked]
    if not taken:
        return
    figure = figures.asked(taken)
    yield (f"questions to the first step: mean {figure.mean:.1f}, median {figure.median:g}, "
           f"{figure.minutes:.1f} minutes; not answered by the case's facts: {figure.unanswered}")
    placed = figure.placed
    yield (f"complaints placed: {placed.get('read', 0)} read and confirmed, {placed.get('picked', 0)} "
           f"picked from the list, {placed.get('', 0)} not at all")
    yield "first step: " + ", ".join(f"{name} {count}" for name, count in sorted(figure.ends.items()))


def page(book: Book, found: list[Judged], title: str) -> Iterator[str]:
    """All about one set of cases."""
    yield f"{title}: {len(found)} cases"
    yield ""
    yield from outcomes(found, "chapter", lambda j: figures.chapter(book, j.one))
    yield ""
    yield from outcomes(found, "kind", lambda j: j.one.file.kind or "-",
                        (*KINDS, *sorted({j.one.file.kind or "-" for j in found} - set(KINDS))))
    yield ""
    yield from consults(found)
    yield "\ntold: " + calibration.told(calibration.forecasts(j.told for j in found))
    asked = [j.asked.verdict for j in found if j.asked]
    if asked:
        yield "\nasked: " + calibration.told(calibration.forecasts(asked))


def write_misses(system: System) -> str:
    """Write the list of misses anew; returns what became of it."""
    old = misses.read()
    verdicts = {one.id: judge(system, one) for one in collection()}
    misses.FILE.write_text(misses.written(verdicts, old))
    now = {name: short for name, v in verdicts.items() if (short := misses.missed(v))}
    difference = misses.held(old, now)
    lines = [f"missed now: {name}: {what}" for name, what in difference.new]
    lines += [f"mended: {name}: {what}" for name, what in difference.mended]
    return "\n".join((*lines, misses.totals(verdicts.values()).removeprefix("# ").rstrip()))


def main() -> int:
    """Print the tables, or write the list of misses."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--held-out", type=Path, nargs="+", default=[], metavar="FILE",
                        help="case files kept apart, shown after the book's own")
    parser.add_argument("--misses", action="store_true", help="write the list of known misses anew")
    parser.add_argument("--told", action="store_true", help="only with all answers given: quick")
    args = parser.parse_args()
    book = load([]).book
    system = System(book)
    if args.misses:
        print(write_misses(system))
        return 0
    sets = [("The book's cases", collection())]
    try:
        sets += [("Held out", collection(args.held_out))] if args.held_out else []
    except UserError as error:
        print(error, file=sys.stderr)
        return 2
    print("\n".join((*contents(book), "", LEGEND)))
    for title, cases in sets:
        print("", *page(book, judged(system, cases, not args.told), title), sep="\n", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
