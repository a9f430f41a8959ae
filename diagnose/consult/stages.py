"""The stages of the case itself: its next step, what came of a fix, and what is told of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from diagnose.consult import views
from diagnose.consult.asking import Question
from diagnose.consult.case import Ask, Done, Fix, Recheck, Stop
from diagnose.consult.parting import Summary
from diagnose.consult.placing import Complaint
from diagnose.consult.screens import Choice, Screen, Wanted
from diagnose.consult.stage import Stage, choose

if TYPE_CHECKING:
    from diagnose.consult.session import Session


class Next(Stage):
    """The case's own next step."""

    def screen(self, s: Session) -> Screen:
        return views.of(s.seen, s.step())

    def asks(self, s: Session) -> str | None:
        step = s.step()
        return step.question.observation if isinstance(step, Ask) else None

    def check(self, s: Session, line: str) -> str:
        name = self.asks(s)
        return Question(name).check(s, line) if name else ""

    def take(self, s: Session, line: str) -> None:
        match s.step():
            case Ask(question):
                Question(question.observation).take(s, line)
            case Recheck(conflict):
                self._recheck(s, line, conflict)
            case Fix(option, _):
                self._outcome(s, line, option.remedy)
            case Stop() as stop:
                self._stop(s, line, stop)
            case Done(reason):
                self._done(s, line, reason)

    def _recheck(self, s: Session, line: str, conflict: Any) -> None:
        picked = choose(s, line, self.screen(s).choices)
        if picked == "stand":
            s.case.let_stand(conflict)
        elif picked:
            s.over.append(Question(picked))

    def _outcome(self, s: Session, line: str, remedy: str) -> None:
        match choose(s, line, tuple(map(Choice, views.OUTCOMES))):
            case "new":
                s.over.append(Complaint("new", done=_also(remedy)))
            case "solved" | "better" | "same" | "worse" as outcome:
                s.case.tried(remedy, outcome)
                s.say(f"was_{outcome}")

    def _stop(self, s: Session, line: str, stop: Stop) -> None:
        match choose(s, line, self.screen(s).choices):
            case "cleared":
                s.case.clear(stop.caution)
            case "leave":
                s.finish("left")
            case "summary":
                s.over.append(Summary())
            case "been_done":
                assert stop.option is not None
                s.over.append(Outcome(stop.option.remedy))

    def _done(self, s: Session, line: str, reason: str) -> None:
        match choose(s, line, self.screen(s).choices):
            case "finish":
                s.finish(reason)
            case "summary":
                s.over.append(Summary())
            case "other_words":
                s.over.append(Complaint("again"))


@dataclass
class Outcome(Stage):
    """What came of work that another did, or of a fix that something new came with."""

    remedy: str
    text: str = ""
    symptoms: tuple[str, ...] = ()

    def screen(self, s: Session) -> Screen:
        return Screen("also", {"remedy": s.book.remedies[self.remedy].name,
                               "new": [s.book.symptoms[n].name for n in self.symptoms]},
                      self._choices(), Wanted("one"))

    def _choices(self) -> tuple[Choice, ...]:
        return tuple(map(Choice, views.OUTCOMES[:4]))

    def take(self, s: Session, line: str) -> None:
        outcome = choose(s, line, self._choices())
        if outcome:
            s.over.clear()
            # With a new trouble the case goes on, though the old one is gone.
            kept = "better" if outcome == "solved" and self.symptoms else outcome
            s.case.tried(self.remedy, kept, self.symptoms)  # type: ignore[arg-type]
            s.say(f"was_{outcome}")


def _also(remedy: str) -> Callable[..., None]:
    def done(s: Session, text: str, symptoms: tuple[str, ...], values: dict[str, str]) -> None:
        s.over.append(Outcome(remedy, text, symptoms))
    return done


@dataclass
class Explain(Stage):
    """Something told; any next line goes to what lies under it."""

    code: str
    data: dict[str, Any]

    def screen(self, s: Session) -> Screen:
        return Screen("explain", {"about": self.code, **self.data}, wanted=Wanted("enter"))

    def take(self, s: Session, line: str) -> None:
        s.stage.take(s, line)
