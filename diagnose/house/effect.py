"""What a change to the book does to cases: run before and after, differences kept for telling.

Only the cases that the change can touch (see `touch`) are run, those nearest to it first, for
as long as a person waits. What is advised, the causes at the top and the cautions are compared
in each; the next question, which costs far more to work out, in those that came out otherwise.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterable, Set
from dataclasses import dataclass, field
from typing import NamedTuple

from diagnose.book.book import Book
from diagnose.book.overlay.guard import GRAVE
from diagnose.case.case import Ask, Case, Done, Fix, Stop
from diagnose.errors import UserError
from diagnose.house import touch
from diagnose.house.cases import NamedCase
from diagnose.house.readings import Readings, alike
from diagnose.reason.explain.chance import percent
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.system import System

WAITS_S = 1.5
"""Seconds of the processor for which cases are run while a person waits."""
NAMED = 3
"""Causes compared from the top."""
LEAST_MOVE = 0.01
"""A probability moves when it changes by this much."""


@dataclass(frozen=True)
class Difference:
    """How one case comes out otherwise."""

    case: str
    advice: tuple[str, str] = ("", "")
    """What is advised first, before and after, in words; empty where that stays."""
    lines: tuple[str, ...] = ()
    """All else, each in a line."""
    lost: tuple[str, ...] = ()
    """DANGERs and WARNINGs that would no longer show."""


@dataclass
class HouseEffect:
    """What a change does to all cases."""

    cases: int = 0
    touched: int = 0
    """Cases that the change can touch."""
    looked_at: int = 0
    """Those of them that were run in the time there was."""
    differences: list[Difference] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)
    """Cases that fit neither book, and why."""


class Compared(NamedTuple):
    """A case in both books."""

    name: str
    before: Case
    after: Case


Progress = Callable[[str, int], None]
"""Told what is being done and how many cases it is done for."""


def compare(before: Book, after: Book, cases: Iterable[NamedCase],
            progress: Progress = lambda what, done: None, seconds: float | None = None,
            every: bool = False) -> HouseEffect:
    """Cases in both books; with `every`, those are run too that the change cannot touch.

    `seconds` of the processor is how long they are run, once they are read; None for as long as it takes.
    """
    effect = HouseEffect()
    pairs = _touched(_Comparer(before, after, every), cases, effect, progress)
    ends = math.inf if seconds is None else time.process_time() + seconds
    spoken_of, new = touch.causes(before, after), after.observations.keys() - before.observations.keys()
    pairs.sort(key=lambda p: -touch.near(after, p.before.complaints, spoken_of))
    for done, pair in enumerate(pairs, 1):
        if time.process_time() > ends:
            break
        effect.looked_at = done
        progress("tried on", done)
        if found := _difference(pair, new):
            effect.differences.append(found)
    effect.differences.sort(key=lambda d: (not d.lost, not d.advice[1], d.case))
    return effect


def _touched(comparer: _Comparer, cases: Iterable[NamedCase], effect: HouseEffect, progress: Progress
             ) -> list[Compared]:
    """The cases that the change can touch, in both books."""
    found = []
    for tried in cases:
        effect.cases += 1
        if pair := comparer.pair(tried, effect):
            found.append(pair)
        progress("read", effect.cases)
    comparer.done()
    effect.touched = len(found)
    return found


class _Comparer:
    """Builds each case over both books."""

    def __init__(self, before: Book, after: Book, every: bool) -> None:
        old = System(before)
        self._after = System(after, priors=old.reasoner.priors if _as_common(before, after) else None)
        self._alike = alike(before, after)
        self._old = Readings(old)
        self._new = self._old if self._alike else Readings(self._after)
        self._touch = None if every else touch.Touch(self._old.system, self._after)

    def pair(self, tried: NamedCase, effect: HouseEffect) -> Compared | None:
        """The case in both books; None where it is untouched, or where one of them won't have it."""
        try:
            before = self._old.build(tried)
        except UserError as error:
            self._unfit(tried, str(error), effect)
            return None
        if self._touch is not None and not self._touch.touches(before):
            return None
        try:
            return Compared(tried.name, before, self._built_after(tried, before))
        except UserError as error:
            lines = (f"no longer fits the book: {error}",)
            effect.differences.append(Difference(tried.name, lines=lines))
            return None

    def _built_after(self, tried: NamedCase, before: Case) -> Case:
        if self._alike:
            return Case(self._after, before.entries, today=before.today)
        return self._new.build(tried)

    def _unfit(self, tried: NamedCase, why: str, effect: HouseEffect) -> None:
        """A case that does not fit the book as it is: does it fit the book as it would be?"""
        try:
            (Readings(self._after) if self._alike else self._new).build(tried)
        except UserError:
            effect.skipped.append(f"{tried.name}: {why}")
        else:
            effect.differences.append(Difference(tried.name, lines=(f"fits only now; before: {why}",)))

    def done(self) -> None:
        """Keep what was read."""
        for readings in {self._old, self._new}:  # one and the same where both books read alike
            readings.keep()


def _as_common(before: Book, after: Book) -> bool:
    """Is everything before any evidence, how common causes are and what they show, the same?"""
    return all(getattr(before, kind) == getattr(after, kind)
               for kind in ("causes", "symptoms", "findings", "observations"))


def _difference(pair: Compared, new: Set[str]) -> Difference | None:
    """How the case comes out otherwise, its next question among the `new` ones; None if it does not."""
    before, after = pair.before, pair.after
    if not new and _same(before, after):
        return None
    cautions, lost = _cautions(before, after)
    lines = (*cautions, *_ranking(before, after), *_asked(after, new))
    advice = _advice(before), _advice(after)
    moved = advice[0] != advice[1]
    return Difference(pair.name, advice if moved else ("", ""), lines, lost) if moved or lines else None


def _same(before: Case, after: Case) -> bool:
    """Is all the same that advice hangs on? It costs as much to work out as the causes do."""
    return (before.book.remedies == after.book.remedies and before.book.targets == after.book.targets
            and before.cautions == after.cautions
            and before.inference.findings == after.inference.findings
            and [(r.cause, r.score) for r in before.ranked] == [(r.cause, r.score) for r in after.ranked])


def _asked(case: Case, new: Set[str]) -> list[str]:
    """The next question, where it is a new one."""
    step = case.step() if new else None
    if isinstance(step, Ask) and step.question.observation in new:
        return [f"is asked next: {case.book.observations[step.question.observation].ask}"]
    return []


def _ranking(before: Case, after: Case) -> list[str]:
    """How the causes at the top moved."""
    old = {r.cause: r.probability for r in before.ranked}
    new = {r.cause: r.probability for r in after.ranked}
    top = dict.fromkeys([r.cause for r in before.ranked[:NAMED]] + [r.cause for r in after.ranked[:NAMED]])
    lines = []
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


def _advice(case: Case) -> str:
    """What the case is advised, were no more asked."""
    if case.hazard:
        return f"stop: {case.book.cautions[case.hazard].text}"
    match case.fix():
        case Fix(option, _):
            return case.book.remedies[option.remedy].name
        case Stop(_, caution, option):
            return f"hand it over: {case.book.remedies[option.remedy].name if option else caution}"
        case Done(reason):
            return "nothing yet, too little is known" if reason == "unsure" else "nothing in this book fits"
    raise AssertionError("a case has no other advice")
