"""What answers would do: why a question is asked, what if, and what would change your mind."""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterator, Mapping
from typing import Any

import msgspec

from diagnose.book.answers import shown
from diagnose.book.bands import Bands
from diagnose.book.book import Book
from diagnose.book.names import YES_NO
from diagnose.compute import units
from diagnose.compute.registry import TEXT
from diagnose.reason.questions.ask import Question, State
from diagnose.reason.rank import believed
from diagnose.reason.system import System

OtherAnswer = tuple[str, Any]
"""An observation and another answer to it."""
BUDGET_SECONDS = 1.0
PAIRED = 24
"""Answers tried in pairs: those that bring another cause closest by themselves."""


class AnswerGroup(msgspec.Struct, frozen=True):
    """One thing a question may bring out: the answers alike in it, and the cause then first."""

    answers: tuple[str, ...]
    """In words."""
    likely: float
    cause: str
    sure: float


def branches(book: Book, question: Question) -> list[AnswerGroup]:
    """A question's outlook, answers that put the same cause first taken together.

    Bands of a number are joined where they touch and lead to the same cause.
    """
    found: dict[str, list[tuple[str, float, str, float]]] = {}
    for row in question.outlook:
        found.setdefault(row[2], []).append(row)
    made = [_branch(book, question.observation, rows) for rows in found.values()]
    return sorted(made, key=lambda b: -b.likely)


def _branch(book: Book, name: str, rows: list[tuple[str, float, str, float]]) -> AnswerGroup:
    likely = sum(row[1] for row in rows)
    sure = sum(row[1] * row[3] for row in rows) / likely if likely else rows[0][3]
    return AnswerGroup(_answers(book, name, [row[0] for row in rows]), likely, rows[0][2], sure)


def _answers(book: Book, name: str, said: list[str]) -> tuple[str, ...]:
    stated = book.observations[name]
    if stated.kind == "choice":
        return tuple(stated.answers[a].says for a in said if a in stated.answers)
    if stated.kind == "quantity":
        return _spans(book.bands[name], said, stated.unit)
    return tuple(s for s in said if s in YES_NO)


def _spans(bands: Bands, said: list[str], unit: str) -> tuple[str, ...]:
    """`below 20 s`, `20 s to 33 s`: the bands of these numbers, joined where they touch."""
    at = sorted({_band(bands, s) for s in said} - {-1})
    joined: list[list[int]] = []
    for i in at:
        if joined and i <= joined[-1][1] + 2:
            joined[-1][1] = i
        else:
            joined.append([i, i])
    return tuple(_span(bands.limits(bands.words[a])[0], bands.limits(bands.words[b])[1], unit)
                 for a, b in joined)


def _band(bands: Bands, said: str) -> int:
    try:
        return bands.words.index(bands.of(float(said)))
    except ValueError:
        return -1


def _span(low: float, high: float, unit: str) -> str:
    if low == float("-inf"):
        return "any number" if high == float("inf") else f"below {units.show(high, unit)}"
    if high == float("inf"):
        return f"above {units.show(low, unit)}"
    return f"{units.show(low, unit)} to {units.show(high, unit)}"


def measure_of(book: Book, question: Question) -> str:
    """The label of the number that the question's answer is wanted for, if it is for one."""
    first = question.outlook[0][0] if question.outlook else ""
    stated = book.observations[question.observation]
    if stated.kind == "quantity" and not _number(first):
        for measure in book.measures.values():
            if question.observation in measure.given.values():
                return measure.label
    return ""


def _number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def chances(system: System, state: State, changes: Mapping[str, Any] | None = None
            ) -> dict[str, float]:
    """Probability of every cause for the answers, some of them changed."""
    base = system.scorer.base({**state.values, **(changes or {})}, state.complaints,
                              state.today, state.doubtful, state.words)
    return believed(base.scores, base.before, state.outcomes)


