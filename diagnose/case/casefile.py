"""Case files: a complaint, what was answered, and (for tests) what should come of it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import msgspec

from diagnose.book.answers import EARLIEST, AnswerError, exact, is_dont_know
from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError, Place, Problem, nearest
from diagnose.book.yaml.source import Tree, read_file
from diagnose.case.case import Case
from diagnose.case.events import COMPLAINT
from diagnose.errors import UserError
from diagnose.reason.system import System

OUTCOMES = ("solved", "better", "same", "worse")


class CaseFileError(UserError):
    """A case file can't be taken: the place, what is wrong there, the mend."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


class Expected(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What a case should come to."""

    causes: tuple[str, ...] = ()
    """The fault, or the faults of a case with two, the chief one first."""
    fix: tuple[str, ...] = ()
    """Remedies any of which is the right first fix."""
    cautions: tuple[str, ...] = ()
    stopped: str = ""


class CaseFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One case as a file holds it."""

    complaint: str
    symptoms: tuple[str, ...] = ()
    """Symptom ids, where the words should not be read for them."""
    answers: dict[str, str] = {}
    unknown: tuple[str, ...] = ()
    tried: dict[str, str] = {}
    """Remedies tried already, with what came of them."""
    today: str = ""
    expect: Expected | None = None
    kind: str = ""
    """single, two-fault, misleading, dont-know, wrong-answer, normal or hazard."""
    note: str = ""
    title: str = ""
    in_words: dict[str, Any] = {}
    """What a careful reader takes from the complaint alone."""
    lost: tuple[str, ...] = ()
    """What was told and no question of the book takes."""
    gap: str = ""
    """The established cause, where the book lacks it."""


def read(path: Path, name: str | None = None) -> list[tuple[CaseFile, Tree]]:
    """The cases of a file, one or a list of them, each with the places of its own parts.

    `name` is how problems call the file. CaseFileError where it can't be read.
    """
    try:
        tree = read_file(path, name)
    except KnowledgeError as error:
        raise CaseFileError(error.problems[0]) from None
    if tree.problems:
        raise CaseFileError(tree.problems[0])
    if not isinstance(tree.data, list):
        return [(_typed(tree), tree)]
    if not tree.data:
        raise CaseFileError(Problem(Place(tree.name, 1), "the list of cases is empty"))
    return [(_typed(part), part) for part in _parts(tree)]


def _parts(tree: Tree) -> list[Tree]:
    """The cases of a list, each as if it stood alone."""
    parts = [Tree(tree.name) for _ in tree.data]
    for part, data in zip(parts, tree.data, strict=True):
        part.data = data
    for path, place in tree.places.items():
        if path:
            parts[int(path[0])].places[path[1:]] = place
    return parts


def _typed(tree: Tree) -> CaseFile:
    try:
        found = msgspec.convert(tree.data, CaseFile, strict=False)
    except msgspec.ValidationError as error:
        raise CaseFileError(Problem(tree.place(()), _mend(str(error)))) from None
    if not found.complaint.strip() and not found.answers:
        raise CaseFileError(Problem(tree.place(("complaint",)),
                                    "the complaint is empty; say what is wrong"))
    return found


def _mend(message: str) -> str:
    text = message.replace("Object", "a case file").replace("Expected `object`", "expected a map")
    return text[0].lower() + text[1:] + "; it holds `complaint:` and `answers:`"


def faults(book: Book, found: CaseFile, tree: Tree) -> Iterator[Problem]:
    """What of the case the book does not know: symptoms, questions, answers, remedies."""
    day = _day(found)
    if found.today and (day is None or day < EARLIEST):
        yield Problem(tree.place(("today",)), f"{found.today!r} is no date since {EARLIEST.year}; write it "
                      "as 2026-03-31")
    for i, symptom in enumerate(found.symptoms):
        yield from unknown(tree, ("symptoms", str(i)), "symptom", symptom, book.symptoms)
    for remedy, outcome in found.tried.items():
        yield from unknown(tree, ("tried", remedy), "remedy", remedy, book.remedies)
        if outcome not in OUTCOMES:
            yield Problem(tree.place(("tried", remedy)),
                          f"{outcome!r} is none of {', '.join(OUTCOMES)}")
    for name, value in found.answers.items():
        yield from _answer_faults(book, found, tree, name, value)
    for i, name in enumerate(found.unknown):
        yield from unknown(tree, ("unknown", str(i)), "observation", name, book.observations)


def unknown(tree: Tree, path: tuple[str, ...], kind: str, name: str, known: Mapping[str, object]
            ) -> Iterator[Problem]:
    """That there is no such entry, if there is none, with the nearest there is."""
    if name not in known:
        yield Problem(tree.place(path), f"no {kind} {name!r}{nearest(name, known)}")


def _answer_faults(book: Book, found: CaseFile, tree: Tree, name: str, value: str
                   ) -> Iterator[Problem]:
    yield from unknown(tree, ("answers", name), "observation", name, book.observations)
    if name not in book.observations or is_dont_know(value):
        return
    try:
        exact(book.observations[name], value, _day(found))
    except AnswerError as error:
        yield Problem(tree.place(("answers", name)), f"{name}: {error}")


def _day(found: CaseFile) -> date | None:
    """The day of the case, where it gives one that is one."""
    try:
        return date.fromisoformat(found.today)
    except ValueError:
        return None


def build(system: System, found: CaseFile, tree: Tree,
          remark: Callable[[Place, str], None] = lambda place, said: None) -> Case:
    """The case with everything in the file answered; CaseFileError names what does not fit.

    `remark` is told where the complaint stands, and what of it was left out.
    """
    for problem in faults(system.book, found, tree):
        raise CaseFileError(problem)
    case = Case(system, today=_day(found))
    for note in complain(case, found):
        remark(tree.place(("complaint",)), note)
    for remedy, outcome in found.tried.items():   # before the answers, which hold as things stand
        case.tried(remedy, outcome)  # type: ignore[arg-type]  # `faults` let no other word pass
    for name, value in found.answers.items():
        if is_dont_know(value):
            case.dont_know(name)
        else:
            case.answer(name, value)
    for name in found.unknown:
        case.dont_know(name)
    return case


def complain(case: Case, found: CaseFile) -> tuple[str, ...]:
    """Put the complaint and what its words answer; returns what is to be remarked of how it was read."""
    if found.symptoms:
        case.complain(found.complaint, found.symptoms)
    if found.symptoms or not found.complaint.strip():
        return ()
    from diagnose.case.hazards import Alarms
    from diagnose.reading.fault import fault_in
    from diagnose.reading.questions import asked

    alarms = Alarms(case.system, case.today)
    understood = fault_in(case.book, found.complaint, asked(case.book, found.complaint),
                          lambda name: bool(alarms.symptom(name)))
    case.complain(found.complaint, understood.symptoms, read=True, likely=understood.likely)
    for name, value in understood.values.items():
        if name not in found.answers:
            case.answer(name, value, given=COMPLAINT)
    return (*understood.notes, *_perhaps(case, found.complaint, understood.symptoms))


def _perhaps(case: Case, text: str, symptoms: Collection[str]) -> Iterator[str]:
    """A remark on each danger that the words may tell of, beside those they plainly tell."""
    from diagnose.reading import danger

    for symptom in danger.heard(case.book, text):
        if symptom not in symptoms:
            name = case.book.symptoms[symptom].name
            yield (f"Perhaps a danger is told: {name}. If so, stop: switch off, keep away, and put it "
                   "down as a complaint first.")
