"""One letter worked through: what was understood, and the case that comes of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any

from diagnose.case.case import HOPELESS, Case, Recheck, Stop
from diagnose.case.events import COMPLAINT
from diagnose.present.case_data import report
from diagnose.reading import danger
from diagnose.reading.besides import besides, fault_in
from diagnose.reading.complaint import Understood, index_of
from diagnose.reading.questions import Asked, asked
from diagnose.reason.plan import Option
from diagnose.reason.questions.ask import Question
from diagnose.reason.system import System
from diagnose.search.index import Index

QUESTIONS = 3


@dataclass(eq=False)
class Read:
    """A letter understood, its case, and what to say."""

    text: str
    understood: Understood
    case: Case
    kind: str
    """hazard, look (perhaps a hazard), handover, remedy, question, answer, nothing or unplaced."""
    caution: str = ""
    """The hazard met."""
    option: Option | None = None
    questions: tuple[Question, ...] = ()
    suspected: tuple[str, ...] = ()
    """Symptoms that would be a hazard and that the words could mean."""

    @cached_property
    def report(self) -> dict[str, Any]:
        """The case as plain data, worked out once."""
        return report(self.case)


class Desk:
    """Reads letters over one system."""

    def __init__(self, system: System, today: date | None = None) -> None:
        self.system, self.today = system, today
        self._stopping: dict[str, bool] = {}

    def read(self, text: str) -> Read:
        """Work through one letter."""
        answered = asked(self.system.book, text)
        found = fault_in(self.system.book, text, answered, self._stops, self.today)
        case = case_of(self.system, self.today, found.symptoms, found.values, text, found.likely)
        step = case.step()
        if isinstance(step, Stop) and step.reason == "hazard":
            return Read(text, found, case, "hazard", step.caution)
        suspected = self._suspected(text, found, answered)
        look = bool(suspected)
        if not found.symptoms and not _abnormal(case):
            kind = "look" if look else "answer" if answered else "unplaced"
            return Read(text, found, case, kind, suspected=suspected)
        options = case.options
        option = options[0] if options and options[0].chance >= HOPELESS else None
        kind = "look" if look else self._kind(case, option, isinstance(step, Recheck))
        return Read(text, found, case, kind, option=option, questions=self._questions(case),
                    suspected=suspected)

    @staticmethod
    def _kind(case: Case, option: Option | None, recheck: bool) -> str:
        if recheck:
            return "question"
        if option is None:
            return "nothing"
        return "handover" if option.who in case.refused else "remedy"

    def _questions(self, case: Case) -> tuple[Question, ...]:
        found: dict[str, Question] = {}
        for question in self.system.asker.worth(case.state):
            found.setdefault(question.observation, question)
            if len(found) == QUESTIONS:
                break
        return tuple(found.values())

    def _suspected(self, text: str, found: Understood, answered: Sequence[Asked]) -> tuple[str, ...]:
        """Hazardous symptoms not claimed that the words come near to; questions answered are none."""
        text = besides(self.system.book, text, answered, self._stops)
        return tuple(s for s in danger.heard(self.system.book, text) if s not in found.symptoms)

    @property
    def index(self) -> Index:
        """The search over the book's words."""
        return index_of(self.system.book)

    def _stops(self, symptom: str) -> bool:
        """Does a symptom by itself stop a consult as a hazard?"""
        if symptom not in self._stopping:
            alone = case_of(self.system, self.today, (symptom,), {})
            cautions = (self.system.book.cautions[c] for c in alone.cautions)
            self._stopping[symptom] = any(c.stop == "yes" for c in cautions)
        return self._stopping[symptom]


def case_of(system: System, today: date | None, symptoms: Iterable[str], values: Mapping[str, str],
            text: str = "", likely: Mapping[str, float] = MappingProxyType({})) -> Case:
    """A case of these complaints, with answers that a letter gave."""
    case = Case(system, today=today)
    case.complain(text, symptoms, read=True, likely=likely)
    for name, value in values.items():
        case.answer(name, value, given=COMPLAINT)
    return case


def _abnormal(case: Case) -> bool:
    findings = case.book.findings
    return any(findings[n].values[v].abnormal == "yes"
               for n, values in case.inference.findings.items() for v in values)
