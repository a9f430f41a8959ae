"""The consult, driven by typed lines: what all front ends have in common.

`screen()` says what to show, `take(line)` what the person said to it. Front ends differ
in how they draw and read, never in what happens.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from msgspec.structs import replace

from diagnose.consult import ahead, answers, besides, commands, doing, report
from diagnose.consult.alarm import Alarms
from diagnose.consult.answers import AnswerError
from diagnose.consult.asking import Timer
from diagnose.consult.case import Case, Step
from diagnose.consult.events import COMPLAINT, Answered, Complained, Entry, Event
from diagnose.consult.keeping import Kept, Understood
from diagnose.consult.outside import Lookup, Memory
from diagnose.consult.parting import Keep, Leave
from diagnose.consult.placing import Complaint, Resume
from diagnose.consult.replies import is_words
from diagnose.consult.screens import Note, Offer, Screen, Status
from diagnose.consult.stage import Stage
from diagnose.consult.stages import Explain, Next
from diagnose.consult.store import Guarded, Keeper, Store
from diagnose.consult.store import Kept as OnFile
from diagnose.errors import UserError
from diagnose.reason import explain
from diagnose.reason.system import System

NOTHING: Mapping[str, str] = MappingProxyType({})
MOST_SAID = 4000
"""Characters of one line that are read; the rest is cut off and said to be."""


class Session:
    """One person's consult from the first word to the end."""

    def __init__(self, system: System, lookup: Lookup, store: Store | None = None, *,
                 broken: Sequence[str] = (), today: date | None = None,
                 memory: Memory | None = None,
                 clock: Callable[[], float] = time.monotonic) -> None:
        self.system, self.book, self.lookup, self.store = system, system.book, lookup, store
        self.broken, self.today, self.clock = tuple(broken), today, clock
        self.memory = memory
        self.alarms = Alarms(system, today)
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
        self.brought: dict[int, int] = {}
        """Where words stand in the case, to how many fixes tried before them they told of."""
        self.hurried = False
        """Was the best fix asked for, whatever is still to be asked?"""
        self.over.clear()

    def offer_resume(self, kept: OnFile) -> None:
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

    def warming(self) -> Iterator[None]:
        """Make ready, step by step, what the first words and the first question will need."""
        _ = self.system.reasoner
        yield
        _ = self.system.asker
        yield
        self.lookup.search("")
        yield
        self.lookup.understand("")
        yield
        _ = Case(self.system, today=self.today).inference

    # What is shown.

    @property
    def stage(self) -> Stage:
        """What takes the next line."""
        if self.over:
            return self.over[-1]
        return Next() if self.begun else Complaint()

    @property
    def begun(self) -> bool:
        """Is there a case to go on with: a complaint, or facts told instead of one?"""
        return bool(self.case.complaints) or any(
            isinstance(e, Complained) and not e.symptoms for e in self.case.events)

    def screen(self) -> Screen:
        """What to show now."""
        shown = self.stage.screen(self)
        return replace(shown, notes=(*self.notes, *shown.notes), broken=self.broken,
                       status=self._status(), unkept=self.guarded.problem if self.guarded else "",
                       house=shown.house or self._house(shown))

    def standing(self) -> Screen | None:
        """The fix or the stop that stands where the person leaves; None where there is none."""
        shown = Next().screen(self) if self.begun else None
        return replace(shown, house=self._house(shown)) if shown and shown.kind in (
            "remedy", "stop") else None

    def _house(self, shown: Screen) -> tuple[dict[str, str], ...]:
        if shown.kind not in ("remedy", "stop", "done"):
            return ()
        return tuple(report.report(self.case)["house"])

    def _status(self) -> Status:
        if not self.begun or self.case.hazard:
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
        case = doing.unasked(self.case) if self.hurried else self.case
        return ahead.step(case, self.aside, self.fixes_aside)

    def offers(self, line: str) -> list[Offer]:
        """Ways to finish a complaint being typed."""
        if not isinstance(self.stage, Complaint | Understood) or len(line.strip()) < 2:
            return []
        return [Offer(hit.name) for hit in self.lookup.search(line)]

    def check(self, line: str) -> str:
        """Why a line can't be the answer; empty where it can, or where it is none."""
        return "" if commands.read(line) else self.stage.check(self, line)

    def own_words(self, line: str) -> bool:
        """Would a line that is no answer be read as words of the person's own?"""
        return self.stage.asks(self) is not None and is_words(line) and bool(self.check(line))

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
            doing.DO[command[0]](self, command[1])

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
            self.refuse(name, line, error)
            return
        self.aside.pop(name, None)
        self.hurried = False
        self.case.answer(name, value, given=line)

    def refuse(self, name: str, line: str, error: AnswerError) -> None:
        """Say why a line is no answer: for a choice, which numbers would be one."""
        stated = self.book.observations[name]
        most = len(stated.answers) or 2 * (stated.kind == "yes_no")
        if most:
            self.say("no_answer", said=line, most=str(most))
        else:
            self.say("refused", text=str(error))

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

    def record(self, kept: Kept, symptoms: bool = True) -> None:
        """Take the person's own words, and what they were confirmed to say.

        What was tried comes first: the answers tell how things are since.
        """
        self.hurried = False
        first = len(self.case.entries)
        for remedy, outcome in kept.tried.items():
            self.case.tried(remedy, outcome)  # type: ignore[arg-type]
        self.brought[len(self.case.entries)] = len(self.case.entries) - first
        self.case.complain(kept.text, kept.symptoms if symptoms else ())
        for name, value in kept.answers.items():
            try:
                self.case.answer(name, value, given=COMPLAINT)
            except AnswerError as error:
                self.say("refused", text=str(error))
            else:
                self.aside.pop(name, None)

    def complained(self, kept: Kept) -> None:
        """Take a complaint as sorted out, and let the notebook add what it knows."""
        self.record(kept)
        self._remember()

    def take_back(self) -> Event | None:
        """Take back the last thing said or done; words go with all they were confirmed to say."""
        event = self.case.back()
        while isinstance(event, Answered) and event.given == COMPLAINT:
            event = self.case.back()
        if isinstance(event, Complained):
            at = max(i for i, e in enumerate(self.case.entries) if e.event is event)
            for _ in range(self.brought.get(at, 0)):
                self.case.back()
        return event

    def placed(self, kept: Kept, first: bool) -> None:
        """Take a complaint as sorted out; once, what else is known is asked for."""
        self.complained(kept)
        if first and kept.symptoms and not self.case.hazard:
            self.over.append(besides.Besides(brief=besides.plenty(kept)))

    def _remember(self) -> None:
        """Let the notebook answer what it knows, and say so."""
        try:
            known = self.memory.prepare(self.case) if self.memory else ()
        except UserError as error:
            self.say("notebook_unread", why=str(error))
        else:
            if known:
                self.say("from_notebook", count=str(len(known)))

    def restart(self) -> None:
        """Take everything back and begin with a new complaint."""
        self.case.restart()
        self.aside.clear()
        self.fixes_aside.clear()
        self.hurried = False
        self.over.clear()
        self.say("restarted")

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
