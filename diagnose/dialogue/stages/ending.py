"""The stages at the end: leaving, keeping for next time, writing a summary."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from diagnose.compute import units
from diagnose.dialogue.choices import choose
from diagnose.dialogue.sitting import STAY, Drop, Moves, Push, Sitting, Stage
from diagnose.errors import UserError
from diagnose.present import handover
from diagnose.present.screen_data import KeepData, LeaveData
from diagnose.present.screens import Choice, Screen, Wanted
from diagnose.storage import paths


@dataclass
class Leave(Stage):
    """Really leave (or begin again)?"""

    what: str = "leave"

    def screen(self, s: Sitting) -> Screen:
        return Screen("leave", LeaveData(self.what), (Choice("yes"), Choice("no")), Wanted("one"))

    def take(self, s: Sitting, line: str) -> Moves:
        match choose(s, line, (Choice("yes"), Choice("no"))):
            case "yes" if self.what == "restart":
                s.restart()
            case "yes":
                s.leave()
            case "no":
                return (Drop(self),)
        return STAY


@dataclass
class Keep(Stage):
    """Keep for next time what the case told of shots and equipment?"""

    how: str
    offered: tuple[str, ...]
    asks_mark: bool = False

    def screen(self, s: Sitting) -> Screen:
        if self.asks_mark:
            return Screen("keep", KeepData("mark"), wanted=Wanted("quantity", "marks", example="12"))
        return Screen("keep", KeepData("offer", list(self.offered)),
                      (Choice("yes"), Choice("no")), Wanted("one"))

    def check(self, s: Sitting, line: str) -> str:
        if self.asks_mark and line:
            try:
                units.read(line, "marks")
            except units.UnitError as error:
                return str(error)
        return ""

    def take(self, s: Sitting, line: str) -> Moves:
        if self.asks_mark:
            if not (wrong := self.check(s, line)):
                return self._keep(s, units.read(line, "marks") if line else None)
            s.say("refused", text=wrong)
            return STAY
        match choose(s, line, (Choice("yes"), Choice("no"))):
            case "yes" if self._grinds(s):
                self.asks_mark = True
            case "yes":
                return self._keep(s, None)
            case "no":
                s.leave(self.how)
        return STAY

    def _grinds(self, s: Sitting) -> bool:
        try:
            return bool(s.memory and s.memory.grinds(s.case))
        except UserError:
            return False  # keeping it will say why

    def _keep(self, s: Sitting, mark: float | None) -> Moves:
        assert s.memory is not None
        try:
            s.memory.keep(s.case, mark)
        except UserError as error:
            s.say("notebook_failed", why=str(error))
            s.memory = None
        else:
            s.leave(self.how)
        return (Drop(self),)


@dataclass
class Summary(Stage):
    """Write the hand-over to a file of the person's choice, or beside their other data."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("save", wanted=Wanted("words", start=str(_free(s))))

    def take(self, s: Sitting, line: str) -> Moves:
        path = Path(line).expanduser() if line else _free(s)
        try:
            if not line:
                path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            with path.open("x", encoding="utf-8") as file:
                file.write(handover.summary(s.case, s.today or date.today()))
        except FileExistsError:
            s.say("file_there", file=str(path))
        except (OSError, ValueError) as error:
            s.say("file_failed", file=str(path), why=getattr(error, "strerror", None) or str(error))
        else:
            s.say("written", file=str(path))
            return (Drop(self),)
        return STAY


def finish(s: Sitting, how: str) -> Moves:
    """Leave, what is worth it offered to the notebook first."""
    try:
        offered = s.memory.offered(s.case) if s.memory else ()
    except UserError:
        offered = ()  # the notebook can't be read, which was said at the start
    if offered:
        return (Push(Keep(how, tuple(offered))),)
    s.leave(how)
    return STAY


def _free(s: Sitting) -> Path:
    """A file of the person's data folder that is not there yet."""
    files = (paths.data() / f"summary-{s.id or 'case'}{f'-{n}' if n else ''}.md" for n in range(1000))
    return next(file for file in files if not file.exists())
