"""The stages of the case itself: its next step, what came of a fix, and what is told of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from msgspec.structs import replace as changed

from diagnose.consult import besides, views
from diagnose.consult.answers import NO, YES
from diagnose.consult.asking import Question
from diagnose.consult.case import Ask, Done, Fix, Recheck, Step, Stop
from diagnose.consult.parting import Summary, finish
from diagnose.consult.placing import Complaint
from diagnose.consult.said import Kept
from diagnose.consult.screens import Choice, Screen, Wanted
from diagnose.consult.sitting import Sitting, Stage
from diagnose.consult.stage import choose, chosen, several

OUTCOME_WORDS = {
    "solved": YES | {"fixed", "it worked", "it works", "gone", "cured", "it is gone", "it's gone"},
    "better": {"a bit", "a little", "somewhat", "partly", "a bit better", "half"},
    "same": NO | {"no change", "not really", "nothing", "no difference", "it did not help",
                  "it didn't help", "didn't help", "no help", "still the same", "no better"}}
"""What people say came of a fix."""


class Next(Stage):
    """The case's own next step."""

    def screen(self, s: Sitting) -> Screen:
        step = s.step()
        shown = views.of(s.seen, step)
        if s.fixes_aside:
            shown = changed(shown, data={**shown.data, "others_aside": True})
        return views.hurried(s.seen, step, shown) if s.hurried else shown

    def asks(self, s: Sitting) -> str | None:
        step = s.step()
        return step.question.observation if isinstance(step, Ask) else None

    def check(self, s: Sitting, line: str) -> str:
        name = self.asks(s)
        return Question(name).check(s, line) if name else ""

    def take(self, s: Sitting, line: str) -> None:
        step = s.step()
        if isinstance(step, Ask):
            Question(step.question.observation).take(s, line)
            return
        choices = self.screen(s).choices
        line = _outcome(line) if isinstance(step, Fix) else line
        if chosen(line, choices) is None and not _is_hazard(step) and besides.offer(s, line):
            return
        picked = choose(s, line, choices)
        if picked == "ask":
            s.hurried = False
        elif picked:
            self._take(s, picked, step)

    def _take(self, s: Sitting, picked: str, step: Step) -> None:
        match step:
            case Recheck(conflict) if picked == "stand":
                s.case.let_stand(conflict)
            case Recheck():
                s.over.append(Question(picked))
            case Fix(option, _):
                self._outcome(s, picked, option.remedy)
            case Stop() as stop:
                self._stop(s, picked, stop)
            case Done(reason):
                self._done(s, picked, reason)

    def _outcome(self, s: Sitting, picked: str, remedy: str) -> None:
        if picked == "new":
            s.over.append(Complaint("new", done=_also(remedy)))
        else:
            _came_of_it(s, Came(remedy, picked, Kept()))

    def _stop(self, s: Sitting, picked: str, stop: Stop) -> None:
        match picked:
            case "cleared":
                s.case.clear(stop.caution)
            case "leave":
                finish(s, "left")
            case "summary":
                s.over.append(Summary())
            case "been_done":
                assert stop.option is not None
                s.over.append(Outcome(stop.option.remedy))

    def _done(self, s: Sitting, picked: str, reason: str) -> None:
        match picked:
            case "finish":
                finish(s, reason)
            case "summary":
                s.over.append(Summary())
            case "other_words":
                s.over.append(Complaint("again"))


def _outcome(line: str) -> str:
    """A plain answer to "did it work?" as the outcome it means; else the line itself."""
    said = line.lower().replace("’", "'").rstrip(".!")
    return next((outcome for outcome, said_so in OUTCOME_WORDS.items() if said in said_so), line)


def _is_hazard(step: Step) -> bool:
    return isinstance(step, Stop) and step.reason == "hazard"


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
            _came_of_it(s, Came(self.remedy, outcome, self.kept))


@dataclass(frozen=True)
class Came:
    """What came of a fix, as far as it was told."""

    remedy: str
    outcome: str
    new: Kept
    """What is new since."""

    def record(self, s: Sitting, gone: tuple[str, ...] = ()) -> None:
        """Take it into the case; `gone` are the complaints that are over."""
        s.over.clear()
        s.hurried = False
        # With a new trouble the case goes on, though the old one is gone.
        goes_on = self.outcome == "solved" and self.new.symptoms
        outcome = "better" if goes_on else self.outcome
        s.case.tried(self.remedy, outcome, self.new.symptoms, gone)  # type: ignore[arg-type]
        if self.new.answers or self.new.tried:
            s.record(self.new, symptoms=False)
        s.say("was_partly" if gone and not goes_on else f"was_{self.outcome}")


def _came_of_it(s: Sitting, came: Came) -> None:
    """Record what came of a fix; of several complaints ask which are left, where it is better."""
    complaints = s.case.complaints
    if came.outcome == "better" and len(complaints) > 1:
        s.over.append(StillThere(came))
    else:
        came.record(s, complaints if came.outcome == "solved" and came.new.symptoms else ())


@dataclass
class StillThere(Stage):
    """It is better: which of the complaints are still there?"""

    came: Came

    def screen(self, s: Sitting) -> Screen:
        return Screen("left", {"remedy": s.book.remedies[self.came.remedy].name},
                      self._choices(s), Wanted("several"))

    def _choices(self, s: Sitting) -> tuple[Choice, ...]:
        return (*(Choice(n, s.book.symptoms[n].name) for n in s.case.complaints),
                Choice("all"), Choice("nothing"))

    def take(self, s: Sitting, line: str) -> None:
        choices = self._choices(s)
        picked = several(line, choices)
        if picked is None:
            s.say("empty" if not line else "no_choice", said=line, most=str(len(choices)))
        elif "nothing" in picked and len(picked) == 1:
            _came_of_it(s, replace(self.came, outcome="solved"))
        elif "all" in picked:
            self.came.record(s)
        else:
            self.came.record(s, tuple(n for n in s.case.complaints if n not in picked))


def _also(remedy: str) -> Callable[[Sitting, Kept], None]:
    return lambda s, kept: s.over.append(Outcome(remedy, kept))


@dataclass
class Explain(Stage):
    """Something told; any next line goes to what lies under it."""

    code: str
    data: dict[str, Any]

    def screen(self, s: Sitting) -> Screen:
        return Screen("explain", {"about": self.code, **self.data}, wanted=Wanted("enter"))

    def take(self, s: Sitting, line: str) -> None:
        s.stage.take(s, line)
