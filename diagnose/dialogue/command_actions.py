"""What the commands do that may be said at any prompt."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diagnose.book.answers import AnswerError
from diagnose.case.case import Ask, Done, Fix, Recheck, Stop
from diagnose.case.events import Answered, Complained, Event, Rechecked, Unknown
from diagnose.dialogue import tellings
from diagnose.dialogue.sitting import STAY, Clear, Drop, Moves, Push, Sitting
from diagnose.dialogue.stages.anything_else import Besides
from diagnose.dialogue.stages.complaint import Complaint
from diagnose.dialogue.stages.confirm import Understood
from diagnose.dialogue.stages.ending import Leave
from diagnose.dialogue.stages.question import Known, Timer
from diagnose.dialogue.stages.told import Explain
from diagnose.present.told_data import HelpData, Told

TAKEN_BACK: Mapping[type, str] = {Unknown: "taken_back_unknown", Rechecked: "taken_back_recheck"}
"""The notes on what was taken back where it was no words and no answer."""


def _now(s: Sitting, _: str) -> Moves:
    """The best fix as things stand, whatever is still to be asked."""
    _take_as_read(s)
    if not s.begun:
        if not s.notes:
            s.say("nothing_yet")
        return STAY
    if isinstance(s.step(), Ask | Recheck):
        s.hurried = True
    else:
        s.say("nothing_better")
    return (Clear(),)


def _take_as_read(s: Sitting) -> None:
    """Take what was plainly understood, and go on with what is kept, though no trouble is named."""
    stage = s.stage
    if isinstance(stage, Understood) and stage.heard.sure:
        s.move(stage.take(s, ""))
        stage = s.stage
        s.notes.clear()
        s.say("taken_as_read")
    teller = stage.teller if isinstance(stage, Understood) else stage
    if not s.begun and isinstance(teller, Complaint) and teller.kept.items:
        s.move(teller.go_on(s))


def _help(s: Sitting, _: str) -> Moves:
    return (Push(Explain(HelpData(s.stage.screen(s).kind))),)


def _what_if(s: Sitting, answer: str) -> Moves:
    """What another answer would do, the case left alone."""
    try:
        return _tell(s, lambda s: tellings.what_if(s, answer))
    except AnswerError as error:
        name = s.stage.asks(s)
        if name and answer:
            s.refuse(name, answer, error)
        else:
            s.say("refused", text=str(error))
        return STAY


def _tell(s: Sitting, told: Callable[[Sitting], Told]) -> Moves:
    if not s.begun:
        s.say("nothing_yet")
        return STAY
    while s.over and isinstance(s.over[-1], Explain):  # told of what lies under it
        s.move((Drop(s.over[-1]),))
    return (Push(Explain(told(s))),)


def _known(s: Sitting, _: str) -> Moves:
    """List what was answered, to change any of it."""
    if s.case.values or s.case.unknown or s.aside:
        return (Push(Known()),)
    s.say("nothing_yet")
    return STAY


def _back(s: Sitting, _: str) -> Moves:
    """Leave what lies on top, else take back the last thing done."""
    if s.over:
        top = s.over[-1]
        if not isinstance(top, Besides):
            top.undo(s)
            return (Drop(top),)
        s.move((Drop(top),))  # it asks beside the complaint, so that is the last thing done
    if s.hurried:
        s.hurried = False
        return STAY
    event = s.take_back()
    if event is None:
        s.say("nothing_to_take_back")
        return STAY
    s.fixes_aside.clear()
    _say_taken_back(s, event)
    return (Push(Complaint(start=event.text)),) if isinstance(event, Complained) and not s.begun else STAY


def _say_taken_back(s: Sitting, event: Event) -> None:
    """Say what was taken back; a question that stands there again is not said twice."""
    asked = s.stage.asks(s)
    if isinstance(event, Unknown) and event.name == asked:
        s.say("taken_back_unknown_here")
    elif isinstance(event, Answered) and event.name == asked:
        s.say("taken_back_here", what=tellings.answer(s, event))
    else:
        s.say(TAKEN_BACK.get(type(event), "taken_back"), what=tellings.event(s, event))


def _unknown(s: Sitting, _: str) -> Moves:
    """The person can't tell; of what was understood, that it is none of that."""
    name = s.stage.asks(s)
    if name is not None:
        s.case.dont_know(name)
        return (Clear(),)
    if isinstance(s.stage, Besides):
        return (Drop(s.stage),)
    if isinstance(s.stage, Understood):
        return s.stage.take(s, "no")
    s.say("not_asked")
    return STAY


def _skip(s: Sitting, _: str) -> Moves:
    """Put the question or the fix aside for now."""
    name, step = s.stage.asks(s), s.step()
    if isinstance(s.stage, Besides):
        return (Drop(s.stage),)
    if name is not None:
        s.aside[name] = None
        return (Clear(),)
    if s.over or isinstance(step, Done) or (isinstance(step, Stop) and not step.option):
        s.say("no_skip")
    elif isinstance(step, Recheck):
        s.case.let_stand(step.conflict)
    elif isinstance(step, Fix | Stop) and step.option:
        _skip_fix(s, step.option.remedy)
    return STAY


def _skip_fix(s: Sitting, remedy: str) -> None:
    left = {o.remedy for o in s.seen.options} - s.fixes_aside - {remedy}
    if left:
        s.fixes_aside.add(remedy)
        s.say("fix_aside", fix=s.book.remedies[remedy].name)
    else:
        s.fixes_aside.clear()
        s.say("last_fix")


def _timer(s: Sitting, _: str) -> Moves:
    """Take the time with the clock here."""
    name = s.stage.asks(s)
    if name is not None and s.book.observations[name].unit == "s":
        return (Push(Timer(name)),)
    s.say("no_timer")
    return STAY


def _save(s: Sitting, _: str) -> Moves:
    """Leave; what was given is on file already."""
    s.leave()
    return STAY


DO: Mapping[str, Callable[[Sitting, str], Moves]] = {
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
    "save": _save,
    "restart": lambda s, _: (Push(Leave("restart")),),
}
"""Command to what it does, given what follows it; it returns what then lies on the screen."""
