"""The consult as plain lines: read top to bottom, nothing redrawn, digits for every choice."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TextIO

from msgspec.structs import replace

from diagnose.present.screens import Screen
from diagnose.ui import remembered, text, words
from diagnose.ui.typed_ahead import drop_typed_ahead

if TYPE_CHECKING:
    from diagnose.dialogue.session import Session


def run(first: Screen, opened: Callable[[], Session], read: TextIO, write: TextIO,
        width: int = text.WIDTH) -> Session:
    """Show a screen, read a line, until the consult or the input ends.

    The first screen is shown before the session is opened, since that takes a moment.
    """
    print("\n" + text.linear(first, width), file=write, flush=True)
    session = opened()
    before, again = None, session.screen() == first
    known: set[str] = set()
    while not session.ended:
        screen = session.screen()
        bare = replace(screen, notes=())
        say = text.again if screen.notes and bare == before else text.linear
        if not again:
            print("\n" + say(remembered.cut(screen, known), width), file=write)
            known |= remembered.in_full(screen)
        before, again = bare, False
        line = _line(session, read, write)
        if line is None:
            session.leave()
        elif line is not INTERRUPTED:
            session.take(line)
    return session


INTERRUPTED = "\x03"
"""Stands for Ctrl-C: the line being typed is dropped and the screen is another."""


def _line(session: Session, read: TextIO, write: TextIO) -> str | None:
    """The next line; None at the end of input."""
    try:
        drop_typed_ahead(read)
        print(words.PROMPT, end="", file=write, flush=True)
        line = read.readline()
    except KeyboardInterrupt:
        print(file=write)
        session.interrupt()
        return INTERRUPTED
    except UnicodeDecodeError:
        session.notes = []
        session.say("not_text")
        return INTERRUPTED
    if not read.isatty():
        print(line.rstrip("\n"), file=write)  # so that a record of it can be followed
    return line or None

