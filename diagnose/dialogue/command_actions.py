"""What the commands do that may be said at any prompt."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diagnose.book.answers import AnswerError
from diagnose.case.case import Ask, Done, Fix, Recheck, Stop
from diagnose.case.events import Answered, Complained, Event, Rechecked, Unknown
from diagnose.dialogue import tellings
from diagnose.dialogue.sitting import Sitting
from diagnose.dialogue.stages.anything_else import Besides
from diagnose.dialogue.stages.complaint import Complaint
from diagnose.dialogue.stages.confirm import Understood
from diagnose.dialogue.stages.ending import Leave
from diagnose.dialogue.stages.question import Known, Timer
from diagnose.dialogue.stages.told import Explain
from diagnose.present.screen_data import HelpData, Told

TAKEN_BACK: Mapping[type, str] = {Unknown: "taken_back_unknown", Rechecked: "taken_back_recheck"}
"""The notes on what was taken back where it was no words and no answer."""


def _now(s: Sitting, _: str) -> None:
    """The best fix as things stand, whatever is still to be asked."""
    _take_as_read(s)
    if not s.begun:
        if not s.notes:
            s.say("nothing_yet")
        return
    s.over.clear()
    if isinstance(s.step(), Ask | Recheck):
        s.hurried = True
    else:
        s.say("nothing_better")


def _take_as_read(s: Sitting) -> None:
    """Take what was plainly understood, and go on with what is kept, though no trouble is named."""
    stage = s.stage
    if isinstance(stage, Understood) and stage.heard.sure:
        stage.take(s, "")
        stage = s.stage
        s.notes.clear()
        s.say("taken_as_read")
    teller = stage.teller if isinstance(stage, Understood) else stage
    if not s.begun and isinstance(teller, Complaint) and teller.kept.items:
        teller.go_on(s)


def _help(s: Sitting, _: str) -> None:
    s.over.append(Explain(HelpData(s.stage.screen(s).kind)))


def _what_if(s: Sitting, answer: str) -> None:
    """What another answer would do, the case left alone."""
    try:
        _tell(s, lambda s: tellings.what_if(s, answer))
    except AnswerError as error:
        name = s.stage.asks(s)
        if name and answer:
            s.refuse(name, answer, error)
        else:
            s.say("refused", text=str(error))


def _tell(s: Sitting, told: Callable[[Sitting], Told]) -> None:
    if not s.begun:
        s.say("nothing_yet")
        return
    while s.over and isinstance(s.over[-1], Explain):
        s.over.pop()
    s.over.append(Explain(told(s)))


def _known(s: Sitting, _: str) -> None:
    """List what was answered, to change any of it."""
    if s.case.values or s.case.unknown or s.aside:
        s.over.append(Known())
    else:
        s.say("nothing_yet")


def _back(s: Sitting, _: str) -> None:
    """Leave what lies on top, else take back the last thing done."""
    top = s.over.pop() if s.over else None
    if top and not isinstance(top, Besides):  # it asks beside the complaint, so that is the last thing done
        top.undo(s)
        return
    if s.hurried:
        s.hurried = False
        return
    event = s.take_back()
    if event is None:
        s.say("nothing_to_take_back")
        return
    s.fixes_aside.clear()
    if isinstance(event, Complained) and not s.begun:
        s.over.append(Complaint(start=event.text))
    _say_taken_back(s, event)


def _say_taken_back(s: Sitting, event: Event) -> None:
    """Say what was taken back; a question that stands there again is not said twice."""
    asked = s.stage.asks(s)
    if isinstance(event, Unknown) and event.name == asked:
        s.say("taken_back_unknown_here")
    elif isinstance(event, Answered) and event.name == asked:
        s.say("taken_back_here", what=tellings.answer(s, event))
    else:
        s.say(TAKEN_BACK.get(type(event), "taken_back"), what=tellings.event(s, event))


def _unknown(s: Sitting, _: str) -> None:
    """The person can't tell; of what was understood, that it is none of that."""
    name = s.stage.asks(s)
    if name is not None:
        s.over.clear()
        s.case.dont_know(name)
    elif isinstance(s.stage, Besides):
        s.over.pop()
    elif isinstance(s.stage, Understood):
        s.stage.take(s, "no")
    else:
        s.say("not_asked")


def _skip(s: Sitting, _: str) -> None:
    """Put the question or the fix aside for now."""
    name, step = s.stage.asks(s), s.step()
    if isinstance(s.stage, Besides):
        s.over.pop()
    elif name is not None:
        s.over.clear()
        s.aside[name] = None
    elif s.over or isinstance(step, Done) or (isinstance(step, Stop) and not step.option):
        s.say("no_skip")
    elif isinstance(step, Recheck):
        s.case.let_stand(step.conflict)
    elif isinstance(step, Fix | Stop) and step.option:
        _skip_fix(s, step.option.remedy)


def _skip_fix(s: Sitting, remedy: str) -> None:
    left = {o.remedy for o in s.seen.options} - s.fixes_aside - {remedy}
    if left:
        s.fixes_aside.add(remedy)
        s.say("fix_aside", fix=s.book.remedies[remedy].name)
    else:
        s.fixes_aside.clear()
        s.say("last_fix")


def _timer(s: Sitting, _: str) -> None:
    """Take the time with the clock here."""
    name = s.stage.asks(s)
    if name is not None and s.book.observations[name].unit == "s":
        s.over.append(Timer(name))
    else:
        s.say("no_timer")


DO: Mapping[str, Callable[[Sitting, str], None]] = {
    "help": _help,
    "now": _now,
    "why": lambda s, _: _tell(s, tellings.why),
    "sources": lambda s, _: _tell(s, lambda s: tellings.why(s, places=True)),
    "more": lambda s, _: _tell(s, tellings.more),
    "doubt": lambda s, _: _tell(s, tellings.doubt),
    "what_if": _what_if,
    "known": _known,
    "back": _back,
    "unknown": _unknown,
    "skip": _skip,
    "timer": _timer,
    "save": lambda s, _: s.leave(),
    "restart": lambda s, _: s.over.append(Leave("restart")),
}
"""Command to what it does, given what follows it."""
