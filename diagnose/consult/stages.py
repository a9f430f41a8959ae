"""The stages of a consult: what each shows and takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.compute import units
from diagnose.consult import handover, screens, views
from diagnose.consult.answers import AnswerError, shown
from diagnose.consult.case import Ask, Done, Fix, Recheck, Stop
from diagnose.consult.screens import Choice, Screen, Wanted
from diagnose.consult.store import Kept
from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.consult.session import Session

MOST_OTHERS = 5
"""Other readings of a complaint that are offered."""
MOST_SYMPTOMS = 3
FROM_NOTEBOOK = " (from the notebook)"


class Stage:
    """One thing on the person's screen."""

    def screen(self, s: Session) -> Screen:
        """What is shown."""
        raise NotImplementedError

    def take(self, s: Session, line: str) -> None:
        """What the person said, commands apart."""
        raise NotImplementedError

    def asks(self, s: Session) -> str | None:
        """The observation asked for, if one is."""
        return None

    def check(self, s: Session, line: str) -> str:
        """Why a line would be refused; empty where it would not."""
        return ""


def chosen(line: str, choices: Sequence[Choice]) -> str | None:
    """The choice meant by its number, its id, or the first letters of either its id or text."""
    said = line.lower().rstrip(".!")
    if said.isdigit():
        return choices[int(said) - 1].id if 1 <= int(said) <= len(choices) else None
    names = {c.id: (c.id.replace("_", " "), c.text.lower()) for c in choices}
    if not said:
        return None
    exact = [i for i, texts in names.items() if said in texts]
    begun = exact or [i for i, texts in names.items() if any(t.startswith(said) for t in texts)]
    return begun[0] if len(begun) == 1 else None


def choose(s: Session, line: str, choices: Sequence[Choice]) -> str | None:
    """The choice meant; a note where it is none."""
    found = chosen(line, choices)
    if found is None:
        s.say("empty" if not line else "no_choice", said=line, most=str(len(choices)))
    return found


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


def several(line: str, choices: Sequence[Choice]) -> list[str] | None:
    """The choices meant by one or more numbers, or by words for one; None where none is."""
    parts = line.replace(",", " ").replace(" and ", " ").split()
    if parts and all(p.isdigit() for p in parts):
        found = [chosen(p, choices) for p in parts]
        return None if None in found else [f for f in found if f]
    one = chosen(line, choices)
    return [one] if one else None


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
class Question(Stage):
    """One observation asked for, out of turn where the person wants to change it."""

    name: str

    def screen(self, s: Session) -> Screen:
        return views.question(s.case, self.name)

    def asks(self, s: Session) -> str | None:
        return self.name

    def check(self, s: Session, line: str) -> str:
        try:
            s.read(self.name, line)
        except AnswerError as error:
            return str(error)
        return ""

    def take(self, s: Session, line: str) -> None:
        if not line:
            s.say("empty_question")
        elif self.check(s, line):
            s.answer(self.name, line)
        else:
            s.over.clear()
            s.answer(self.name, line)


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
class Timer(Stage):
    """The clock inside the consult: one line starts it, the next stops it."""

    name: str
    began: float | None = None
    seconds: float | None = None

    def screen(self, s: Session) -> Screen:
        phase = "ready" if self.began is None else "running" if self.seconds is None else "taken"
        start = units.show(self.seconds, "s", 1) if self.seconds is not None else ""
        return Screen("timer", {"phase": phase, "ask": s.book.observations[self.name].ask},
                      wanted=Wanted("enter" if phase != "taken" else "quantity", "s", start=start))

    def elapsed(self, s: Session) -> float:
        """Seconds on the clock now."""
        if self.seconds is not None or self.began is None:
            return self.seconds or 0.0
        return s.clock() - self.began

    def asks(self, s: Session) -> str | None:
        return self.name

    def check(self, s: Session, line: str) -> str:
        return Question(self.name).check(s, line) if line else ""

    def take(self, s: Session, line: str) -> None:
        if line:
            Question(self.name).take(s, line)
        elif self.began is None:
            self.began = s.clock()
        elif self.seconds is None:
            self.seconds = round(s.clock() - self.began, 1)
        else:
            Question(self.name).take(s, f"{self.seconds} s")


