"""What came of a fix: told, and of several complaints the ones that are left."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from diagnose.case import outcome_evidence
from diagnose.dialogue.choices import choose, none_of
from diagnose.dialogue.matching import several
from diagnose.dialogue.mentions import Kept
from diagnose.dialogue.sitting import STAY, Clear, Moves, Push, Sitting, Stage
from diagnose.present import views
from diagnose.present.screen_data import AlsoData, DoneRightData, LeftData
from diagnose.present.screens import Choice, Screen, Wanted

LIKELY = 0.5
"""Posterior of a cause from which it is asked whether a fix for it that did nothing was done right."""


@dataclass(frozen=True)
class Came:
    """What came of a fix, as far as it was told."""

    remedy: str
    outcome: str
    new: Kept
    """What is new since."""

    @property
    def goes_on(self) -> bool:
        """With a new trouble the case goes on, though the old one is gone."""
        return self.outcome == "solved" and bool(self.new.symptoms)

    def record(self, s: Sitting, gone: tuple[str, ...] = ()) -> Moves:
        """Take it into the case; `gone` are the complaints that are over."""
        s.hurried = s.guessing = False
        enough = self.outcome == "same" and outcome_evidence.helping(s.book, s.case.fixes) == self.remedy
        self.enter(s, gone)
        if enough:
            s.say("was_enough", remedy=s.book.remedies[self.remedy].name)
        else:
            s.say("was_partly" if gone and not self.goes_on else f"was_{self.outcome}")
        return (Clear(),)

    def enter(self, s: Sitting, gone: tuple[str, ...] = ()) -> int:
        """Put it on record; how many entries that makes."""
        before = len(s.case.entries)
        outcome = "better" if self.goes_on else self.outcome
        s.case.tried(self.remedy, outcome, self.new.symptoms, gone)  # type: ignore[arg-type]  # an Outcome
        if self.new.answers or self.new.tried:
            s.record(self.new, symptoms=False)
        return len(s.case.entries) - before


def came_of_it(s: Sitting, came: Came) -> Moves:
    """Record what came of a fix; of several complaints ask which are left, where it is better.

    That it is better is on record before that is asked: an answer that never comes loses nothing.
    """
    complaints = s.case.complaints
    if len(complaints) > 1 and (came.outcome == "better" or _leaves_some(s, came)):
        better = replace(came, outcome="better")
        return (Push(StillThere(better, complaints, better.enter(s))),)
    if _done_otherwise(s, came):
        s.asked_done.add(came.remedy)
        return (Push(DoneRight(came, came.enter(s))),)
    return came.record(s, complaints if came.goes_on else ())


def _leaves_some(s: Sitting, came: Came) -> bool:
    """Is it said to be solved by a fix that can't have reached all that was complained of?"""
    cured = s.system.planner.cured.get(came.remedy, {})
    reached = {symptom for cause in cured for symptom in s.book.causes[cause].shows}
    return came.outcome == "solved" and not came.goes_on and not reached.issuperset(s.case.complaints)


def _done_otherwise(s: Sitting, came: Came) -> bool:
    """Did nothing come of a fix whose cause is likely, and would another for the same cause be next?

    Then it may not have been done as it says; that is asked once.
    """
    cured = s.system.planner.cured.get(came.remedy, {})
    likely = next((r for r in s.case.ranked if r.cause in cured), None)
    others = [o for o in s.case.options if o.remedy != came.remedy and o.who not in s.case.refused]
    return (came.outcome == "same" and came.remedy not in s.asked_done
            and outcome_evidence.helping(s.book, s.case.fixes) != came.remedy
            and likely is not None and likely.probability >= LIKELY
            and bool(others) and others[0].causes[0][0] == likely.cause)


@dataclass
class DoneRight(Stage):
    """Nothing came of it: was it done just as it says?"""

    came: Came
    recorded: int
    """Entries that hold that nothing came of it."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("done_right", DoneRightData(s.book.remedies[self.came.remedy].name),
                      self._choices(), Wanted("one"))

    def _choices(self) -> tuple[Choice, ...]:
        return Choice("yes"), Choice("no")

    def undo(self, s: Sitting) -> None:
        for _ in range(self.recorded):
            s.case.back()

    def take(self, s: Sitting, line: str) -> Moves:
        picked = choose(s, line, self._choices())
        if not picked:
            return STAY
        self.undo(s)
        if picked == "yes":
            return self.came.record(s)
        s.say("as_it_says")
        return (Clear(),)


@dataclass
class StillThere(Stage):
    """It is better: which of the complaints are still there?"""

    came: Came
    complaints: tuple[str, ...]
    recorded: int
    """Entries that hold what was told so far; the answer is recorded in their place."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("left", LeftData(s.book.remedies[self.came.remedy].name),
                      self._choices(s), Wanted("several"))

    def _choices(self, s: Sitting) -> tuple[Choice, ...]:
        return (*(Choice(n, s.book.symptoms[n].name) for n in self.complaints),
                Choice("all"), Choice("nothing"))

    def undo(self, s: Sitting) -> None:
        for _ in range(self.recorded):
            s.case.back()

    def take(self, s: Sitting, line: str) -> Moves:
        choices = self._choices(s)
        picked = several(line, choices)
        if picked is None:
            none_of(s, line, choices)
            return STAY
        self.undo(s)
        if "nothing" in picked and len(picked) == 1:
            return replace(self.came, outcome="solved").record(s)
        if "all" in picked:
            return self.came.record(s)
        return self.came.record(s, tuple(n for n in self.complaints if n not in picked))


@dataclass
class Outcome(Stage):
    """What came of work that another did, or of a fix that something new came with."""

    remedy: str
    kept: Kept = field(default_factory=Kept)
    """What is new."""

    def screen(self, s: Sitting) -> Screen:
        data = AlsoData(s.book.remedies[self.remedy].name,
                        [s.book.symptoms[n].name for n in self.kept.symptoms])
        return Screen("also", data, self._choices(), Wanted("one"))

    def _choices(self) -> tuple[Choice, ...]:
        return tuple(map(Choice, views.OUTCOMES[:4]))

    def take(self, s: Sitting, line: str) -> Moves:
        outcome = choose(s, line, self._choices())
        return came_of_it(s, Came(self.remedy, outcome, self.kept)) if outcome else STAY
