"""A house linted as strictly as the shipped book: what it brings in, and what it breaks elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.lint import Report, lint
from diagnose.book.lint.issue import Issue
from diagnose.book.problems import KnowledgeError, Place, Problem
from diagnose.book.yaml import loader
from diagnose.storage import paths


def check(folders: list[Path]) -> Report:
    """Lint these houses, laid over the shipped book in this order.

    KnowledgeError with every problem of every house file that can't be read or does not fit.
    """
    shipped = loader.load(paths.shipped())
    chapters, problems = list(shipped), []
    for folder in folders:
        if not folder.is_dir():
            problems.append(Problem(Place(str(folder), 1), "no such folder"))
            continue
        sound, found = loader.load_sound(folder, folder.name or str(folder))
        chapters += sound
        problems += found
    try:
        laid = build_book(chapters)
    except KnowledgeError as error:
        problems += error.problems
    if problems:
        raise KnowledgeError(problems)
    return of_house(laid, build_book(shipped))


def new_issues(after: Book, before: Book) -> tuple[Issue, ...]:
    """The issues that a change brings: in a house's own entries, or nowhere before it."""
    whole = lint(after).issues
    known = lint(before).issues if whole else ()
    own = _own(after, known)
    return tuple(i for i in whole if i not in known and own(i))


def of_house(laid: Book, before: Book) -> Report:
    """The issues that stand in a house's own entries or that were not there without it."""
    whole, own = lint(laid), _own(laid, lint(before).issues)
    return Report(tuple(filter(own, whole.issues)), tuple(filter(own, whole.allowed)))


def _own(laid: Book, known: Iterable[Issue]) -> Callable[[Issue], bool]:
    """Tells of an issue whether it stands in a house's own entries, or not yet among those known."""
    keys = set(map(_key, known))
    return lambda issue: bool(laid.house(issue.kind, issue.id)) or _key(issue) not in keys


def _key(issue: Issue) -> tuple[str, str, str, Place]:
    return issue.check, issue.kind, issue.id, issue.place
