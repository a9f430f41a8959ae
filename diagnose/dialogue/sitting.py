"""What a consult and its stages share: the case, what is known, and what lies on the screen.

Stages see no more of a consult than this; `session` puts the stages together.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from msgspec.structs import replace

from diagnose.book import answers
from diagnose.book.answers import AnswerError
from diagnose.case import hypothetical
from diagnose.case.case import Case, Step
from diagnose.case.events import (
    COMPLAINT,
    Answered,
    Complained,
    Entry,
    Event,
    Rechecked,
    Unknown,
)
from diagnose.case.hazards import Alarms
from diagnose.case.journal import Guarded, Keeper, Store
from diagnose.dialogue.countdown import Countdown
from diagnose.dialogue.matching import several
from diagnose.dialogue.mentions import Kept
from diagnose.dialogue.outside import Lookup, Memory
from diagnose.errors import UserError
from diagnose.present.screens import Note, Screen
from diagnose.reason.system import System


class Stage:
    """One thing on the person's screen."""

    def screen(self, s: Sitting) -> Screen:
        """What is shown."""
        raise NotImplementedError

    def take(self, s: Sitting, line: str) -> Moves:
        """What the person said, commands apart; what then lies on the screen."""
        raise NotImplementedError

    def asks(self, s: Sitting) -> str | None:
        """The observation asked for, if one is."""
        return None

    def check(self, s: Sitting, line: str) -> str:
        """Why a line would be refused; empty where it would not."""
        return ""

    def means(self, s: Sitting, line: str) -> list[str] | None:
        """The choices that a line takes, none for an answer without any; None for words and no answer."""
        return several(line, self.screen(s).choices)

    def undo(self, s: Sitting) -> None:
        """Take back what was recorded to come here, where the person goes back from it."""


@dataclass(frozen=True)
class Push:
    """A stage comes to lie on top."""

    stage: Stage


@dataclass(frozen=True)
class Have:
    """A stage lies there: on top, unless it did before."""

    stage: Stage


@dataclass(frozen=True)
class Drop:
    """A stage is done with."""

    stage: Stage


@dataclass(frozen=True)
class Clear:
    """The case's own next step comes: all that lies over it is done with."""


Moves = tuple[Push | Have | Drop | Clear, ...]
"""What becomes of what lies on the screen, one after another."""
STAY: Moves = ()


class Sitting:
    """One person's consult as its stages see it."""

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

    @property
    def stage(self) -> Stage:
        """What takes the next line."""
        raise NotImplementedError

    @property
    def id(self) -> str:
        """What the case is called on file; empty where none is kept."""
        return self.keeper.id if self.keeper else ""

    def move(self, moves: Moves) -> None:
        """Do what a stage or a command says is to lie on the screen."""
        for one in moves:
            match one:
                case Push(stage):
                    self.over.append(stage)
                case Have(stage) if stage not in self.over:
                    self.over.append(stage)
                case Drop(stage) if stage in self.over:
                    self.over.remove(stage)
                case Clear():
                    self.over.clear()

    # The case and its file.

    def begin(self, keeper: Keeper | None = None, entries: Iterable[Entry] = ()) -> None:
        """Start a case afresh, or go on with one on file."""
        self.close()
        self.keeper = keeper or (self.store.new_journal() if self.store else None)
        self.guarded = Guarded(self.keeper) if self.keeper else None
        self.case = Case(self.system, entries, self.guarded, today=self.today)
        self.aside: dict[str, None] = {}
        self.fixes_aside: set[str] = set()
        self.brought: dict[int, int] = {}
        """Where words stand in the case, to how many fixes tried before them they told of."""
        self.hurried = False
        """Was the best fix asked for, whatever is still to be asked?"""
        self.asked_done: set[str] = set()
        """Fixes of which it was asked whether they were done as they say."""
        self.countdown = Countdown()
        self.guessing = False
        """Was the best guess wanted, though too little is known to advise it?"""
        self.over.clear()

    def resume(self, id: str) -> None:
        """Go on with a case on file; answers that no longer fit the book are taken back.

        Raises UserError where it can't be read, or another consult holds it.
        """
        assert self.store is not None
        keeper = self.store.journal(id)
        try:
            kept = keeper.taken_up()
        except OSError:  # it can't be written: the screens will say so, once there is something to keep
            kept = self.store.load(id)
        entries = [self._fitting(entry) for entry in kept]
        self.begin(keeper, entries)
        if keeper.set_aside:
            self.say("case_damaged", file=keeper.set_aside)
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

    def close(self) -> None:
        """Let go of the case's file; what was given stays on it."""
        if getattr(self, "keeper", None):
            self.keeper.release()  # type: ignore[union-attr]  # not None, see above

    def leave(self, how: str = "left") -> None:
        """End here; what was given is on file already."""
        self.ended = how
        if how != "left" and self.keeper and self.guarded:
            keeper = self.keeper
            self.guarded.tell(lambda: keeper.close(how))
        self.close()

    def restart(self) -> None:
        """Take everything back and begin with a new complaint."""
        self.case.restart()
        self.aside.clear()
        self.fixes_aside.clear()
        self.hurried = False
        self.over.clear()
        self.say("restarted")

    # Where it stands.

    @property
    def begun(self) -> bool:
        """Is there a case to go on with: a complaint, or facts told instead of one?"""
        return bool(self.case.complaints) or any(
            isinstance(e, Complained) and not e.symptoms for e in self.case.events)

    @property
    def seen(self) -> Case:
        """The case with the questions put aside taken for unanswerable."""
        return hypothetical.without(self.case, self.aside)

    def step(self) -> Step:
        """What comes next."""
        case = unasked(self.case) if self.hurried else self.case
        return hypothetical.step(case, self.aside, self.fixes_aside, self.hurried or self.guessing)

    # What is said.

    def say(self, code: str, **values: str) -> None:
        """Leave a note on the next screen."""
        self.notes.append(Note(code, values))

    def answer(self, name: str, line: str) -> None:
        """Take an answer to an observation. Raises AnswerError."""
        value = self.read(name, line)
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
        if number := answers.picked(line, len(ids)):
            return ids[number - 1]
        begun = {a for a in stated.answers if len(line) > 1 and any(
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
            self.case.tried(remedy, outcome)  # type: ignore[arg-type]  # the patterns give Outcomes alone
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

    def _remember(self) -> None:
        """Let the notebook answer what it knows, and say so."""
        try:
            known = self.memory.prepare(self.case) if self.memory else ()
        except UserError as error:
            self.say("notebook_unread", why=str(error))
        else:
            if known:
                self.say("from_notebook", count=str(len(known)))

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


def unasked(case: Case) -> Case:
    """The case as if nothing more could be asked, so that the best fix as it stands comes next."""
    stood = [Rechecked(c.key) for c in case.conflicts]
    left = [Unknown(n) for n in case.book.observations if n not in case.values]
    return hypothetical.shadow(case, [*stood, *left])