class Turn(msgspec.Struct, frozen=True):
    """The fewest answers that would put another cause first, and how sure that would be."""

    changes: tuple[OtherAnswer, ...]
    cause: str
    sure: float


def turns(system: System, state: State, most: int = 3,
          budget: float = BUDGET_SECONDS) -> list[Turn]:
    """What would change the mind: single answers if any will do, else pairs.

    Answers given and answers not yet given are tried alike. Stops with the best so far
    when the budget (seconds) is used up.
    """
    end = time.perf_counter() + budget
    now = chances(system, state)
    first = max(now, key=lambda c: now[c])
    tried: list[tuple[float, OtherAnswer]] = []
    found: list[Turn] = []
    for change in _open(system, state, now):
        if time.perf_counter() > end:
            break
        turn, margin = _try(system, state, (change,), first)
        tried.append((margin, change))
        found += [turn] if turn else []
    if not found:
        best = [c for _, c in sorted(tried, key=lambda t: -t[0])[:PAIRED]]
        found = _pairs(system, state, best, first, end)
    return _each_once(sorted(found, key=lambda t: -t.sure))[:most]


def _pairs(system: System, state: State, best: list[OtherAnswer], first: str,
           end: float) -> list[Turn]:
    found = []
    for pair in itertools.combinations(best, 2):
        if time.perf_counter() > end:
            break
        if pair[0][0] != pair[1][0]:
            turn, _ = _try(system, state, pair, first)
            found += [turn] if turn else []
    return found


def _try(system: System, state: State, changes: tuple[OtherAnswer, ...], first: str
         ) -> tuple[Turn | None, float]:
    then = chances(system, state, dict(changes))
    other = max((c for c in then if c != first), key=lambda c: then[c])
    margin = then[other] - then[first]
    return (Turn(changes, other, then[other]) if margin > 0 else None), margin


def _each_once(found: list[Turn]) -> list[Turn]:
    """One way for each cause: the surest."""
    return list({turn.cause: turn for turn in reversed(found)}.values())[::-1]


def _open(system: System, state: State, now: Mapping[str, float]) -> Iterator[OtherAnswer]:
    """Other answers to what was asked, and answers to what bears on the likelier causes."""
    promise: dict[str, float] = {}
    for cause, chance in now.items():
        for leaf, weight in system.reach.cause.get(cause, {}).items():
            for name in system.reach.inputs.get(leaf, (leaf,)):
                promise[name] = promise.get(name, 0.0) + (chance + 0.002) * weight
    shut = set(state.closed) - set(state.values)
    for name in sorted(promise, key=lambda n: (n not in state.values, -promise[n], n)):
        if name not in shut:
            for answer in _other_answers(system.book, name, state.values.get(name)):
                yield name, answer


def _other_answers(book: Book, name: str, given: Any) -> list[Any]:
    stated = book.observations[name]
    if stated.kind == "choice":
        return [a for a in stated.answers if a != given]
    if stated.kind == "yes_no":
        return [a for a in YES_NO if a != given]
    if stated.kind == "quantity":
        bands = book.bands[name]
        return [v for v in _middles(bands, stated.range or (0.0, 1.0))
                if given is None or bands.of(v) != bands.of(given)]
    return []


def _middles(bands: Bands, limits: tuple[float, float]) -> list[float]:
    """A number from each band within the plausible range."""
    ends = [limits[0], *(p for p in bands.points if limits[0] < p < limits[1]), limits[1]]
    return [(a + b) / 2 for a, b in itertools.pairwise(ends)]


def said(book: Book, change: OtherAnswer) -> str:
    """An answer in words, a number as its band."""
    name, answer = change
    stated = book.observations[name]
    if stated.kind == "quantity" and book.names.units.get(name, TEXT) != TEXT:
        return (_spans(book.bands[name], [str(answer)], stated.unit) or (str(answer),))[0]
    return shown(stated, answer) if stated.kind == "choice" else str(answer)
