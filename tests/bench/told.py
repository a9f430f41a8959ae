"""How often the book names the established cause of real reports, and their fix first.

    python -m tests.bench.told FILE...

FILEs hold reports in the form of worked cases, with the symptoms that a careful reader took from the
complaint in `in_words:`; without a file the reports of the tests are taken (`tests/reports/`). `form`
gives the book those symptoms and the report's answers; `told` gives it the complaint as the program
reads it, and the answers.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from diagnose.book.answers import AnswerError
from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.casefile import CaseFile, complain
from diagnose.errors import UserError
from diagnose.reason.system import System
from tests.bench.reading import TODAY, reports, share

AMONG = 3
SURE = 0.9


def case_of(system: System, row: dict[str, Any], *, form: bool) -> Case:
    """The case of one report; answers that the book does not take are left out."""
    case, given = Case(system, today=TODAY), row.get("answers") or {}
    if form:
        stated = row["in_words"].get("symptoms") or ()
        case.complain(row["complaint"], tuple(s for s in stated if s in system.book.symptoms))
    else:
        complain(case, CaseFile(complaint=row["complaint"], answers=given))
    for remedy, outcome in (row.get("tried") or {}).items():
        case.tried(remedy, outcome)
    for name, answer in given.items():
        with suppress(AnswerError, UserError, KeyError):
            case.answer(name, answer)
    for name in row.get("unknown") or ():
        if name in system.book.observations:
            case.dont_know(name)
    return case


def rows(system: System, given: Iterable[dict[str, Any]], *, form: bool) -> Iterator[tuple[str, str]]:
    """The lines of the table."""
    judged = first = among = fixes = fixed = sure = sure_right = 0
    for row in given:
        if not row["expect"].get("causes"):
            continue
        case, right = case_of(system, row, form=form), set(row["expect"]["causes"][0].split("|"))
        order = [one.cause for one in case.ranked]
        judged += 1
        first += order[0] in right
        among += bool(right & set(order[:AMONG]))
        if case.ranked[0].probability >= SURE:
            sure += 1
            sure_right += order[0] in right
        if row["expect"].get("fix") and row["expect"].get("stopped") != "hazard":
            fixes += 1
            fixed += bool(case.options) and case.options[0].remedy in row["expect"]["fix"]
    yield "right cause first", share(first, judged)
    yield f"right cause among {AMONG}", share(among, judged)
    yield "right fix first", share(fixed, fixes)
    yield f"right where it says {SURE:.0%} or more", share(sure_right, sure)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("files", type=Path, nargs="*", metavar="FILE")
    asked = parser.parse_args()
    files = asked.files or sorted((Path(__file__).parents[1] / "reports").glob("*.yaml"))
    system, given = System(load([]).book), reports(files)
    for form in (True, False):
        for name, text in rows(system, given, form=form):
            print(f"{'form' if form else 'told'}: {name:38} {text}")


if __name__ == "__main__":
    main()
