"""A case as a consult would go: asked question by question, answered from the case's facts.

The symptoms read from the complaint are confirmed unless the facts speak otherwise; where none is
left, the person picks from the list one that the facts bear out. Every question is answered as the
case answers it, and with "don't know" where it does not. It ends at the first step that is no
question.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import msgspec

from diagnose.book.answers import is_dont_know
from diagnose.book.book import Book
from diagnose.case.case import Ask, Case, Recheck, Step, Stop
from diagnose.case.casefile import build
from diagnose.reading.complaint import understand
from diagnose.reason.questions.ask import READING_MINUTES
from diagnose.reason.system import System
from tests.cases.judge import Verdict, Worked, verdict

MOST_STEPS = 60

Findings = Mapping[str, Sequence[str]]


@dataclass
class Consulted:
    """How the consult went, up to its first step that is no question."""

    verdict: Verdict
    placed: str
    """How the complaint was placed: `read` from the words, `picked` from the list, or not."""
    end: Step | None
    """None: questions without end."""
    questions: int = 0
    answered: int = 0
    minutes: float = 0.0
    """What the questions cost, as the planner counts them."""


def consult(system: System, one: Worked) -> Consulted:
    """Ask until something else than a question comes."""
    case, placed = begun(system, one)
    went = Consulted(verdict(case, one), placed, None)
    shown: set[str] = set()
    stopped = False
    for _ in range(MOST_STEPS):
        step = case.step()
        match step:
            case Ask(question):
                shown.update(system.book.observations[question.observation].cautions)
                _put(case, one, question.observation, went)
            case Recheck(conflict):
                went.questions += 1
                went.minutes += READING_MINUTES
                case.let_stand(conflict)
            case Stop("hazard", caution) if system.book.cautions[caution].go_on:
                shown.add(caution)
                stopped = True
                case.clear(caution)
            case _:
                went.end = step
                break
    went.verdict = verdict(case, one, shown, stopped)
    return went


def begun(system: System, one: Worked) -> tuple[Case, str]:
    """The complaint placed, with the answers in its words as the case has them; and how."""
    file = one.file
    case = Case(system, today=date.fromisoformat(file.today) if file.today else None)
    understood = understand(system.book, file.complaint)
    facts = build(system, msgspec.structs.replace(file, complaint=""), one.tree).inference.findings
    read = file.symptoms or _confirmed(system.book, facts, understood.symptoms)
    picked = () if read else _borne_out(system.book, facts, understood.maybe)[:1]
    case.complain(file.complaint, read or picked)
    for remedy, outcome in file.tried.items():
        case.tried(remedy, outcome)  # type: ignore[arg-type]  # judged by `build`
    for name, value in understood.values.items():
        case.answer(name, file.answers.get(name, value), given="complaint")
    return case, "read" if read else "picked" if picked else ""


def _confirmed(book: Book, facts: Findings, read: Sequence[str]) -> list[str]:
    """The symptoms read, less those that the facts deny."""
    return [s for s in read if all(value in facts.get(name, (value,))
                                   for name, value in book.symptoms[s].finding.items())]


def _borne_out(book: Book, facts: Findings, maybe: Sequence[str]) -> list[str]:
    """Symptoms that the facts of a case bear out, those first that its words could mean."""
    held = [s for s, stated in book.symptoms.items()
            if all(value in facts.get(name, ()) and book.findings[name].values[value].abnormal == "yes"
                   for name, value in stated.finding.items())]
    return sorted(held, key=lambda s: (maybe.index(s) if s in maybe else len(maybe)))


def _put(case: Case, one: Worked, name: str, went: Consulted) -> None:
    went.questions += 1
    went.minutes += READING_MINUTES + case.book.observations[name].minutes
    value = one.file.answers.get(name)
    if value is None or is_dont_know(value):
        case.dont_know(name)
    else:
        went.answered += 1
        case.answer(name, value)
