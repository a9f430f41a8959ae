"""The consult, driven by typed lines: what all front ends have in common.

`screen()` says what to show, `take(line)` what the person said to it. Front ends differ
in how they draw and read, never in what happens.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from msgspec.structs import replace

from diagnose.consult import ahead, answers, commands, report, tellings
from diagnose.consult.answers import AnswerError
from diagnose.consult.asking import Known, Timer
from diagnose.consult.case import Case, Done, Fix, Recheck, Step, Stop
from diagnose.consult.events import Answered, Complained, Entry
from diagnose.consult.parting import Keep, Leave
from diagnose.consult.placing import Complaint, Resume, Understood
from diagnose.consult.screens import Note, Offer, Screen, Status
from diagnose.consult.stage import Stage
from diagnose.consult.stages import Explain, Next
from diagnose.consult.store import Guarded, Keeper, Kept, Store
from diagnose.errors import UserError
from diagnose.reason import explain
from diagnose.reason.system import System

MOST_SAID = 4000
"""Characters of one line that are read; the rest is cut off and said to be."""


class Lookup(Protocol):
    """Reads lay words; given from outside, since a consult knows no search."""

    def understand(self, text: str) -> Any:
        """Symptoms, values and notes read out of a complaint."""

    def search(self, text: str) -> Sequence[Any]:
        """Symptoms that words may mean, best first: each with id, name and score."""


class Memory(Protocol):
    """The person's notebook; given from outside, since a consult keeps none. Raises UserError."""

    def prepare(self, case: Case) -> Sequence[str]:
        """Answer what is known of the equipment; what was answered, in words."""

    def offered(self, case: Case) -> Sequence[str]:
        """What of the case is new and worth keeping, in words."""

    def grinds(self, case: Case) -> bool:
        """Is the grinder's mark worth asking for with it?"""

    def keep(self, case: Case, mark: float | None) -> None:
        """Keep it."""