@dataclass
class Known(Stage):
    """What was answered so far, each to be changed by its number."""

    def screen(self, s: Session) -> Screen:
        return Screen("browse", {"area": "known"}, self._choices(s), Wanted("one"))

    def _choices(self, s: Session) -> tuple[Choice, ...]:
        given = [Choice(n, s.book.observations[n].ask, shown(s.book.observations[n], v)
                        + (FROM_NOTEBOOK if s.case.given(n) == "notebook" else ""))
                 for n, v in s.case.values.items()]
        left = [n for n in (*s.aside, *sorted(s.case.unknown))
                if n not in s.case.values and n in s.book.observations]
        return (*given, *(Choice(n, s.book.observations[n].ask) for n in dict.fromkeys(left)))

    def take(self, s: Session, line: str) -> None:
        if not line:
            s.over.remove(self)
        elif picked := choose(s, line, self._choices(s)):
            s.over.append(Question(picked))


@dataclass
class Leave(Stage):
    """Really leave (or begin again)?"""

    what: str = "leave"

    def screen(self, s: Session) -> Screen:
        return Screen("leave", {"what": self.what}, (Choice("yes"), Choice("no")), Wanted("one"))

    def take(self, s: Session, line: str) -> None:
        match choose(s, line, (Choice("yes"), Choice("no"))):
            case "yes" if self.what == "restart":
                s.restart()
            case "yes":
                s.leave()
            case "no":
                s.over.remove(self)


@dataclass
class Keep(Stage):
    """Keep for next time what the case told of shots and equipment?"""

    how: str
    offered: tuple[str, ...]
    asks_mark: bool = False

    def screen(self, s: Session) -> Screen:
        if self.asks_mark:
            return Screen("keep", {"phase": "mark"}, wanted=Wanted("quantity", "marks", example="12"))
        return Screen("keep", {"phase": "offer", "offered": list(self.offered)},
                      (Choice("yes"), Choice("no")), Wanted("one"))

    def check(self, s: Session, line: str) -> str:
        if self.asks_mark and line:
            try:
                units.read(line, "marks")
            except units.UnitError as error:
                return str(error)
        return ""

    def take(self, s: Session, line: str) -> None:
        if self.asks_mark:
            if wrong := self.check(s, line):
                s.say("refused", text=wrong)
            else:
                self._keep(s, units.read(line, "marks") if line else None)
            return
        match choose(s, line, (Choice("yes"), Choice("no"))):
            case "yes" if self._grinds(s):
                self.asks_mark = True
            case "yes":
                self._keep(s, None)
            case "no":
                s.leave(self.how)

    def _grinds(self, s: Session) -> bool:
        try:
            return bool(s.memory and s.memory.grinds(s.case))
        except UserError:
            return False  # keeping it will say why

    def _keep(self, s: Session, mark: float | None) -> None:
        assert s.memory is not None
        s.over.remove(self)
        try:
            s.memory.keep(s.case, mark)
        except UserError as error:
            s.say("notebook_failed", why=str(error))
            s.memory = None
        else:
            s.leave(self.how)


@dataclass
class Summary(Stage):
    """Write the hand-over to a file of the person's choice."""

    def screen(self, s: Session) -> Screen:
        return Screen("save", {}, wanted=Wanted("words", start=_free(s)))

    def take(self, s: Session, line: str) -> None:
        path = Path(line or _free(s)).expanduser()
        try:
            with path.open("x", encoding="utf-8") as file:
                file.write(handover.summary(s.case, s.today or date.today()))
        except FileExistsError:
            s.say("file_there", file=str(path))
        except (OSError, ValueError) as error:
            s.say("file_failed", file=str(path), why=getattr(error, "strerror", None) or str(error))
        else:
            s.over.remove(self)
            s.say("written", file=str(path))


def _free(s: Session) -> str:
    """A file name not yet taken."""
    names = (f"summary-{s.id or 'case'}{f'-{n}' if n else ''}.md" for n in range(1000))
    return next(n for n in names if not Path(n).exists())


@dataclass
class Explain(Stage):
    """Something told; any next line goes to what lies under it."""

    code: str
    data: dict[str, Any]

    def screen(self, s: Session) -> Screen:
        return Screen("explain", {"about": self.code, **self.data}, wanted=Wanted("enter"))

    def take(self, s: Session, line: str) -> None:
        s.stage.take(s, line)
