"""How well complaints are read, against what a person judged their words to say.

`python -m tests.reading.reading_bench` prints the table for the half used in development,
`--end` for the half that is looked at only when all is done, `--cases` the figures over all
worked cases (what is read against what the case answers), `--show` each thing missed or wrong.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from diagnose.book import answers
from diagnose.book.with_house import load
from diagnose.reading.complaint import Understood, understand
from tests.cases.judge import collection

HERE = Path(__file__).parent
TODAY = date(2026, 11, 25)
HALVES = {"develop": HERE / "judged-develop.yaml", "end": HERE / "judged-end.yaml"}


@dataclass(frozen=True)
class Judged:
    """A text, and what its words say."""

    name: str
    text: str
    symptoms: tuple[frozenset[str], ...]
    """What should be ticked; of each set any will do."""
    also: frozenset[str]
    facts: Mapping[str, frozenset[str]]
    fair: Mapping[str, frozenset[str]]


@dataclass
class Count:
    """Right, wrong and missed, with a line on each of the latter."""

    stated: int = 0
    found: int = 0
    offered: int = 0
    """Missed, but among the doubtful ones asked about."""
    claimed: int = 0
    wrong: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    @property
    def recall(self) -> float:
        """The share of what is stated that was read."""
        return self.found / self.stated if self.stated else 1.0

    @property
    def precision(self) -> float:
        """The share of what was read that is right."""
        return 1 - len(self.wrong) / self.claimed if self.claimed else 1.0

    def row(self, name: str) -> str:
        """One line of the table."""
        return (f"{name:<10} {self.stated:>6} {self.recall:>7.0%} {self.offered:>8} "
                f"{self.claimed:>7} {self.precision:>10.0%} {len(self.wrong):>6}")


HEAD = f"{'':<10} {'stated':>6} {'recall':>7} {'offered':>8} {'claimed':>7} {'precision':>10} {'wrong':>6}"


def cases() -> dict[str, Any]:
    """The worked cases by name, those kept aside left out."""
    return {one.id: one.file for one in collection()}


def judged(half: str) -> list[Judged]:
    """The texts of a half with what was judged of them."""
    known = cases()
    return [_judged(row, known) for row in yaml.safe_load(HALVES[half].read_text("utf-8"))]


def _judged(row: dict[str, Any], known: dict[str, Any]) -> Judged:
    case = known[row["case"]] if "case" in row else None
    fair = _values(dict(case.answers) if case else {})
    for name, said in _values(row.get("fair", {})).items():
        fair[name] = fair.get(name, frozenset()) | said
    return Judged(row.get("case", row.get("text")), case.complaint if case else row["text"],
                  tuple(frozenset(s.split("|")) for s in row["symptoms"]),
                  frozenset(row.get("also", ())), _values(row["facts"]), fair)


def _values(rows: Mapping[str, Any]) -> dict[str, frozenset[str]]:
    return {name: frozenset(str(said).split("|")) for name, said in rows.items()}


def measure(book: Any, rows: Iterable[Judged]) -> tuple[Count, Count, int]:
    """The count of symptoms, that of facts, and the texts read wholly right."""
    symptoms, facts = Count(), Count()
    whole = 0
    for row in rows:
        read = understand(book, row.text, TODAY)
        before = _slips(symptoms) + _slips(facts)
        _symptoms(symptoms, row, read)
        _facts(book, facts, row, read)
        whole += _slips(symptoms) + _slips(facts) == before
    return symptoms, facts, whole


def _slips(count: Count) -> int:
    return len(count.wrong) + len(count.missed)


def _symptoms(count: Count, row: Judged, read: Understood) -> None:
    claimed = set(read.symptoms)
    fair = row.also.union(*row.symptoms)
    count.stated += len(row.symptoms)
    count.claimed += len(claimed)
    count.wrong += (f"{row.name}: {s}" for s in sorted(claimed - fair))
    for wanted in row.symptoms:
        if wanted & claimed:
            count.found += 1
        else:
            count.offered += bool(wanted & set(read.maybe))
            count.missed.append(f"{row.name}: {'|'.join(sorted(wanted))}")


def _facts(book: Any, count: Count, row: Judged, read: Understood) -> None:
    count.stated += len(row.facts)
    count.claimed += len(read.values)
    for name, value in read.values.items():
        right = row.facts.get(name, frozenset()) | row.fair.get(name, frozenset())
        if not any(same(book, name, value, other) for other in right):
            count.wrong.append(f"{row.name}: {name}={value}")
    for name, wanted in row.facts.items():
        if name in read.values and any(same(book, name, read.values[name], w) for w in wanted):
            count.found += 1
        else:
            count.offered += _offered(book, name, wanted, read)
            count.missed.append(f"{row.name}: {name}={'|'.join(sorted(wanted))}")


def _offered(book: Any, name: str, wanted: frozenset[str], read: Understood) -> bool:
    return name in read.doubtful and any(same(book, name, read.doubtful[name], w) for w in wanted)


def same(book: Any, name: str, one: str, other: str) -> bool:
    """Do two texts give the same answer?"""
    stated = book.observations[name]
    first, second = (answers.parse(stated, text, TODAY) for text in (one, other))
    if isinstance(first, float) and isinstance(second, float):
        return abs(first - second) <= 0.011 * max(abs(first), abs(second))
    return bool(first == second)


def over_cases(book: Any, skip: frozenset[str] = frozenset()) -> tuple[int, int, list[str], int]:
    """Values read that agree with the case, that it does not speak of, that conflict; cases."""
    agree, silent, conflict, number = 0, 0, [], 0
    for name, case in cases().items():
        if name in skip:
            continue
        number += 1
        for what, value in understand(book, case.complaint, TODAY).values.items():
            if what not in case.answers:
                silent += 1
            elif same(book, what, value, case.answers[what]):
                agree += 1
            else:
                conflict.append(f"{name}: {what}={value}, the case says {case.answers[what]}")
    return agree, silent, conflict, number


def main(argv: list[str] | None = None) -> int:
    """Print the table asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--end", action="store_true", help="the half kept for the end")
    parser.add_argument("--cases", action="store_true", help="over all worked cases")
    parser.add_argument("--show", action="store_true", help="each thing missed or wrong")
    asked = parser.parse_args(argv)
    book = load(None).book
    if asked.cases:
        kept = frozenset() if asked.end or not HALVES["end"].exists() else frozenset(
            row["case"] for row in yaml.safe_load(HALVES["end"].read_text("utf-8")) if "case" in row)
        agree, silent, conflict, number = over_cases(book, kept)
        print(f"{number} cases: {agree} values agree, {len(conflict)} conflict, "
              f"of {silent} the case says nothing")
        print("\n".join(conflict) if asked.show else "")
        return 0
    half = "end" if asked.end else "develop"
    rows = judged(half)
    symptoms, facts, whole = measure(book, rows)
    print(f"{half}: {len(rows)} texts, {whole} read wholly right", HEAD,
          symptoms.row("symptoms"), facts.row("facts"), sep="\n")
    if asked.show:
        for title, lines in (("symptoms wrong", symptoms.wrong), ("symptoms missed", symptoms.missed),
                             ("facts wrong", facts.wrong), ("facts missed", facts.missed)):
            print(f"\n{title}", *lines, sep="\n  ")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
