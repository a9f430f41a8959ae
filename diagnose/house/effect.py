"""What a change to the book does to cases: every one run before and after, differences told.

Ranking and cautions are compared for all cases. The next step costs far more to work out, so
it is compared first for cases whose ranking moved, and for the rest as far as time allows.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property

from diagnose.consult.case import Ask, Case, Done, Fix, Recheck, Stop
from diagnose.consult.casefile import build
from diagnose.errors import UserError
from diagnose.house.cases import Tried
from diagnose.kb.book import Book
from diagnose.reason.ask import Asker, Question, State
from diagnose.reason.chance import percent
from diagnose.reason.prior import OTHER
from diagnose.reason.system import System

SECONDS_MOVED = 40.0
SECONDS_ALL = 10.0
"""How long next steps are worked out: for cases whose ranking moved, and then for the rest."""
NAMED = 3
"""Causes compared from the top."""
LEAST_MOVE = 0.01
"""A probability moves when it changes by this much."""


@dataclass(frozen=True)
class Difference:
    """What changes in one case, each in a line."""

    case: str
    lines: tuple[str, ...]
    lost: tuple[str, ...] = ()
    """DANGERs and WARNINGs that would no longer show."""


@dataclass
class Effect:
    """What a change does to all cases."""

    cases: int = 0
    stepped: int = 0
    """Cases whose next step was compared as well."""
    differences: list[Difference] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)
    """Cases that fit neither book, and why."""


class _PatientAsker(Asker):
    """Chooses the question without an eye on the clock, so that two runs agree."""

    def best(self, state: State, budget: float = math.inf) -> Question | None:
        return super().best(state, math.inf)


class _Patient(System):
    @cached_property
    def asker(self) -> Asker:
        return _PatientAsker(self.book, self.scorer, self.planner, self.reach)


def compare(before: Book, after: Book, cases: Iterable[Tried],
            progress: Callable[[int], None] = lambda done: None) -> Effect:
    """Run every case in both books."""
    systems = _Patient(before), _Patient(after)
    effect = Effect()
    pairs: list[tuple[str, Case, Case, list[str]]] = []
    for tried in cases:
        pair = _pair(systems, tried, effect)
        if pair is not None:
            pairs.append((tried.name, *pair, _ranking(*pair)))
        effect.cases += 1
        progress(effect.cases)
    _steps(pairs, effect)
    effect.differences.sort(key=lambda d: (not d.lost, d.case))
    return effect


def _pair(systems: tuple[System, System], tried: Tried, effect: Effect) -> tuple[Case, Case] | None:
    try:
        before = build(systems[0], tried.file, tried.tree)
    except UserError as error:
        return _unfit(systems[1], tried, str(error), effect)
    if _read_alike(systems[0].book, systems[1].book):
        # Reading the words costs most; where both books read them alike, once is enough.
        return before, Case(systems[1], before.entries, today=before.today)
    try:
        return before, build(systems[1], tried.file, tried.tree)
    except UserError as error:
        effect.differences.append(Difference(tried.name, (f"no longer fits the book: {error}",)))
    return None


def _unfit(after: System, tried: Tried, why: str, effect: Effect) -> None:
    """A case that does not fit the book as it is: does it fit the book as it would be?"""
    try:
        build(after, tried.file, tried.tree)
    except UserError:
        effect.skipped.append(f"{tried.name}: {why}")
    else:
        effect.differences.append(Difference(tried.name, (f"fits only now; before: {why}",)))


def _read_alike(before: Book, after: Book) -> bool:
    return (before.symptoms == after.symptoms and before.observations == after.observations
            and before.causes == after.causes and before.remedies.keys() == after.remedies.keys())


def _steps(pairs: list[tuple[str, Case, Case, list[str]]], effect: Effect) -> None:
    start = time.monotonic()
    for name, before, after, moved in sorted(pairs, key=lambda pair: not pair[3]):
        cautions, lost = _cautions(before, after)
        step: list[str] = []
        if time.monotonic() - start < (SECONDS_MOVED if moved or cautions else SECONDS_ALL):
            step = _step(before, after)
            effect.stepped += 1
        if moved or cautions or step:
            effect.differences.append(Difference(name, (*cautions, *moved, *step), lost))


def _ranking(before: Case, after: Case) -> list[str]:
    """How the causes at the top moved."""
    old = {r.cause: r.probability for r in before.ranked}
    new = {r.cause: r.probability for r in after.ranked}
    top = dict.fromkeys([r.cause for r in before.ranked[:NAMED]] + [r.cause for r in after.ranked[:NAMED]])
    lines = []
    if before.ranked[0].cause != after.ranked[0].cause:
        lines.append(f"first cause was: {_name(before, before.ranked[0].cause)}; "
                     f"now: {_name(after, after.ranked[0].cause)}")
    for cause in top:
        was, now = old.get(cause), new.get(cause)
        if was is None or now is None or abs(was - now) >= LEAST_MOVE:
            lines.append(f"{_name(before if was is not None else after, cause)}: "
                         f"{_chance(was)} to {_chance(now)}")
    return lines


def _chance(probability: float | None) -> str:
    return "not in the book" if probability is None else percent(probability)


def _name(case: Case, cause: str) -> str:
    return "something not in this book" if cause == OTHER else case.book.causes[cause].name


def _cautions(before: Case, after: Case) -> tuple[list[str], tuple[str, ...]]:
    lines, lost = [], []
    for name in before.cautions:
        if name not in after.cautions:
            signal = before.book.cautions[name].signal
            lines.append(f"{signal} no longer shown: {name}")
            lost += [name] if signal in ("DANGER", "WARNING") else []
    lines += [f"{after.book.cautions[name].signal} now shown: {name}"
              for name in after.cautions if name not in before.cautions]
    return lines, tuple(lost)


def _step(before: Case, after: Case) -> list[str]:
    old, new = _next(before), _next(after)
    return [] if old == new else [f"next was: {old}; now: {new}"]


def _next(case: Case) -> str:
    match case.step():
        case Ask(question):
            return f"ask {case.book.observations[question.observation].ask}"
        case Recheck(conflict):
            return f"look again: {conflict.text}"
        case Fix(option, _):
            return f"try: {case.book.remedies[option.remedy].name}"
        case Stop(reason, caution, option):
            what = caution or (case.book.remedies[option.remedy].name if option else reason)
            return f"stop: {what}"
        case Done(reason):
            return "solved" if reason == "solved" else "nothing in this book fits"
    raise AssertionError("a case has no other next step")


def told(effect: Effect, most: int = 20) -> list[str]:
    """An effect as lines: the gravest first, then case by case."""
    count = len(effect.differences)
    lines = [f"Tried on {effect.cases} case{'' if effect.cases == 1 else 's'}: "
             + (f"{count} come out otherwise." if count else "all come out as before.")]
    if effect.stepped < effect.cases - len(effect.skipped):
        lines.append(f"The next step was compared in {effect.stepped} of them; for the rest only "
                     "causes and cautions.")
    for difference in effect.differences[:most]:
        lines.append(f"- {difference.case}")
        lines += [f"    {line}" for line in difference.lines]
    if count > most:
        lines.append(f"... and {count - most} more.")
    lines += [f"left out: {line}" for line in effect.skipped[:5]]
    return lines
