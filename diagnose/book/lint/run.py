"""Run all checks over a book and take out what the entries allow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from diagnose.book.book import Book
from diagnose.book.lint import apart, harm, hazards, logic, numbers, practice, texts, use
from diagnose.book.lint.issue import ADVICE, ERROR, Check, Issue, Violation
from diagnose.book.lint.survey import Survey
from diagnose.book.model import KINDS
from diagnose.book.problems import nearest

CHECKS: tuple[Check, ...] = (*use.CHECKS, *texts.CHECKS, *logic.CHECKS, *numbers.CHECKS,
                             *apart.CHECKS, *hazards.CHECKS, *harm.CHECKS, *practice.CHECKS)
SHORTEST_REASON = 10
"""Letters that a reason for letting something pass must have at least."""


@dataclass(frozen=True)
class Report:
    """The issues that stand, and those that entries allow with a reason."""

    issues: tuple[Issue, ...]
    allowed: tuple[Issue, ...]

    @property
    def errors(self) -> int:
        """How many of the issues are errors."""
        return sum(issue.severity == ERROR for issue in self.issues)

    @property
    def advice(self) -> int:
        """How many of the issues are advice."""
        return sum(issue.severity == ADVICE for issue in self.issues)


def lint(book: Book, checks: Iterable[Check] = CHECKS, of_houses: bool = False) -> Report:
    """Every issue of a book, sorted by place; or, of its texts, those in entries of houses alone."""
    survey = Survey(book, of_houses)
    stand: list[Issue] = []
    allowed: list[Issue] = []
    used: set[tuple[str, str, str]] = set()
    checks = tuple(checks)
    for one in checks:
        for found in one.find(survey):
            allowing = [e for e in (found.path[:2], *found.also) if one.name in _allow(book, e)]
            used |= {(kind, name, one.name) for kind, name in allowing}
            (allowed if allowing else stand).append(_issue(book, one, found))
    stand += _idle(book, used, {c.name for c in checks})
    return Report(tuple(sorted(set(stand))), tuple(sorted(set(allowed))))


def _issue(book: Book, one: Check, found: Violation) -> Issue:
    kind, name = found.path[:2]
    return Issue(book.place(*found.path), one.severity, one.name, kind, name,
                 f"{name}: {found.text}" if name not in found.text else found.text)


def _allow(book: Book, entry: tuple[str, ...]) -> dict[str, str]:
    kind, name = entry
    allow: dict[str, str] = getattr(book, kind)[name].allow
    return allow


def _idle(book: Book, used: set[tuple[str, str, str]], ran: set[str]) -> Iterator[Issue]:
    """An `allow` that lets nothing pass, names no check or gives no reason is an issue itself."""
    known = {check.name for check in CHECKS}
    for kind in KINDS:
        for name, entry in getattr(book, kind).items():
            for check, reason in entry.allow.items():
                place = book.place(kind, name, "allow", check)
                if check not in known:
                    text = f"{name}: no check {check!r}{nearest(check, known)}"
                elif check in ran and (kind, name, check) not in used:
                    text = f"{name}: {check} has nothing to let pass here; drop it from `allow:`"
                elif len(reason.strip()) < SHORTEST_REASON:
                    text = f"{name}: {reason!r} is no reason for {check}; say why it may pass"
                else:
                    continue
                yield Issue(place, ERROR, "allow_idle", kind, name, text)
