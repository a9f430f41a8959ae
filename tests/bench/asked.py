"""How much a consult asks before its first step that is no question, and how right that step is.

    python -m tests.bench.asked [--cases] [--long N] FILE...

FILEs hold reports in the form of worked cases with the symptoms and answers that a careful reader took
from the words in `in_words:`, which count as told; every question is answered from the report, and with
"don't know" where it does not say. Without a file the reports of the tests are taken; `--cases` adds the
worked cases of the book, their complaints as the program reads them. `--long N` shows the N consults
that ask most.
"""

from __future__ import annotations

import argparse
import statistics
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from diagnose.book.answers import AnswerError
from diagnose.book.with_house import load
from diagnose.case.case import Ask, Case, Done, Fix, Recheck, Step, Stop
from diagnose.case.events import COMPLAINT, Answered
from diagnose.errors import UserError
from diagnose.reason.system import System
from tests.bench.reading import TODAY, reports, share
from tests.cases.consulted import begun
from tests.cases.judge import Worked, collection

MOST_STEPS = 60
MANY = 6
"""Questions that a usual consult has no more of."""


@dataclass
class Asked:
    """One consult up to its first step that is no question."""

    title: str
    causes: frozenset[str]
    fixes: frozenset[str]
    """The right causes, and the right first fixes; none where it is a matter of stopping."""
    put: list[str] = field(default_factory=list)
    """What was asked, in order; what could not be answered ends in a question mark."""
    end: Step | None = None
    lead: str = ""
    """The leading cause at the end."""

    @property
    def advised(self) -> str:
        """The fix that it came to, or empty."""
        return self.end.option.remedy if isinstance(self.end, Fix | Stop) and self.end.option else ""


def of_report(system: System, row: dict[str, Any]) -> Asked:
    """The consult of a report."""
    words, given = row.get("in_words") or {}, row.get("answers") or {}
    case = Case(system, today=TODAY)
    for remedy, outcome in (row.get("tried") or {}).items():
        case.tried(remedy, outcome)
    case.complain(row["complaint"], [s for s in words.get("symptoms") or () if s in system.book.symptoms])
    for name, value in (words.get("answers") or {}).items():
        with suppress(AnswerError, UserError, KeyError):
            case.answer(name, given.get(name, value), given=COMPLAINT)
    expect = row["expect"]
    return ask(case, given, _judged(row["title"], expect.get("causes"), expect.get("fix"),
                                    expect.get("stopped")))


def of_case(system: System, one: Worked) -> Asked:
    """The consult of a worked case."""
    expect = one.expect
    return ask(begun(system, one)[0], one.file.answers,
               _judged(one.id, expect.causes, expect.fix, expect.stopped))


def _judged(title: str, causes: Iterable[str] | None, fixes: Iterable[str] | None,
            stopped: str | None) -> Asked:
    return Asked(title, frozenset(c for each in list(causes or ())[:1] for c in each.split("|")),
                 frozenset(() if stopped == "hazard" else fixes or ()))


def ask(case: Case, answers: dict[str, Any], went: Asked) -> Asked:
    """Ask until something else than a question comes; hazards are dealt with where that can be."""
    for _ in range(MOST_STEPS):
        match case.step():
            case Ask(question):
                went.put.append(_put(case, answers, question.observation))
            case Recheck(conflict):
                went.put.append(conflict.key)
                case.let_stand(conflict)
            case Stop("hazard", caution) if case.book.cautions[caution].go_on:
                case.clear(caution)
            case step:
                went.end, went.lead = step, case.ranked[0].cause
                break
    return went


def _put(case: Case, answers: dict[str, Any], name: str) -> str:
    with suppress(AnswerError, UserError, KeyError):
        case.answer(name, answers[name])
        if isinstance(case.events[-1], Answered):
            return name
    case.dont_know(name)
    return f"{name}?"


def rows(found: list[Asked]) -> Iterator[tuple[str, str]]:
    """The lines of the table."""
    counts = sorted(len(a.put) for a in found)
    yield "questions, median", f"{statistics.median(counts):g}"
    yield "questions, mean", f"{statistics.mean(counts):.1f}"
    yield "questions, 90 % have no more than", f"{counts[int(0.9 * len(counts))]}"
    yield "questions, most", f"{counts[-1]}"
    yield f"more than {MANY} questions", share(sum(c > MANY for c in counts), len(counts))
    yield "not known to the person", share(sum(p.endswith("?") for a in found for p in a.put), sum(counts))
    causes = [a for a in found if a.causes]
    yield "right cause first", share(sum(a.lead in a.causes for a in causes), len(causes))
    fixes = [a for a in found if a.fixes]
    yield "right fix first", share(sum(a.advised in a.fixes for a in fixes), len(fixes))
    wrong = [a for a in fixes if a.advised and a.advised not in a.fixes]
    yield "wrong fix first", share(len(wrong), len(fixes))
    yield "not sure enough to advise", share(sum(a.end == Done("unsure") for a in found), len(found))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("files", type=Path, nargs="*", metavar="FILE")
    parser.add_argument("--cases", action="store_true", help="the worked cases of the book too")
    parser.add_argument("--long", type=int, default=0, metavar="N", help="show the N longest consults")
    asked = parser.parse_args()
    files = asked.files or sorted((Path(__file__).parents[1] / "reports").glob("*.yaml"))
    system = System(load([]).book)
    sets = [("reports", [of_report(system, row) for row in reports(files)])]
    if asked.cases:
        sets.append(("cases", [of_case(system, one) for one in collection()]))
    for title, found in sets:
        for name, text in rows(found):
            print(f"{title}: {name:38} {text}")
        for one in sorted(found, key=lambda a: -len(a.put))[:asked.long]:
            print(f"  {len(one.put):2} {one.title}: {' '.join(one.put)} -> "
                  f"{one.advised or one.end} ({', '.join(sorted(one.fixes))})")


if __name__ == "__main__":
    main()
