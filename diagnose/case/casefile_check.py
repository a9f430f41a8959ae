"""The worked cases against the book: every name and answer in them is one the book has."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from diagnose.book.book import Book
from diagnose.book.lint.issue import ERROR, Issue
from diagnose.book.problems import Problem
from diagnose.book.yaml.source import Tree
from diagnose.case import casefile
from diagnose.case.casefile import CaseFile, CaseFileError

NAME = "case_fits"
ABOUT = f"{NAME} ({ERROR}): Worked cases that name or answer what the book does not have."
FOLDER = "cases"
KINDS = ("single", "two-fault", "misleading", "dont-know", "wrong-answer", "normal", "hazard")
STOPS = ("hazard", "handover")


def issues(book: Book, knowledge: Path) -> Iterator[Issue]:
    """What does not fit the book, of all cases in the folder of this knowledge."""
    for path in sorted((knowledge / FOLDER).glob("*.yaml")):
        try:
            cases = casefile.read(path, f"{FOLDER}/{path.name}")
        except CaseFileError as error:
            yield _issue(path.stem, error.problem)
            continue
        for found, tree in cases:
            for problem in (*casefile.faults(book, found, tree), *_expected(book, found, tree)):
                yield _issue(found.title or path.stem, problem)


def _issue(name: str, problem: Problem) -> Issue:
    return Issue(problem.place, ERROR, NAME, FOLDER, name, f"{name}: {problem.text}")


def _expected(book: Book, found: CaseFile, tree: Tree) -> Iterator[Problem]:
    """What the case says it should come to and the book does not have."""
    if found.kind not in ("", *KINDS):
        yield Problem(tree.place(("kind",)), f"{found.kind!r} is none of {', '.join(KINDS)}")
    if found.expect is None:
        return
    lists = (("causes", "cause", book.causes), ("fix", "remedy", book.remedies),
             ("cautions", "caution", book.cautions))
    for part, kind, known in lists:
        for i, either in enumerate(getattr(found.expect, part)):
            for name in either.split("|"):
                yield from casefile.unknown(tree, ("expect", part, str(i)), kind, name, known)
    if found.expect.stopped not in ("", *STOPS):
        yield Problem(tree.place(("expect", "stopped")),
                      f"{found.expect.stopped!r} is none of {', '.join(STOPS)}")
