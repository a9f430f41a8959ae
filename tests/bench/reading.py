"""How well complaints are read, against what careful readers took from the same words.

    python -m tests.bench.reading FILE...

FILEs hold reports in the form of worked cases with `in_words:` beside them, the symptoms and answers
that a reader who knew no rule took from the complaint alone. Without a file the reports of the tests are
read (`tests/reports/`). The answers of the whole report are fair where the words alone were not labelled
with them.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from diagnose.book import answers
from diagnose.book.answers import AnswerError
from diagnose.book.with_house import load
from diagnose.reading.complaint import Understood, understand

TODAY = date(2026, 11, 28)
NEAR = 0.03
"""Relative difference up to which two numbers are the same."""


class Text(yaml.CSafeLoader):
    """Every scalar is text."""


Text.yaml_implicit_resolvers = {}


@dataclass
class Tally:
    """Counts over reports."""

    complaints: int = 0
    with_symptoms: int = 0
    right_named: int = 0
    silent: int = 0
    stated: int = 0
    claimed: int = 0
    right: int = 0
    answers_stated: int = 0
    answers_read: int = 0
    answers_right: int = 0
    answers_fair: int = 0
    seconds: list[float] = field(default_factory=list)

    def rows(self) -> Iterable[tuple[str, str]]:
        """The lines of the table."""
        yield "a right symptom among those claimed or offered", share(self.right_named, self.with_symptoms)
        yield "symptoms of a careful reader, claimed", share(self.right, self.stated)
        yield "claimed symptoms that are right", share(self.right, self.claimed)
        yield "answers stated in the words, read", share(self.answers_right, self.answers_stated)
        yield "answers read that are right", share(self.answers_fair, self.answers_read)
        yield "complaints from which nothing is read or offered", share(self.silent, self.complaints)
        yield "milliseconds a complaint, median", f"{1000 * statistics.median(self.seconds):.1f}"


def share(part: int, whole: int) -> str:
    """So many of so many, and percent."""
    return f"{100 * part / whole:3.0f} %  ({part} of {whole})" if whole else "-"


def reports(files: Iterable[Path]) -> list[dict[str, Any]]:
    """The reports of these files."""
    return [row for file in files for row in yaml.load(file.read_text("utf-8"), Text)]


def tally(book: Any, rows: Iterable[dict[str, Any]]) -> Tally:
    """Read every complaint and count."""
    found = Tally()
    for row in rows:
        start = time.perf_counter()
        read = understand(book, row["complaint"], TODAY)
        found.seconds.append(time.perf_counter() - start)
        _count(book, found, row, read)
    return found


def _count(book: Any, found: Tally, row: dict[str, Any], read: Understood) -> None:
    words = row.get("in_words") or {}
    wanted = set(words.get("symptoms") or ())
    stated = words.get("answers") or {}
    fair = {**(row.get("answers") or {}), **stated}
    found.complaints += 1
    found.silent += not (read.symptoms or read.maybe or read.values)
    found.claimed += len(read.symptoms)
    found.right += len(wanted & set(read.symptoms))
    found.stated += len(wanted)
    if wanted:
        found.with_symptoms += 1
        found.right_named += bool(wanted & {*read.symptoms, *read.maybe})
    found.answers_stated += len(stated)
    found.answers_read += len(read.values)
    found.answers_right += sum(same(book, n, read.values[n], v) for n, v in stated.items()
                               if n in read.values)
    found.answers_fair += sum(same(book, n, v, fair[n]) for n, v in read.values.items() if n in fair)


def same(book: Any, name: str, one: str, other: str) -> bool:
    """Do two texts give the same answer?"""
    try:
        first, second = (answers.parse(book.observations[name], str(t), TODAY) for t in (one, other))
    except (AnswerError, KeyError):
        return False
    if isinstance(first, float) and isinstance(second, float):
        return abs(first - second) <= NEAR * max(abs(first), abs(second))
    return bool(first == second)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("files", type=Path, nargs="*", metavar="FILE")
    asked = parser.parse_args()
    files = asked.files or sorted((Path(__file__).parents[1] / "reports").glob("*.yaml"))
    for name, text in tally(load([]).book, reports(files)).rows():
        print(f"{name:52} {text}")


if __name__ == "__main__":
    main()
