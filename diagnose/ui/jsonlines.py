"""The consult as JSON lines both ways, for another program to drive; see `present.schema`."""

from __future__ import annotations

import json
from typing import TextIO

from diagnose.dialogue.session import Session
from diagnose.present.case_data import case_report
from diagnose.present.json_lines import (
    Answered,
    EndedLine,
    ErrorLine,
    Line,
    ReportLine,
    ScreenLine,
    TakenLine,
)
from diagnose.present.parts import plain
from diagnose.present.screens import Screen
from diagnose.ui import draw, text

MOST_CHARACTERS = 100_000


def run(session: Session, read: TextIO, write: TextIO) -> None:
    """Write a screen, read what is said, until the consult or the input ends."""
    number = 1
    _write(write, shown(session.screen(), number))
    while not session.ended:
        line = _line(read)
        if line is None:
            session.leave()
        elif line.strip():
            answered = _answered(session, line, number)
            number += isinstance(answered, ScreenLine)
            _write(write, answered)
    _write(write, EndedLine(session.ended, session.id, session.guarded.problem if session.guarded else ""))


def _line(read: TextIO) -> str | None:
    try:
        line = read.readline(MOST_CHARACTERS)
    except UnicodeDecodeError:
        return "\ufffd"
    while line and not line.endswith("\n"):
        rest = read.readline(MOST_CHARACTERS)
        if not rest:
            break
        line = "\ufffd" + rest  # too long for one thing said: refused as a whole
    return line or None


def _answered(session: Session, line: str, number: int) -> Answered:
    """What to write back for one line read."""
    try:
        said = json.loads(line)
    except (ValueError, RecursionError):
        return ErrorLine("not a line of JSON; write one such as {\"say\": \"19 s\"}")
    if isinstance(said, dict) and said.pop("to", number) != number:
        return ErrorLine(f"not taken: it was said to another screen; this is screen {number}")
    match said:
        case str() | {"say": str()}:
            session.take(said if isinstance(said, str) else said["say"])
        case {"interrupt": True}:
            session.interrupt()
        case {"report": True}:
            return ReportLine(case_report(session.case))
        case _:
            return ErrorLine("not understood; write {\"say\": TEXT}, {\"interrupt\": true} or "
                             "{\"report\": true}")
    return TakenLine(True) if session.ended else shown(session.screen(), number + 1)


def shown(screen: Screen, number: int) -> ScreenLine:
    """A screen as data, with its words put in; the number tells it from those before it."""
    data = plain(screen)
    data["choices"] = [{**plain(c), "text": draw.choice(screen, c)}
                       for c in screen.choices]
    data["notes"] = [{"code": n.code, "text": draw.note(n)} for n in screen.notes]
    return ScreenLine(data, text.linear(screen), number)


def _write(write: TextIO, line: Line) -> None:
    print(json.dumps(plain(line)), file=write, flush=True)