class Session:
    """One person's consult from the first word to the end."""

    def __init__(self, system: System, lookup: Lookup, store: Store | None = None, *,
                 broken: Sequence[str] = (), today: date | None = None,
                 memory: Memory | None = None,
                 clock: Callable[[], float] = time.monotonic) -> None:
        self.system, self.book, self.lookup, self.store = system, system.book, lookup, store
        self.broken, self.today, self.clock = tuple(broken), today, clock
        self.memory = memory
        self.over: list[Stage] = []
        """What lies over the case's own next step, the topmost last."""
        self.notes: list[Note] = []
        self.ended = ""
        """How the consult ended; empty while it goes on."""
        self.begin()

    # Starting and resuming.

    def begin(self, id: str = "", entries: Iterable[Entry] = ()) -> None:
        """Start a case afresh, or go on with one on file."""
        self.close()
        self.id = id or self._new_id()
        self.keeper: Keeper | None = self.store.journal(self.id) if self.store else None
        self.guarded = Guarded(self.keeper) if self.keeper else None
        self.case = Case(self.system, entries, self.guarded, today=self.today)
        self.aside: dict[str, None] = {}
        self.fixes_aside: set[str] = set()
        self.over.clear()

    def offer_resume(self, kept: Kept) -> None:
        """Ask first whether to go on with a case on file."""
        self.over.append(Resume(kept))

    def resume(self, id: str) -> None:
        """Go on with a case on file; answers that no longer fit the book are taken back.

        Raises UserError where it can't be read.
        """
        assert self.store is not None
        kept = self.store.load(id)
        entries = [self._fitting(entry) for entry in kept]
        self.begin(id, entries)
        lost = [e for e, was in zip(entries, kept, strict=True) if e.undone and not was.undone]
        if lost:
            self.say("book_changed", count=str(len(lost)))
        self.say("resumed", id=id)

    def _fitting(self, entry: Entry) -> Entry:
        event = entry.event
        if isinstance(event, Answered) and event.name in self.book.observations:
            try:
                answers.parse(self.book.observations[event.name], event.value, self.today)
            except AnswerError:
                return replace(entry, undone=True)
        return entry

    def put_by(self, id: str) -> None:
        """Leave a case on file without going on with it; it is not offered again."""
        assert self.store is not None
        keeper = self.store.journal(id)
        Guarded(keeper).tell(lambda: keeper.close("put_by"))
        keeper.release()
        self.say("put_by", id=id)

    def _new_id(self) -> str:
        try:
            return self.store.new_id() if self.store else ""
        except OSError:
            return Store(Path()).new_id()

    def close(self) -> None:
        """Let go of the case's file; what was given stays on it."""
        if getattr(self, "keeper", None):
            self.keeper.release()  # type: ignore[union-attr]

    # What is shown.

    @property
    def stage(self) -> Stage:
        """What takes the next line."""
        if self.over:
            return self.over[-1]
        return Next() if self.case.complaints else Complaint()

    def screen(self) -> Screen:
        """What to show now."""
        shown = self.stage.screen(self)
        return replace(shown, notes=(*self.notes, *shown.notes), broken=self.broken,
                       status=self._status(), unkept=self.guarded.problem if self.guarded else "",
                       house=shown.house or self._house(shown))

    def standing(self) -> Screen | None:
        """The fix or the stop that stands where the person leaves; None where there is none."""
        shown = Next().screen(self) if self.case.complaints else None
        return replace(shown, house=self._house(shown)) if shown and shown.kind in (
            "remedy", "stop") else None

    def _house(self, shown: Screen) -> tuple[dict[str, str], ...]:
        if shown.kind not in ("remedy", "stop", "done"):
            return ()
        return tuple(report.report(self.case)["house"])

    def _status(self) -> Status:
        if not self.case.complaints:
            return Status(len(self.case.values))
        top = self.seen.ranked[0]
        left = self._left()
        return Status(len(self.case.values), explain.name(self.book, top.cause),
                      round(top.probability, 4), left.count, left.at_least)

    def _left(self) -> ahead.Left:
        key = (len(self.case.entries), sum(e.undone for e in self.case.entries), len(self.aside))
        if getattr(self, "_left_key", None) != key:
            self._left_key, self._left_count = key, ahead.questions_left(self.seen)
        return self._left_count

    @property
    def seen(self) -> Case:
        """The case with the questions put aside taken for unanswerable."""
        return ahead.without(self.case, self.aside)

    def step(self) -> Step:
        """What comes next."""
        return ahead.step(self.case, self.aside, self.fixes_aside)

    def offers(self, line: str) -> list[Offer]:
        """Ways to finish a complaint being typed."""
        if not isinstance(self.stage, Complaint | Understood) or len(line.strip()) < 2:
            return []
        return [Offer(hit.name) for hit in self.lookup.search(line)]

    def check(self, line: str) -> str:
        """Why a line can't be the answer; empty where it can, or where it is none."""
        return "" if commands.read(line) else self.stage.check(self, line)

    def read_as(self, line: str) -> str:
        """How an answer being typed is read; empty where it can't be, or where none is asked."""
        name = self.stage.asks(self)
        try:
            value = self.read(name, line) if name else None
        except AnswerError:
            return ""
        return answers.shown(self.book.observations[name], value) if name else ""

    @property
    def elapsed(self) -> float | None:
        """Seconds on a running clock; None where none runs."""
        stage = self.stage
        return stage.elapsed(self) if isinstance(stage, Timer) else None

    # What is said.

    def take(self, line: str) -> None:
        """Take one line: a command or an answer to what is shown."""
        self.notes = []
        line = "".join(c if c.isprintable() else " " for c in line).strip()
        if len(line) > MOST_SAID:
            line = line[:MOST_SAID]
            self.say("cut", most=str(MOST_SAID))
        command = commands.read(line)
        if isinstance(self.stage, Explain):
            self.over.pop()
            if not line or command == ("back", ""):
                return
        if command is None:
            self.stage.take(self, line)
        else:
            getattr(self, f"do_{command[0]}")(command[1])

    def say(self, code: str, **values: str) -> None:
        """Leave a note on the next screen."""
        self.notes.append(Note(code, values))

    def interrupt(self) -> None:
        """Ctrl-C: asks once whether to save and leave; the second time leaves."""
        self.notes = []
        if self.over and isinstance(self.over[-1], Leave):
            self.leave()
        else:
            self.over.append(Leave())

    def leave(self, how: str = "left") -> None:
        """End here; what was given is on file already."""
        self.ended = how
        if how != "left" and self.keeper and self.guarded:
            keeper = self.keeper
            self.guarded.tell(lambda: keeper.close(how))
        self.close()

    def answer(self, name: str, line: str) -> None:
        """Take an answer to an observation, or say why it can't be taken."""
        try:
            value = self.read(name, line)
        except AnswerError as error:
            self.say("refused", text=str(error))
            return
        self.aside.pop(name, None)
        self.case.answer(name, value, given=line)

    def read(self, name: str, line: str) -> Any:
        """An answer as typed, by number, by its first letters or in full. Raises AnswerError."""
        stated = self.book.observations[name]
        ids = list(stated.answers) or (["yes", "no"] if stated.kind == "yes_no" else [])
        if ids and line.isdigit() and 1 <= int(line) <= len(ids):
            return ids[int(line) - 1]
        begun = {a for a in stated.answers if line and any(
            t.lower().startswith(line.lower())
            for t in (a.replace("_", " "), stated.answers[a].says))}
        return begun.pop() if len(begun) == 1 else answers.parse(stated, line, self.today)

    def complained(self, text: str, symptoms: Sequence[str], values: dict[str, str]) -> None:
        """Take a complaint as understood, and what it says besides."""
        self.case.complain(text, symptoms)
        for name, value in values.items():
            if name in self.book.observations and name not in self.case.values:
                try:
                    self.case.answer(name, value, given="complaint")
                except AnswerError as error:
                    self.say("refused", text=str(error))
        self._remember()

    def _remember(self) -> None:
        """Let the notebook answer what it knows, and say so."""
        try:
            known = self.memory.prepare(self.case) if self.memory else ()
        except UserError as error:
            self.say("notebook_unread", why=str(error))
        else:
            if known:
                self.say("from_notebook", count=str(len(known)))

    def finish(self, how: str) -> None:
        """Leave, what is worth it offered to the notebook first."""
        try:
            offered = self.memory.offered(self.case) if self.memory else ()
        except UserError:
            offered = ()  # the notebook can't be read, which was said at the start
        if offered:
            self.over.append(Keep(how, tuple(offered)))
        else:
            self.leave(how)

    # Commands.

    def do_help(self, _: str) -> None:
        """Show what may be said."""
        self.over.append(Explain("help", {"on": self.stage.screen(self).kind}))

    def do_why(self, _: str) -> None:
        """Say why this is asked, or how the conclusion was reached."""
        self._tell("why", tellings.why)

    def do_sources(self, _: str) -> None:
        """The same, with file and line of every rule."""
        self._tell("why", lambda s: tellings.why(s, places=True))

    def do_more(self, _: str) -> None:
        """Everything behind the screen."""
        self._tell("more", tellings.more)

    def do_doubt(self, _: str) -> None:
        """What would change the conclusion."""
        self._tell("doubt", tellings.doubt)

    def do_what_if(self, answer: str) -> None:
        """What another answer would do, the case left alone."""
        try:
            self._tell("what_if", lambda s: tellings.what_if(s, answer))
        except AnswerError as error:
            self.say("refused", text=str(error))

    def _tell(self, code: str, told: Callable[[Session], dict[str, Any]]) -> None:
        if not self.case.complaints:
            self.say("nothing_yet")
            return
        while self.over and isinstance(self.over[-1], Explain):
            self.over.pop()
        self.over.append(Explain(code, told(self)))

    def do_known(self, _: str) -> None:
        """List what was answered, to change any of it."""
        if self.case.values or self.case.unknown or self.aside:
            self.over.append(Known())
        else:
            self.say("nothing_yet")

    def do_back(self, _: str) -> None:
        """Leave what lies on top, else take back the last thing done."""
        if self.over:
            self.over.pop()
            return
        event = self.case.back()
        while isinstance(event, Answered) and event.given == "complaint":
            event = self.case.back()
        if event is None:
            self.say("nothing_to_take_back")
            return
        self.fixes_aside.clear()
        if isinstance(event, Complained):
            self.over.append(Complaint(start=event.text))
        self.say("taken_back", what=tellings.event(self, event))

    def do_unknown(self, _: str) -> None:
        """The person can't tell."""
        name = self.stage.asks(self)
        if name is None:
            self.say("not_asked")
            return
        self.over.clear()
        self.case.dont_know(name)

    def do_skip(self, _: str) -> None:
        """Put the question or the fix aside for now."""
        name, step = self.stage.asks(self), self.step()
        if name is not None:
            self.over.clear()
            self.aside[name] = None
        elif self.over or isinstance(step, Done) or (isinstance(step, Stop) and not step.option):
            self.say("no_skip")
        elif isinstance(step, Recheck):
            self.case.let_stand(step.conflict)
        elif isinstance(step, Fix | Stop) and step.option:
            self._skip_fix(step.option.remedy)

    def _skip_fix(self, remedy: str) -> None:
        left = {o.remedy for o in self.seen.options} - self.fixes_aside - {remedy}
        if left:
            self.fixes_aside.add(remedy)
            self.say("fix_aside", fix=self.book.remedies[remedy].name)
        else:
            self.fixes_aside.clear()
            self.say("last_fix")

    def do_timer(self, _: str) -> None:
        """Take the time with the clock here."""
        name = self.stage.asks(self)
        if name is not None and self.book.observations[name].unit == "s":
            self.over.append(Timer(name))
        else:
            self.say("no_timer")

    def do_save(self, _: str) -> None:
        """Save and leave; nothing is asked, since it was asked for."""
        self.leave()

    def do_restart(self, _: str) -> None:
        """Begin again, after asking."""
        self.over.append(Leave("restart"))

    def restart(self) -> None:
        """Take everything back and begin with a new complaint."""
        self.case.restart()
        self.aside.clear()
        self.fixes_aside.clear()
        self.over.clear()
        self.say("restarted")
