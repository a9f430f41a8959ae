"""What came of a fix: told, and of several complaints the ones that are left."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from diagnose.dialogue.choices import choose, none_of, several
from diagnose.dialogue.mentions import Kept
from diagnose.dialogue.sitting import Sitting, Stage
from diagnose.present import views
from diagnose.present.screens import Choice, Screen, Wanted


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

    def record(self, s: Sitting, gone: tuple[str, ...] = ()) -> None:
        """Take it into the case; `gone` are the complaints that are over."""
        s.over.clear()
        s.hurried = s.guessing = False
        self.enter(s, gone)
        s.say("was_partly" if gone and not self.goes_on else f"was_{self.outcome}")

    def enter(self, s: Sitting, gone: tuple[str, ...] = ()) -> int:
        """Put it on record; how many entries that makes."""
        before = len(s.case.entries)
        outcome = "better" if self.goes_on else self.outcome
        s.case.tried(self.remedy, outcome, self.new.symptoms, gone)  # type: ignore[arg-type]
        if self.new.answers or self.new.tried:
            s.record(self.new, symptoms=False)
        return len(s.case.entries) - before


def came_of_it(s: Sitting, came: Came) -> None:
    """Record what came of a fix; of several complaints ask which are left, where it is better.

    That it is better is on record before that is asked: an answer that never comes loses nothing.
    """
    complaints = s.case.complaints
    if came.outcome == "better" and len(complaints) > 1:
        s.over.append(StillThere(came, complaints, came.enter(s)))
    else:
        came.record(s, complaints if came.goes_on else ())


@dataclass
class StillThere(Stage):
    """It is better: which of the complaints are still there?"""

    came: Came
    complaints: tuple[str, ...]
    recorded: int
    """Entries that hold what was told so far; the answer is recorded in their place."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("left", {"remedy": s.book.remedies[self.came.remedy].name},
                      self._choices(s), Wanted("several"))

    def _choices(self, s: Sitting) -> tuple[Choice, ...]:
        return (*(Choice(n, s.book.symptoms[n].name) for n in self.complaints),
                Choice("all"), Choice("nothing"))

    def undo(self, s: Sitting) -> None:
        for _ in range(self.recorded):
            s.case.back()

    def take(self, s: Sitting, line: str) -> None:
        choices = self._choices(s)
        picked = several(line, choices)
        if picked is None:
            none_of(s, line, choices)
        elif "nothing" in picked and len(picked) == 1:
            self.undo(s)
            came_of_it(s, replace(self.came, outcome="solved"))
        elif "all" in picked:
            self.undo(s)
            self.came.record(s)
        else:
            self.undo(s)
            self.came.record(s, tuple(n for n in self.complaints if n not in picked))


@dataclass
class Outcome(Stage):
    """What came of work that another did, or of a fix that something new came with."""

    remedy: str
    kept: Kept = field(default_factory=Kept)
    """What is new."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("also", {"remedy": s.book.remedies[self.remedy].name,
                               "new": [s.book.symptoms[n].name for n in self.kept.symptoms]},
                      self._choices(), Wanted("one"))

    def _choices(self) -> tuple[Choice, ...]:
        return tuple(map(Choice, views.OUTCOMES[:4]))

    def take(self, s: Sitting, line: str) -> None:
        outcome = choose(s, line, self._choices())
        if outcome:
            came_of_it(s, Came(self.remedy, outcome, self.kept))
