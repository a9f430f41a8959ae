"""The stages before the first question: going on with a case, and placing a complaint."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from msgspec.structs import replace

from diagnose.case import hypothetical
from diagnose.case.events import COMPLAINT, Answered
from diagnose.case.journal import Kept as OnFile
from diagnose.dialogue import hearing, mention_choices
from diagnose.dialogue.choices import choose, none_of
from diagnose.dialogue.matching import several
from diagnose.dialogue.mentions import Heard, Item, Kept
from diagnose.dialogue.sitting import STAY, Clear, Drop, Have, Moves, Push, Sitting, Stage
from diagnose.dialogue.stages import answered, anything_else
from diagnose.dialogue.stages.confirm import Teller
from diagnose.errors import UserError
from diagnose.present import screens
from diagnose.present.screen_data import BrowseData, ComplaintData
from diagnose.present.screens import Choice, Screen, Wanted
from diagnose.reason import weights

TELLING = weights.GRADES["very strong"]
"""Decibans for one cause from which facts point at it without any complaint."""


@dataclass
class Resume(Stage):
    """Go on with the last unfinished case?"""

    kept: OnFile

    def screen(self, s: Sitting) -> Screen:
        kept = self.kept
        return screens.resume(kept.id, kept.at, kept.complaint, kept.answers)

    def take(self, s: Sitting, line: str) -> Moves:
        match choose(s, line, (Choice("yes"), Choice("no"))):
            case "yes":
                try:
                    s.resume(self.kept.id)
                except UserError as error:  # another consult took it up, or it is gone
                    s.say("refused", text=str(error))
            case "no":
                s.put_by(self.kept.id)
            case _:
                return STAY
        return (Drop(self),)


@dataclass
class Complaint(Teller):
    """The person's own words: the first complaint, or what came up since."""

    purpose: str = "first"
    """first, again (the same in other words) or new (something that came with a fix)."""
    start: str = ""
    done: Callable[[Sitting, Kept], Moves] | None = None
    kept: Kept = field(default_factory=Kept)
    answered: bool = False
    """Was a question of practice answered here?"""

    ways_out = ("none", "list")

    def screen(self, s: Sitting) -> Screen:
        asked = self.answered and self.purpose == "first" and not self.start
        shown = screens.complaint("answered" if asked else self.purpose, self.start)
        kept = [mention_choices.choice(s, i) for i in self.kept.items]
        return replace(shown, data=ComplaintData("answered" if asked else self.purpose, kept))

    def take(self, s: Sitting, line: str) -> Moves:
        if not line and self.kept.items:
            return self.go_on(s)
        if not line:
            s.say("say_something")
            return STAY
        if line.lower() == "list":
            return (Push(Browse(self)),)
        answers, rest = answered.find(s, line)
        heard = self._hear_out(s, rest, bool(answers))
        if not answers:
            return heard
        self.answered = True
        return (*heard, Push(answers))

    def _hear_out(self, s: Sitting, line: str, answered: bool) -> Moves:
        """Ask what of a line is right; beside a question answered only where a trouble is plain."""
        heard = self.hear(s, line).after(Heard(""), self.kept.items) if line else Heard("")
        if answered and not any(i.kind == "symptom" or mention_choices.stops(s, i) for i in heard.sure):
            return (Have(self),)
        self.start = line
        return self.sort_out(heard)

    def hear(self, s: Sitting, line: str, before: str = "") -> Heard:
        return hearing.complaint(s, line, before or self.kept.text)

    def way_out(self, s: Sitting, way: str, heard: Heard) -> Moves:
        if self.kept.items:
            self.start = ""
        if way != "list":
            return (Have(self),)
        facts = tuple(i for i in heard.sure if i.kind != "symptom" and i not in self.kept.items)
        return (Have(self), Push(Browse(self, Heard(heard.text, facts))))

    def settle(self, s: Sitting) -> Moves:
        """The complaint is placed: hand it on, once it says what is wrong."""
        if self.kept.symptoms or self.purpose == "again" or _stopped(s, self.kept):
            return self._hand_on(s)
        self.start = ""
        s.say("and_the_trouble")
        return (Have(self),)

    def go_on(self, s: Sitting) -> Moves:
        """Go on without a complaint, if what is kept points at a fault; else show the list."""
        if self.kept.symptoms or s.begun:
            return self._hand_on(s)
        if _telling(s, self.kept):
            handed = self._hand_on(s)
            s.say("no_trouble_named")
            return handed
        s.say("kept_says_nothing")
        return (Have(self), Push(Browse(self)))

    def _hand_on(self, s: Sitting) -> Moves:
        if self.purpose == "again":
            self.noted(s)
        return (Clear(), *(self.done or self._placed)(s, self.kept))

    def _placed(self, s: Sitting, kept: Kept) -> Moves:
        """Take it as sorted out; the first time, what else is known is asked for."""
        s.complained(kept)
        if self.purpose == "first" and kept.symptoms and not s.case.hazard:
            return (Push(anything_else.Besides(brief=anything_else.plenty(kept))),)
        return STAY


def _stopped(s: Sitting, kept: Kept) -> bool:
    """Is a hazard among what is kept?"""
    return any(mention_choices.stops(s, i) for i in kept.items)


def _telling(s: Sitting, kept: Kept) -> bool:
    """Do the facts kept point at a fault by themselves: something abnormal, or weighty evidence?"""
    told = hypothetical.shadow(s.case, [Answered(n, str(s.read(n, v)), COMPLAINT)
                                 for n, v in kept.answers.items()])
    return bool(told.inference.heard.symptoms) or any(
        sum(p.decibans for p in ranked.parts if p.kind == "evidence") >= TELLING
        for ranked in told.ranked if ranked.cause)


@dataclass
class Browse(Stage):
    """The whole list of complaints, by area."""

    complaint: Complaint
    heard: Heard = field(default_factory=lambda: Heard(""))
    """Words said before, with what of them is still to be sorted out."""
    area: str = ""

    def choices(self, s: Sitting) -> tuple[Choice, ...]:
        symptoms = s.book.symptoms
        if self.area:
            return tuple(Choice(n, v.name) for n, v in symptoms.items() if v.area == self.area)
        return tuple(Choice(a, a) for a in sorted({v.area for v in symptoms.values()}))

    def screen(self, s: Sitting) -> Screen:
        return Screen("browse", BrowseData(self.area), self.choices(s),
                      Wanted("several" if self.area else "one"))

    def take(self, s: Sitting, line: str) -> Moves:
        choices = self.choices(s)
        picked = several(line, choices)
        if picked is None:
            none_of(s, line, choices)
            return STAY
        if self.area:
            return self._found(s, picked)
        return (Push(Browse(self.complaint, self.heard, picked[0])),)

    def _found(self, s: Sitting, picked: list[str]) -> Moves:
        names = "; ".join(s.book.symptoms[n].name for n in picked)
        self.complaint.kept.add((Item("symptom", n) for n in picked), self.heard.text or names)
        return self.complaint.sort_out(self.heard) if self.heard.sure else self.complaint.settle(s)
