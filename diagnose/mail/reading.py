"""One letter worked through: what was understood, and the case that comes of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from types import MappingProxyType

from diagnose.case.case import HOPELESS, Case, Recheck, Stop
from diagnose.case.events import COMPLAINT
from diagnose.mail.off_topic import off_topic
from diagnose.present.asked_inside import HARMLESS
from diagnose.present.case_data import case_report
from diagnose.present.report_data import CaseReport
from diagnose.reading import danger
from diagnose.reading.complaint import Understood, index_of
from diagnose.reading.fault import fault_in, without_questions
from diagnose.reading.questions import SURE, Asked, asked
from diagnose.reason.plan import Option
from diagnose.reason.questions.ask import Question
from diagnose.reason.system import System
from diagnose.search.index import Index
from diagnose.search.text import plain

QUESTIONS = 3
CLEAR = 0.45
"""Chance from which the first cause stands alone and is no matter of doubt."""
SHOWN_CAUSES, SHOWN_CHANCE = 3, 0.05
"""Causes named at most, and the chance from which."""
PLAIN = 0.0
"""Fit from which a question is asked plainly, whatever else the letter tells; what is asked less plainly
is to be looked at."""
NAMED = 0.1
"""Chance from which a cause is named in a letter whose question is answered anyway."""


@dataclass(eq=False)
class Read:
    """A letter understood, its case, and what to say."""

    text: str
    understood: Understood
    case: Case
    kind: str
    """hazard, look (perhaps a hazard), handover, remedy, question, answer, nothing, unplaced or off (not
    about the coffee)."""
    caution: str = ""
    """The hazard met."""
    option: Option | None = None
    questions: tuple[Question, ...] = ()
    suspected: tuple[str, ...] = ()
    """Symptoms that would be a hazard and that the words could mean."""
    asked: tuple[Asked, ...] = ()
    """The questions found in it."""
    supposed: str = ""
    """The trouble that a letter is taken to mean of which nothing was heard plainly."""

    @cached_property
    def report(self) -> CaseReport:
        """The case as data, worked out once."""
        return case_report(self.case, found=self.asked)


class Desk:
    """Reads letters over one system."""

    def __init__(self, system: System, today: date | None = None) -> None:
        self.system, self.today = system, today
        self._stopping: dict[str, bool] = {}

    def read(self, text: str) -> Read:
        """Work through one letter."""
        answered = asked(self.system.book, text)
        found = fault_in(self.system.book, text, answered, self._stops, self.today)
        case = case_of(self.system, self.today, found.symptoms, found.values, text, found.likely, found.tried)
        step = case.step()
        if isinstance(step, Stop) and step.reason == "hazard":
            return Read(text, found, case, "hazard", step.caution, asked=answered)
        read = Read(text, found, case, "look", asked=answered,
                    suspected=self._suspected(text, found, answered))
        if not found.symptoms and not _abnormal(case):
            read.kind = self._without_trouble(read)
            if read.kind == "unplaced":
                self._suppose(read)
            return read
        read.option = _fair(case)
        read.questions = self._questions(read)
        if not read.suspected:
            recheck = isinstance(step, Recheck)
            read.kind = "answer" if _asks_only(read) else self._kind(case, read.option, recheck)
        return read

    def _without_trouble(self, read: Read) -> str:
        """The kind of a letter in which no trouble was placed."""
        if read.suspected:
            return "look"
        off = off_topic(read.text, read.understood, self.index.lexicon)
        if read.asked and not (off and all(one.fit < PLAIN for one in read.asked)):
            return "answer"
        if off:
            return "off"
        read.asked = asked(self.system.book, read.text, SURE)
        return "answer" if read.asked else "unplaced"

    def _suppose(self, read: Read) -> None:
        """Take a letter that says nothing plainly for the likeliest trouble, where that has a fair fix."""
        found = read.understood
        meant = next((s for s in found.maybe if not self._stops(s)), None)
        if meant is None:
            return
        case = case_of(self.system, self.today, (meant,), found.values, read.text, found.likely, found.tried)
        option = _fair(case)
        if option is not None and not isinstance(case.step(), Stop):
            read.case, read.supposed, read.option = case, meant, option
            read.kind, read.questions = self._kind(case, option, False), self._questions(read)

    @staticmethod
    def _kind(case: Case, option: Option | None, recheck: bool) -> str:
        if recheck:
            return "question"
        if option is None:
            return "nothing"
        return "handover" if option.who in case.refused else "remedy"

    def _questions(self, read: Read) -> tuple[Question, ...]:
        """The few questions that tell most, those left out that the letter seems to answer."""
        found: dict[str, Question] = {}
        for question in self.system.asker.worth(read.case.state):
            if not _answered(read, question.observation):
                found.setdefault(question.observation, question)
            if len(found) == QUESTIONS:
                break
        return tuple(found.values())

    def _suspected(self, text: str, found: Understood, answered: Sequence[Asked]) -> tuple[str, ...]:
        """Hazardous symptoms not claimed that the words come near to; questions answered are none."""
        text = without_questions(self.system.book, text, answered, self._stops)
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
            text: str = "", likely: Mapping[str, float] = MappingProxyType({}),
            tried: Mapping[str, str] = MappingProxyType({})) -> Case:
    """A case of these complaints, with answers that a letter gave, and what it says was tried."""
    case = Case(system, today=today)
    for remedy, outcome in tried.items():
        case.tried(remedy, outcome)  # type: ignore[arg-type]  # the patterns give Outcomes alone
    case.complain(text, symptoms, read=True, likely=likely)
    for name, value in values.items():
        case.answer(name, value, given=COMPLAINT)
    return case


def _fair(case: Case) -> Option | None:
    """The first fix, if it is not hopeless."""
    return case.options[0] if case.options and case.options[0].chance >= HOPELESS else None


def _answered(read: Read, observation: str) -> bool:
    """Does the letter seem to answer a question: doubtfully, or by words that stand in it?"""
    if observation in read.understood.doubtful:
        return True
    said = f" {plain(read.text).lower()} "
    answers = read.case.book.observations[observation].answers.values()
    phrases = (plain(phrase).lower() for stated in answers for phrase in (stated.says, *stated.lay))
    return any(" " in phrase and f" {phrase} " in said for phrase in phrases)


def _asks_only(read: Read) -> bool:
    """Is the answer all there is to say: no cause likely enough to be named beside it, and nothing in the
    letter that calls for care or that the answer hangs on?
    """
    case = read.case
    named = any(r.cause and r.probability >= NAMED for r in case.ranked[:2])
    careful = case.cautions or case.signs or case.use.text != "yes"
    within = any(case.book.practice[one.entry].within for one in read.asked)
    harmless = all(case.book.symptoms[s].area in HARMLESS for s in case.complaints)
    return bool(read.asked) and harmless and not (named or careful or within)


def _abnormal(case: Case) -> bool:
    findings = case.book.findings
    return any(findings[n].values[v].abnormal == "yes"
               for n, values in case.inference.findings.items() for v in values)
