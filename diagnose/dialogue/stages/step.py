"""The stages of the case itself: its next step, and what is told of it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from diagnose.book.answers import NO, YES
from diagnose.case.case import Ask, Done, Fix, Recheck, Step, Stop
from diagnose.dialogue import mention_choices
from diagnose.dialogue.choices import choose
from diagnose.dialogue.matching import chosen, several
from diagnose.dialogue.mentions import Kept
from diagnose.dialogue.sitting import STAY, Moves, Push, Sitting, Stage
from diagnose.dialogue.stages import answered, anything_else
from diagnose.dialogue.stages.complaint import Complaint
from diagnose.dialogue.stages.ending import Summary, finish
from diagnose.dialogue.stages.outcome import Came, Outcome, came_of_it
from diagnose.dialogue.stages.question import Question
from diagnose.present import views
from diagnose.present.screen_data import StepData
from diagnose.present.screens import Screen

LEAST_WORDS = 3
"""Words from which a line at a hazard is more than a slip of the keys."""
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
        if s.fixes_aside and isinstance(shown.data, StepData):
            shown = replace(shown, data=replace(shown.data, others_aside=True))
        return views.hurried(s.seen, step, shown) if s.hurried else shown

    def asks(self, s: Sitting) -> str | None:
        step = s.step()
        return step.question.observation if isinstance(step, Ask) else None

    def check(self, s: Sitting, line: str) -> str:
        name = self.asks(s)
        return Question(name).check(s, line) if name else ""

    def means(self, s: Sitting, line: str) -> list[str] | None:
        step = s.step()
        if isinstance(step, Ask):
            return Question(step.question.observation).means(s, line)
        return several(_outcome(line) if isinstance(step, Fix) else line, self.screen(s).choices)

    def take(self, s: Sitting, line: str) -> Moves:
        step = s.step()
        if isinstance(step, Ask):
            return Question(step.question.observation).take(s, line)
        choices = self.screen(s).choices
        line = _outcome(line) if isinstance(step, Fix) else line
        heard = _words_heard(s, line, step) if chosen(line, choices) is None else None
        if heard is not None:
            return heard
        picked = choose(s, line, choices)
        if picked == "ask":
            s.hurried = False
            return STAY
        return self._take(s, picked, step) if picked else STAY

    def _take(self, s: Sitting, picked: str, step: Step) -> Moves:
        match step:
            case Recheck(conflict) if picked == "stand":
                s.case.let_stand(conflict)
            case Recheck():
                return (Push(Question(picked)),)
            case Fix(option, _) if picked == "new":
                return (Push(Complaint("new", done=_also(option.remedy))),)
            case Fix(option, _):
                return came_of_it(s, Came(option.remedy, picked, Kept()))
            case Stop() as stop:
                return self._stop(s, picked, stop)
            case Done(reason):
                return self._done(s, picked, reason)
        return STAY

    def _stop(self, s: Sitting, picked: str, stop: Stop) -> Moves:
        match picked:
            case "cleared":
                s.case.clear(stop.caution)
            case "leave":
                return finish(s, "left")
            case "summary":
                return (Push(Summary()),)
            case "been_done":
                assert stop.option is not None
                return (Push(Outcome(stop.option.remedy)),)
        return STAY

    def _done(self, s: Sitting, picked: str, reason: str) -> Moves:
        match picked:
            case "finish":
                return finish(s, "not_in_book" if reason == "unsure" else reason)
            case "guess":
                s.guessing = True
            case _ if picked.startswith(views.ASKS):
                return (Push(Question(picked.removeprefix(views.ASKS))),)
            case "summary":
                return (Push(Summary()),)
            case "other_words":
                return (Push(Complaint("again")),)
        return STAY


def _outcome(line: str) -> str:
    """A plain answer to "did it work?" as the outcome it means; else the line itself."""
    said = line.lower().replace("’", "'").rstrip(".!")
    return next((outcome for outcome, said_so in OUTCOME_WORDS.items() if said in said_so), line)


def _words_heard(s: Sitting, line: str, step: Step) -> Moves | None:
    """A line that is no choice, taken as the person's own words; None where it is none."""
    if isinstance(step, Stop) and step.reason == "hazard":
        return answered.only_answered(s, line) or _at_a_hazard(s, line, step)
    return anything_else.offer(s, line)


def _at_a_hazard(s: Sitting, line: str, stop: Stop) -> Moves | None:
    """Another danger told is asked about; other words are kept, and the ways on are named."""
    if len(line.split()) < LEAST_WORDS:
        return None
    words = anything_else.Words()
    found = words.hear(s, line)
    if any(mention_choices.stops(s, item) for item in found.sure):
        return words.sort_out(found)
    s.record(Kept(texts=[line]))
    s.say("stop_stands_until" if s.book.cautions[stop.caution].go_on else "stop_stands")
    return STAY


def _also(remedy: str) -> Callable[[Sitting, Kept], Moves]:
    return lambda _, kept: (Push(Outcome(remedy, kept)),)
