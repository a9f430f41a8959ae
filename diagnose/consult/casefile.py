"""Case files: a complaint, what was answered, and (for tests) what should come of it."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import msgspec

from diagnose.consult.answers import AnswerError, is_dont_know
from diagnose.consult.case import Case
from diagnose.errors import UserError
from diagnose.kb.problems import KnowledgeError, nearest
from diagnose.kb.source import Tree, read_file
from diagnose.reason.system import System

OUTCOMES = ("solved", "better", "same", "worse")


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


def read(path: Path) -> list[tuple[CaseFile, Tree]]:
    """The cases of a file, one or a list of them, each with the places of its own parts.

    UserError with file, line and mend where it can't be read.
    """
    try:
        tree = read_file(path)
    except KnowledgeError as error:
        raise UserError(str(error.problems[0])) from None
    if tree.problems:
        raise UserError(str(tree.problems[0]))
    if not isinstance(tree.data, list):
        return [(_typed(tree), tree)]
    if not tree.data:
        raise UserError(f"{path}: the list of cases is empty")
    return [(_typed(part), part) for part in map(partial(_part, tree), range(len(tree.data)))]


def _part(tree: Tree, at: int) -> Tree:
    """One case of a list, as if it stood alone."""
    part = Tree(tree.name)
    part.data = tree.data[at]
    part.places = {path[1:]: place for path, place in tree.places.items()
                   if path[:1] == (str(at),)}
    return part


def _typed(tree: Tree) -> CaseFile:
    try:
        found = msgspec.convert(tree.data, CaseFile, strict=False)
    except msgspec.ValidationError as error:
        raise UserError(f"{tree.place(())}: {_mend(str(error))}") from None
    if not found.complaint.strip() and not found.answers:
        raise UserError(f"{tree.place(('complaint',))}: the complaint is empty; say what is wrong")
    return found


def _mend(message: str) -> str:
    text = message.replace("Object", "a case file").replace("Expected `object`", "expected a map")
    return text[0].lower() + text[1:] + "; it holds `complaint:` and `answers:`"


def build(system: System, found: CaseFile, tree: Tree) -> Case:
    """The case with everything in the file answered; UserError names what does not fit."""
    case = Case(system, today=date.fromisoformat(found.today) if found.today else None)
    _complain(case, found, tree)
    for remedy, outcome in found.tried.items():   # before the answers, which hold as things stand
        _tried(case, tree, remedy, outcome)
    for name, value in found.answers.items():
        _answer(case, tree, name, value)
    for name in found.unknown:
        _known(case, tree, name, ("unknown",))
        case.dont_know(name)
    return case


def _complain(case: Case, found: CaseFile, tree: Tree) -> None:
    book = case.book
    for i, symptom in enumerate(found.symptoms):
        if symptom not in book.symptoms:
            raise UserError(f"{tree.place(('symptoms', str(i)))}: no symptom {symptom!r}"
                            f"{nearest(symptom, book.symptoms)}")
    if found.symptoms:
        case.complain(found.complaint, found.symptoms)
    elif found.complaint.strip():
        from diagnose.lookup.complaint import understand

        understood = understand(book, found.complaint)
        case.complain(found.complaint, understood.symptoms, read=True)
        for name, value in understood.values.items():
            if name not in found.answers:
                case.answer(name, value, given="complaint")


def _known(case: Case, tree: Tree, name: str, path: tuple[str, ...]) -> None:
    if name not in case.book.observations:
        raise UserError(f"{tree.place((*path, name))}: no observation {name!r}"
                        f"{nearest(name, case.book.observations)}")


def _answer(case: Case, tree: Tree, name: str, value: Any) -> None:
    _known(case, tree, name, ("answers",))
    if is_dont_know(value):
        case.dont_know(name)
        return
    try:
        case.answer(name, value)
    except AnswerError as error:
        raise UserError(f"{tree.place(('answers', name))}: {name}: {error}") from None


def _tried(case: Case, tree: Tree, remedy: str, outcome: str) -> None:
    place = tree.place(("tried", remedy))
    if remedy not in case.book.remedies:
        raise UserError(f"{place}: no remedy {remedy!r}{nearest(remedy, case.book.remedies)}")
    if outcome not in OUTCOMES:
        raise UserError(f"{place}: {outcome!r} is none of {', '.join(OUTCOMES)}")
    case.tried(remedy, outcome)  # type: ignore[arg-type]
