"""The stages before the first question: going on with a case, and placing a complaint."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from msgspec import to_builtins
from msgspec.structs import replace

from diagnose.consult import heard as hearing
from diagnose.consult import items, screens
from diagnose.consult.items import Heard, Item
from diagnose.consult.keeping import Kept, Teller
from diagnose.consult.screens import Choice, Screen, Wanted
from diagnose.consult.stage import Stage, choose, several
from diagnose.consult.store import Kept as OnFile

if TYPE_CHECKING:
    from diagnose.consult.session import Session


@dataclass
class Resume(Stage):
    """Go on with the last unfinished case?"""

    kept: OnFile

    def screen(self, s: Session) -> Screen:
        kept = self.kept
        return screens.resume(kept.id, kept.at, kept.complaint, kept.answers)

    def take(self, s: Session, line: str) -> None:
        match choose(s, line, (Choice("yes"), Choice("no"))):
            case "yes":
                s.over.remove(self)
                s.resume(self.kept.id)
            case "no":
                s.over.remove(self)
                s.put_by(self.kept.id)


@dataclass
class Complaint(Teller):
    """The person's own words: the first complaint, or what came up since."""

    purpose: str = "first"
    """first, again (the same in other words) or new (something that came with a fix)."""
    start: str = ""
    done: Callable[[Session, Kept], None] | None = None
    kept: Kept = field(default_factory=Kept)

    ways_out = ("none", "list")

    def screen(self, s: Session) -> Screen:
        shown = screens.complaint(self.purpose, self.start)
        kept = [to_builtins(items.in_short(s, i)) for i in self.kept.items]
        return replace(shown, data={**shown.data, "kept": kept}) if kept else shown

    def take(self, s: Session, line: str) -> None:
        if not line:
            s.say("say_something")
        elif line.lower() == "list":
            s.over.append(Browse(self))
        else:
            self.start = line
            self.sort_out(s, self.hear(s, line).after(Heard(""), self.kept.items))

    def hear(self, s: Session, line: str) -> Heard:
        return hearing.complaint(s, line)

    def way_out(self, s: Session, way: str, heard: Heard) -> None:
        if self.kept.items:
            self.start = ""
        self._stay(s)
        if way == "list":
            facts = tuple(i for i in heard.sure if i.kind != "symptom" and i not in self.kept.items)
            s.over.append(Browse(self, Heard(heard.text, facts)))

    def _stay(self, s: Session) -> None:
        if self not in s.over:
            s.over.append(self)

    def settle(self, s: Session) -> None:
        """The complaint is placed: hand it on, once it says what is wrong."""
        if not self.kept.symptoms:
            self.start = ""
            self._stay(s)
            s.say("and_the_trouble")
            return
        s.over.clear()
        if self.done is not None:
            self.done(s, self.kept)
        else:
            s.placed(self.kept, first=self.purpose == "first")


@dataclass
class Browse(Stage):
    """The whole list of complaints, by area."""

    complaint: Complaint
    heard: Heard = field(default_factory=lambda: Heard(""))
    """Words said before, with what of them is still to be sorted out."""
    area: str = ""

    def choices(self, s: Session) -> tuple[Choice, ...]:
        symptoms = s.book.symptoms
        if self.area:
            return tuple(Choice(n, v.name) for n, v in symptoms.items() if v.area == self.area)
        return tuple(Choice(a, a) for a in sorted({v.area for v in symptoms.values()}))

    def screen(self, s: Session) -> Screen:
        return Screen("browse", {"area": self.area}, self.choices(s),
                      Wanted("several" if self.area else "one"))

    def take(self, s: Session, line: str) -> None:
        picked = several(line, self.choices(s))
        if picked is None:
            s.say("empty" if not line else "no_choice", said=line,
                  most=str(len(self.choices(s))))
        elif self.area:
            self._found(s, picked)
        else:
            s.over.append(Browse(self.complaint, self.heard, picked[0]))

    def _found(self, s: Session, picked: list[str]) -> None:
        names = "; ".join(s.book.symptoms[n].name for n in picked)
        self.complaint.kept.add((Item("symptom", n) for n in picked), self.heard.text or names)
        if self.heard.sure:
            self.complaint.sort_out(s, self.heard)
        else:
            self.complaint.settle(s)
