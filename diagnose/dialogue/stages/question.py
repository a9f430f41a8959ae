"""The stages of one question: its answer, the clock for it, and changing it later."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from diagnose.book.answers import AnswerError, shown
from diagnose.case.events import NOTEBOOK
from diagnose.compute import units
from diagnose.dialogue import replies
from diagnose.dialogue.choices import choose
from diagnose.dialogue.sitting import STAY, Clear, Drop, Moves, Push, Sitting, Stage
from diagnose.dialogue.stages import anything_else
from diagnose.present import views
from diagnose.present.screen_data import BrowseData, TimerData
from diagnose.present.screens import Choice, Screen, Wanted

FROM_NOTEBOOK = " (from the notebook)"


@dataclass
class Question(Stage):
    """One observation asked for, out of turn where the person wants to change it."""

    name: str

    def screen(self, s: Sitting) -> Screen:
        return views.question(s.case, self.name)

    def asks(self, s: Sitting) -> str | None:
        return self.name

    def check(self, s: Sitting, line: str) -> str:
        try:
            s.read(self.name, line)
        except AnswerError as error:
            return str(error)
        return ""

    def means(self, s: Sitting, line: str) -> list[str] | None:
        if self.check(s, line) or not replies.plain(s, self.name, line):
            return None
        stated = s.book.observations[self.name]
        return [str(s.read(self.name, line))] if stated.kind in ("choice", "yes_no") else []

    def take(self, s: Sitting, line: str) -> Moves:
        if not line:
            s.say("empty_question")
            return STAY
        wrong = self.check(s, line)
        plain = not wrong and replies.plain(s, self.name, line)
        heard = None if plain else anything_else.offer(s, line, self.name)
        if heard is not None:
            return heard
        if not plain and replies.is_long(line):
            wrong = wrong or "too long to be taken for the answer that it is like"
        if wrong:
            s.refuse(self.name, line, AnswerError(wrong))
            return STAY
        s.answer(self.name, line)
        return (Clear(),)


@dataclass
class Timer(Stage):
    """The clock inside the consult: one line starts it, the next stops it."""

    name: str
    began: float | None = None
    seconds: float | None = None

    def screen(self, s: Sitting) -> Screen:
        start = units.show(self.seconds, "s", 1) if self.seconds is not None else ""
        return Screen("timer", TimerData(self.phase, s.book.observations[self.name].ask),
                      wanted=Wanted("enter" if self.phase != "taken" else "quantity", "s", start=start))

    @property
    def phase(self) -> Literal["ready", "running", "taken"]:
        """Where the clock stands."""
        return "ready" if self.began is None else "running" if self.seconds is None else "taken"

    def elapsed(self, s: Sitting) -> float:
        """Seconds on the clock now."""
        if self.seconds is not None or self.began is None:
            return self.seconds or 0.0
        return s.clock() - self.began

    def asks(self, s: Sitting) -> str | None:
        return self.name

    def check(self, s: Sitting, line: str) -> str:
        return Question(self.name).check(s, line) if line else ""

    def means(self, s: Sitting, line: str) -> list[str] | None:
        return None if self.check(s, line) else []

    def take(self, s: Sitting, line: str) -> Moves:
        if line:
            return Question(self.name).take(s, line)
        if self.began is None:
            self.began = s.clock()
        elif self.seconds is None:
            self.seconds = round(s.clock() - self.began, 1)
        else:
            return Question(self.name).take(s, f"{self.seconds} s")
        return STAY


@dataclass
class Known(Stage):
    """What was answered so far, each to be changed by its number."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("browse", BrowseData("known"), self._choices(s), Wanted("one"))

    def _choices(self, s: Sitting) -> tuple[Choice, ...]:
        given = [Choice(n, s.book.observations[n].ask, shown(s.book.observations[n], v)
                        + (FROM_NOTEBOOK if s.case.given(n) == NOTEBOOK else ""))
                 for n, v in s.case.values.items()]
        left = [n for n in (*s.aside, *sorted(s.case.unknown))
                if n not in s.case.values and n in s.book.observations]
        return (*given, *(Choice(n, s.book.observations[n].ask) for n in dict.fromkeys(left)))

    def take(self, s: Sitting, line: str) -> Moves:
        if not line:
            return (Drop(self),)
        picked = choose(s, line, self._choices(s))
        return (Push(Question(picked)),) if picked else STAY
