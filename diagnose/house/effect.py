"""What a change to the book does to cases: run before and after, differences told.

Ranking and cautions are compared for all cases; those that the change cannot touch (see
`touch`) need no run for that. The next step costs far more to work out, so it is compared
first for cases whose ranking moved, and for the rest, nearest first, as far as time allows.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from diagnose.book.book import Book
from diagnose.book.overlay.guard import GRAVE
from diagnose.case.case import Ask, Case, Done, Fix, Recheck, Stop
from diagnose.errors import UserError
from diagnose.house import touch
from diagnose.house.cases import Tried
from diagnose.house.readings import Readings, alike
from diagnose.reason.explain.chance import percent
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.system import System

SECONDS_MOVED = 10.0
SECONDS_ALL = 4.0
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


class Compared(NamedTuple):
    """A case in both books; `moved` says how its ranking did."""

    name: str
    before: Case
    after: Case
    moved: list[str]
    touched: bool


Progress = Callable[[str, int], None]
"""Told what is being done and how many cases it is done for."""


def compare(before: Book, after: Book, cases: Iterable[Tried],
            progress: Progress = lambda what, done: None, every: bool = False) -> Effect:
    """Every case in both books; with `every`, those are run too that the change cannot touch."""
    comparer = _Comparer(before, after, every)
    effect = Effect()
    pairs: list[Compared] = []
    for tried in cases:
        pair = comparer.pair(tried, effect)
        if pair is not None:
            pairs.append(pair)
        effect.cases += 1
        progress("tried on", effect.cases)
    comparer.done()
    spoken_of = touch.causes(before, after)
    pairs.sort(key=lambda p: (not p.moved, -touch.near(before, p.before.complaints, spoken_of)))
    _steps(pairs, effect, progress)
    effect.differences.sort(key=lambda d: (not d.lost, d.case))
    return effect


class _Comparer:
    """Builds each case over both books and compares how its causes stand."""

    def __init__(self, before: Book, after: Book, every: bool) -> None:
        self._after = System(after)
        self._alike = alike(before, after)
        self._old = Readings(System(before))
        self._new = self._old if self._alike else Readings(self._after)
        self._touch = None if every else touch.Touch(self._old.system, self._after)

    def pair(self, tried: Tried, effect: Effect) -> Compared | None:
        """The case in both books; None, and noted in the effect, where one of them won't have it."""
        try:
            before = self._old.build(tried)
        except UserError as error:
            self._unfit(tried, str(error), effect)
            return None
        try:
            after = self._built_after(tried, before)
        except UserError as error:
            lines = (f"no longer fits the book: {error}",)
            effect.differences.append(Difference(tried.name, lines))
            return None
        touched = self._touched(before)
        return Compared(tried.name, before, after, _ranking(before, after) if touched else [], touched)

    def _built_after(self, tried: Tried, before: Case) -> Case:
        if self._alike:
            return Case(self._after, before.entries, today=before.today)
        return self._new.build(tried)

    def _touched(self, case: Case) -> bool:
        return self._touch is None or self._touch.touches(case)

    def _unfit(self, tried: Tried, why: str, effect: Effect) -> None:
        """A case that does not fit the book as it is: does it fit the book as it would be?"""
        try:
            self._new.build(tried)
        except UserError:
            effect.skipped.append(f"{tried.name}: {why}")
        else:
            effect.differences.append(Difference(tried.name, (f"fits only now; before: {why}",)))

    def done(self) -> None:
        """Keep what was read."""
        for readings in {self._old, self._new}:  # one and the same where both books read alike
            readings.keep()


def _steps(pairs: list[Compared], effect: Effect, progress: Progress) -> None:
    start = time.monotonic()
    for done, pair in enumerate(pairs, 1):
        cautions, lost = _cautions(pair.before, pair.after) if pair.touched else ([], ())
        step: list[str] = []
        if time.monotonic() - start < (SECONDS_MOVED if pair.moved or cautions else SECONDS_ALL):
            step = _step(pair.before, pair.after)
            effect.stepped += 1
            progress("next step compared in", done)
        if pair.moved or cautions or step:
            effect.differences.append(Difference(pair.name, (*cautions, *pair.moved, *step), lost))


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
            lost += [name] if signal in GRAVE else []
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
