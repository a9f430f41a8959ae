"""The stages of the case itself: its next step, what came of a fix, and what is told of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from msgspec.structs import replace

from diagnose.consult import besides, views
from diagnose.consult.answers import NO, YES
from diagnose.consult.asking import Question
from diagnose.consult.case import Ask, Done, Fix, Recheck, Step, Stop
from diagnose.consult.parting import Summary, finish
from diagnose.consult.placing import Complaint
from diagnose.consult.said import Kept
from diagnose.consult.screens import Choice, Screen, Wanted
from diagnose.consult.sitting import Sitting, Stage
from diagnose.consult.stage import choose, chosen

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
            shown = replace(shown, data={**shown.data, "others_aside": True})
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
            s.hurried = False
            s.case.tried(remedy, picked)  # type: ignore[arg-type]
            s.say(f"was_{picked}")

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
            s.over.clear()
            s.hurried = False
            # With a new trouble the case goes on, though the old one is gone.
            left = "better" if outcome == "solved" and self.kept.symptoms else outcome
            s.case.tried(self.remedy, left, self.kept.symptoms)  # type: ignore[arg-type]
            if self.kept.answers or self.kept.tried:
                s.record(self.kept, symptoms=False)
            s.say(f"was_{outcome}")


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
