"""What a check came to, as lines to read or JSON lines."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable

from diagnose.book.lint.issue import Check, Issue
from diagnose.book.lint.run import Report
from diagnose.book.problems import KnowledgeError, Problem


def checked(look: Callable[[], Report], as_json: bool, strict: bool, what: str) -> tuple[str, bool]:
    """Look, and say what was found; the flag says whether the check failed.

    What can't be read at all is told as the loader's problems; the linter then has no book.
    """
    try:
        report = look()
    except KnowledgeError as error:
        return _problems(error.problems, as_json), True
    failed = bool(report.errors or (strict and report.advice))
    return (_json(report) if as_json else _page(report, failed, what)), failed


def _problems(problems: Iterable[Problem], as_json: bool) -> str:
    if not as_json:
        return "\n".join(map(str, problems))
    return "\n".join(json.dumps({**p.place._asdict(), "severity": "error", "check": "loader",
                                 "text": p.text}) for p in problems)


def _json(report: Report) -> str:
    lines = [_data(issue, False) for issue in report.issues]
    lines += [_data(issue, True) for issue in report.allowed]
    return "\n".join(map(json.dumps, lines))


def _data(issue: Issue, allowed: bool) -> dict[str, object]:
    return {**issue.place._asdict(), "severity": issue.severity, "check": issue.check,
            "kind": issue.kind, "id": issue.id, "text": issue.text, "allowed": allowed}


def _page(report: Report, failed: bool, what: str) -> str:
    counts = ", ".join((_count(report.errors, "error"), _count(report.advice, "piece", " of advice"),
                        _count(len(report.allowed), "issue", " let pass with a reason")))
    verdict = f"{what} needs mending" if failed else f"{what} is sound"
    return "\n".join([*map(str, report.issues), f"{verdict}: {counts}."])


def _count(number: int, noun: str, tail: str = "") -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}{tail}"


def listed(checks: Iterable[Check]) -> str:
    """Every check with what it looks for."""
    return "\n".join(f"{c.name} ({c.severity}): {c.about}" for c in checks)
