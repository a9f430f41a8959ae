"""The stages before the first question: going on with a case, and placing a complaint."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from diagnose.consult import screens
from diagnose.consult.answers import AnswerError, shown
from diagnose.consult.screens import Choice, Screen, Wanted
from diagnose.consult.stage import Stage, choose, several
from diagnose.consult.store import Kept

if TYPE_CHECKING:
    from diagnose.consult.session import Session

MOST_OTHERS = 5
"""Other readings of a complaint that are offered."""
MOST_SYMPTOMS = 3


@dataclass
class Resume(Stage):
    """Go on with the last unfinished case?"""

    kept: Kept

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
class Complaint(Stage):
    """The person's own words: the first complaint, or what came up since."""

    purpose: str = "first"
    """first, again (the same in other words) or new (something that came with a fix)."""
    start: str = ""
    done: Callable[[Session, str, tuple[str, ...], dict[str, str]], None] | None = None

    def screen(self, s: Session) -> Screen:
        return screens.complaint(self.purpose, self.start)

    def take(self, s: Session, line: str) -> None:
        if not line:
            s.say("say_something")
        elif line.lower() == "list":
            s.over.append(Browse(self))
        else:
            self.place(s, line)

    def place(self, s: Session, line: str) -> None:
        """Say back what was understood."""
        read = s.lookup.understand(line)
        sure = tuple(n for n in read.symptoms if n in s.book.symptoms)[:MOST_SYMPTOMS]
        others = [h.id for h in s.lookup.search(line)]
        others = [n for n in dict.fromkeys(others) if n in s.book.symptoms and n not in sure]
        self.start = line
        s.over.append(Understood(self, line, sure, tuple(others[:MOST_OTHERS]),
                                 dict(read.values), tuple(read.notes)))

    def finish(self, s: Session, text: str, symptoms: tuple[str, ...],
               values: dict[str, str]) -> None:
        """The complaint is placed: hand it on."""
        s.over.clear()
        if self.done is not None:
            self.done(s, text, symptoms, values)
        else:
            s.complained(text, symptoms, values)


@dataclass
class Understood(Stage):
    """I understood this; is that it?"""

    complaint: Complaint
    text: str
    sure: tuple[str, ...]
    others: tuple[str, ...]
    values: dict[str, str]
    remarks: tuple[str, ...] = ()

    def choices(self, s: Session) -> tuple[Choice, ...]:
        yes = (Choice("yes"),) if self.sure else ()
        named = (Choice(n, s.book.symptoms[n].name) for n in self.others)
        return (*yes, *named, Choice("none"), Choice("list"))

    def screen(self, s: Session) -> Screen:
        data = {"text": self.text, "remarks": list(self.remarks),
                "symptoms": [{"id": n, "name": s.book.symptoms[n].name} for n in self.sure],
                "values": self._values(s)}
        return Screen("understood", data, self.choices(s), Wanted("several"))

    def _values(self, s: Session) -> list[dict[str, str]]:
        found = []
        for name, text in self.values.items():
            if (stated := s.book.observations.get(name)) is not None:
                try:
                    value = shown(stated, s.read(name, text))
                except AnswerError:
                    continue
                found.append({"id": name, "ask": stated.ask, "text": value})
        return found

    def take(self, s: Session, line: str) -> None:
        picked = several(line, self.choices(s))
        if picked is None:
            if line and not line.replace(" ", "").replace(",", "").isdigit():
                s.over.remove(self)
                self.complaint.take(s, line)
            else:
                s.say("empty" if not line else "no_choice", said=line,
                      most=str(len(self.choices(s))))
        elif "none" in picked:
            s.over.remove(self)
            if self.complaint not in s.over:
                s.over.append(self.complaint)
        elif "list" in picked:
            s.over.append(Browse(self.complaint, self.text, self.values))
        else:
            ids = [n for p in picked for n in (self.sure if p == "yes" else (p,))]
            self.complaint.finish(s, self.text, tuple(dict.fromkeys(ids)), self.values)


@dataclass
class Browse(Stage):
    """The whole list of complaints, by area."""

    complaint: Complaint
    text: str = ""
    values: dict[str, str] = field(default_factory=dict)
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
            names = "; ".join(s.book.symptoms[n].name for n in picked)
            self.complaint.finish(s, self.text or names, tuple(picked), self.values)
        else:
            s.over.append(Browse(self.complaint, self.text, self.values, picked[0]))
