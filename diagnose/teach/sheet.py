"""One complaint as a sheet: likely causes, how to tell them, what to try, cautions, when to stop."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from diagnose.book.book import Book
from diagnose.case.case import Case
from diagnose.present import cautions, stopping
from diagnose.present.fill import Filled, fill
from diagnose.present.parts import CautionData
from diagnose.reason.explain.chance import percent
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.system import System
from diagnose.teach.tree import Leaf, QuestionTree, causes, tree

FIRST, MOST = 3, 5
"""Causes shown for being the likeliest at first, and in all with those that the questions lead to."""
LEAST = 0.02


@dataclass(frozen=True)
class Shown:
    """One cause on a sheet."""

    cause: str
    letter: str
    chance: str
    tells: tuple[str, ...]
    """How to tell it from others on the sheet."""
    fix: Filled | None
    """The first thing to try; None where there is nothing to try before more is known."""


@dataclass(frozen=True)
class Sheet:
    """All that a page says of one complaint."""

    symptom: str
    case: Case
    hazard: str
    """The caution that stops all else; empty where none does."""
    shown: tuple[Shown, ...]
    tree: QuestionTree
    cautions: tuple[str, ...]
    """All that belong to it, by name."""

    @property
    def signs(self) -> list[str]:
        """What comes first where the complaint tells of danger."""
        return [line.text for line in stopping.told(stopping.signs(self.case))]


def sheet(system: System, symptom: str, depth: int) -> Sheet:
    """The sheet of a complaint before anything else is known; `depth` 0 draws no questions."""
    case = Case(system)
    case.complain("", [symptom])
    if case.hazard:
        return Sheet(symptom, case, case.hazard, (), QuestionTree(Leaf(()), ()), case.cautions)
    questions = tree(case, depth) if depth else QuestionTree(Leaf(()), ())
    names = list(_named(case, questions))
    shown = tuple(_shown(case, name, chr(ord("A") + i), names) for i, name in enumerate(names))
    return Sheet(symptom, case, "", shown, questions,
                 tuple(dict.fromkeys([*case.cautions, *questions.cautions, *_of_fixes(case.book, shown)])))


def _of_fixes(book: Book, shown: Iterable[Shown]) -> Iterator[str]:
    for one in shown:
        if one.fix:
            yield from book.remedies[one.fix.remedy].cautions


def _named(case: Case, questions: QuestionTree) -> list[str]:
    """The causes to show: the likeliest at first, then those that the questions lead to."""
    likely = [r.cause for r in case.ranked if r.cause != OTHER and r.probability >= LEAST]
    asked = [c for c in likely if c in set(causes(questions.root))]
    found = dict.fromkeys([*likely[:FIRST], *asked, *causes(questions.root), *likely])
    chances = {r.cause: r.probability for r in case.ranked}
    return sorted(list(found)[:MOST], key=lambda c: -chances[c])


def _shown(case: Case, cause: str, letter: str, others: list[str]) -> Shown:
    book, chance = case.book, next(r.probability for r in case.ranked if r.cause == cause)
    tells = tuple(f"Or {book.causes[o.cause].name}? {o.tell}" for o in book.causes[cause].look_alikes
                  if o.cause in others)
    return Shown(cause, letter, percent(chance), tells, _first(case, cause))


def _first(case: Case, cause: str) -> Filled | None:
    """What the planner would try first if this were known to be the cause, less what could do harm."""
    chances = {r.cause: r.probability for r in case.ranked}
    planner = case.system.planner
    for option in planner.order({cause: 1.0}, case.state.barred):
        if not planner.harmful(option.remedy, chances):
            return fill(case.inference, option.remedy)
    return None


def numbered(book: Book, sheets: Iterable[Sheet]) -> list[CautionData]:
    """The cautions of sheets that stand together, each once, the gravest first."""
    return cautions.several(book, [name for one in sheets for name in one.cautions])
