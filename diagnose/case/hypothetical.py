"""Shadow cases: the same case with something else said, the case itself left alone."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import msgspec

from diagnose.book.book import Book
from diagnose.book.names import YES_NO
from diagnose.case.case import Ask, Case, Done, Fix, Step, Stop
from diagnose.case.events import Entry, Event, Unknown, now
from diagnose.reason.plan import PEOPLE
from diagnose.reason.questions.ask import Question, State
from diagnose.reason.system import System

MOST_LEFT = 9
LOOK_SECONDS = 0.12
GLANCED_AT = 12
"""Questions looked at for each one on the way."""
USUAL_AGE = timedelta(days=14)
"""How long ago a date asked for usually lies."""


def shadow(case: Case, events: Iterable[Event]) -> Case:
    """The case with further events; nothing is kept of it."""
    refused = case.refused[0] if case.refused else ""
    person = PEOPLE[PEOPLE.index(refused) - 1] if refused else PEOPLE[-1]
    entries = [*case.entries, *(Entry(now(), e) for e in events)]
    return Case(case.system, entries, person=person, today=case.today)


def without(case: Case, questions: Iterable[str]) -> Case:
    """The case as if these questions could not be answered."""
    put_aside = [Unknown(n) for n in questions if n not in case.values]
    return shadow(case, put_aside) if put_aside else case


def step(case: Case, questions: Iterable[str], fixes: set[str], guess: bool = False) -> Step:
    """What comes next when these questions and fixes are put aside; `guess`: a guess is wanted too."""
    seen = without(case, questions)
    found = seen.step()
    if guess and found == Done("unsure"):
        found = seen.best()
    if not fixes or not (isinstance(found, Fix) or (isinstance(found, Stop) and found.option)):
        return found
    if isinstance(found, Fix) and found.again and found.option.remedy not in fixes:
        return found
    left = [o for o in seen.options if o.remedy not in fixes]
    if not left:
        return found
    if left[0].who in case.refused:
        return Stop("handover", option=left[0])
    return Fix(left[0], tuple(left[1:4]))


class QuestionsLeft(msgspec.Struct, frozen=True):
    """How many questions are likely left, or at least how many."""

    count: int
    at_least: bool = False


def questions_left(case: Case, seconds: float = LOOK_SECONDS) -> QuestionsLeft:
    """The questions on the way ahead if every answer is the likeliest; a rough guide.

    Stops looking after `seconds`, with what was counted so far.
    """
    end = time.perf_counter() + seconds
    found, state = case.step(), case.state
    question = found.question if isinstance(found, Ask) else None
    for count in range(MOST_LEFT):
        if question is None:
            return QuestionsLeft(count)
        if time.perf_counter() > end:
            return QuestionsLeft(max(count, 1), at_least=True)
        state = _answered(case.system, state, question)
        question = case.system.asker.best(state, GLANCED_AT)
    return QuestionsLeft(MOST_LEFT, at_least=True)


def _answered(system: System, state: State, question: Question) -> State:
    likely = max(question.outlook, key=lambda row: row[1])[0]
    name = question.observation
    values = {**state.values, name: _value(system.book, name, likely, state.today)}
    return replace(state, values=values, closed=frozenset(state.closed) | {name})


def _value(book: Book, name: str, text: str, today: date | None) -> Any:
    """An outlook's answer as a value; for one input of a wanted number, what is usual."""
    stated = book.observations[name]
    if stated.kind == "date":
        return (today or date.today()) - USUAL_AGE
    if stated.kind == "choice":
        return text if text in stated.answers else next(iter(stated.answers))
    if stated.kind == "yes_no":
        return text if text in YES_NO else YES_NO[0]
    try:
        return float(text)
    except ValueError:
        low, high = stated.usual or stated.range or (0.0, 1.0)
        return (low + high) / 2
