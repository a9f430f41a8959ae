"""What a house brings into a clean book: issues of its own entries, or that were not there without it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from diagnose.book.book import Book
from diagnose.book.lint.issue import ADVICE, Issue
from diagnose.book.lint.run import CHECKS, Report, lint
from diagnose.book.overlay.guard import SAFETY_CHECKS
from diagnose.book.problems import Place

SAFETY = tuple(check for check in CHECKS if check.name in SAFETY_CHECKS)


def unsafe(laid: Book) -> tuple[Issue, ...]:
    """What is an error in the entries of houses: a house file that has one is not used."""
    return tuple(i for i in lint(laid, SAFETY, of_houses=True).issues if laid.house(i.kind, i.id))


def of_house(laid: Book, before: Book) -> Report:
    """The issues that stand in a house's own entries or that were not there without it.

    An error is what keeps the house from being used; the rest is advice, since a house grows
    entry by entry.
    """
    whole, own = lint(laid), _own(laid, lint(before).issues)
    return Report(tuple(_weighed(filter(own, whole.issues))), tuple(filter(own, whole.allowed)))


def _weighed(issues: Iterable[Issue]) -> Iterator[Issue]:
    for issue in issues:
        yield issue if issue.check in SAFETY_CHECKS else issue._replace(severity=ADVICE)


def new_issues(after: Book, before: Book) -> tuple[Issue, ...]:
    """The issues that a change brings: in a house's own entries, or nowhere before it."""
    whole = lint(after).issues
    found = {issue.check for issue in whole}
    known = lint(before, [check for check in CHECKS if check.name in found]).issues if whole else ()
    own = _own(after, known)
    return tuple(_weighed(i for i in whole if i not in known and own(i)))


def _own(laid: Book, known: Iterable[Issue]) -> Callable[[Issue], bool]:
    """Tells of an issue whether it stands in a house's own entries, or not yet among those known."""
    keys = set(map(_key, known))
    return lambda issue: bool(laid.house(issue.kind, issue.id)) or _key(issue) not in keys


def _key(issue: Issue) -> tuple[str, str, str, Place]:
    return issue.check, issue.kind, issue.id, issue.place
