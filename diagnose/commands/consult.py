"""`diagnose consult`, and `diagnose` alone: the consult, at a terminal, in plain lines or JSON."""

from __future__ import annotations

import argparse
import io
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any

from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.book.with_house import LoadedBook
    from diagnose.case.journal import Kept, Store
    from diagnose.dialogue.session import Session
    from diagnose.present.screens import Screen


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("consult", help="find out what is wrong, question by question")
    options(top)


def options(top: argparse.ArgumentParser) -> None:
    """The consult's options, which `diagnose` alone takes too."""
    start = top.add_mutually_exclusive_group()
    start.add_argument("--resume", nargs="?", const="", metavar="ID",
                       help="go on with a case: the last one, or the one named")
    start.add_argument("--new", action="store_true", help="start a new case without asking")
    start.add_argument("--list", action="store_true", help="list the cases on file")
    how = top.add_mutually_exclusive_group()
    how.add_argument("--plain", action="store_true", help="plain lines, nothing redrawn")
    how.add_argument("--json", action="store_true", help="JSON lines both ways")
    top.add_argument("--schema", action="store_true", help="print the JSON Schema of --json")
    top.add_argument("--house", action="append", metavar="DIR", help="house folder laid over")
    top.add_argument("--data", metavar="DIR", help="keep cases, notebook and house rules in DIR")
    top.add_argument("--report", metavar="FILE",
                     help="at the end write the case as an HTML page to print")
    top.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    if args.schema:
        from diagnose.present.schema import SCREEN_SCHEMA

        print(json.dumps(SCREEN_SCHEMA, indent=2))
        return 0
    _move_data(args.data)
    if args.report:
        from diagnose.report.markup import can_be_saved

        can_be_saved(Path(args.report))
    from diagnose.case.journal import Store
    from diagnose.storage import paths

    store = Store(paths.data() / "cases")
    if args.list:
        return _list(store)
    _leave_in_order()
    _read_anything()
    sessions: list[Session] = []
    try:
        _front_end(args, *_beginning(args, store, sessions))
    finally:
        # What was said is on file by now; the last line says how to go on with it.
        if sessions and not args.json:
            _part(sessions[0])
        if sessions and args.report:
            _report(sessions[0], args)
    return 0


def _move_data(folder: str | None) -> None:
    if folder:
        from diagnose.storage import paths

        os.environ[paths.DATA] = folder


def _beginning(args: argparse.Namespace, store: Store, sessions: list[Session]
               ) -> tuple[Screen, Callable[[], Session]]:
    """The first screen, known before the book is, and what opens the session behind it."""
    from diagnose.present import screens

    notes: list[tuple[str, dict[str, str]]] = []
    kept = _left(args, store, notes)
    asks = kept is not None and args.resume is None
    if asks and kept:
        first = screens.resume(kept.id, kept.at, kept.complaint, kept.answers)
    else:
        first = screens.opening() if kept or args.resume else screens.complaint()

    def opened() -> Session:
        session = _session(args, store)
        sessions.append(session)
        if asks and kept:
            session.offer_resume(kept)
        elif kept or args.resume:
            session.resume(args.resume or kept.id)  # type: ignore[union-attr]  # one of them is there
        for code, values in notes:
            session.say(code, **values)
        return session

    return first, opened


def _left(args: argparse.Namespace, store: Store, notes: list[tuple[str, dict[str, str]]]
          ) -> Kept | None:
    """The last unfinished case, where it is to be gone on with."""
    if args.new or args.resume:
        return None
    try:
        left = store.open_cases()
    except OSError as error:
        notes.append(("store_unreadable", {"why": f"{store.folder}: {error.strerror}"}))
        return None
    if args.resume is not None and not left:
        raise UserError("no case is open; start one with `diagnose`")
    return left[0] if left else None


def _session(args: argparse.Namespace, store: Store) -> Session:
    from diagnose.book.with_house import load
    from diagnose.dialogue.session import Session
    from diagnose.notebook.wire import CaseNotebook, system_for

    loaded: LoadedBook = load(args.house)
    system, unread = system_for(loaded.book)
    session = Session(system, _Lookup(loaded.book), store, broken=[str(p) for p in loaded.broken],
                      memory=None if unread else CaseNotebook(loaded.book))
    if unread:
        session.say("notebook_unread", why=unread)
    return session


def _front_end(args: argparse.Namespace, first: Screen, opened: Callable[[], Session]) -> None:
    if args.json:
        from diagnose.ui import jsonlines

        jsonlines.run(opened(), sys.stdin, sys.stdout)
    elif args.plain or not _terminal():
        from diagnose.ui import lines

        lines.run(first, opened, sys.stdin, sys.stdout)
    else:
        from diagnose.ui import text
        from diagnose.ui.screen import Terminal

        session = Terminal(first, opened).run()
        if standing := session.standing():
            # The screen is gone with the consult; what came of it stays to be read.
            width = min(shutil.get_terminal_size().columns - 1, text.WIDTH)
            print(text.result(standing, session.done_so_far(), width) + "\n")


def _terminal() -> bool:
    """Can a screen be drawn and keys be read one by one?"""
    return (sys.stdin.isatty() and sys.stdout.isatty()
            and os.environ.get("TERM", "") not in ("", "dumb"))


def _part(session: Session) -> None:
    from diagnose.ui import text, words

    said = words.goodbye(session.id, bool(session.case.events),
                         session.guarded.problem if session.guarded else "", session.ended)
    print(text.paragraph(said, shutil.get_terminal_size().columns))


def _report(session: Session, args: argparse.Namespace) -> None:
    from diagnose.report.page import save

    save(session.case, Path(args.report), session.broken)
    if not args.json:
        print(f"Written: {args.report}")


def _leave_in_order() -> None:
    """A closed window or a kill ends the consult as leaving does; nothing said is lost."""
    def leave(number: int, frame: FrameType | None) -> None:
        raise SystemExit(128 + number)

    for name in ("SIGHUP", "SIGTERM"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), leave)


def _read_anything() -> None:
    """Signs that are none of the terminal's are read as a mark, not as a failure."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")


def _list(store: Store) -> int:
    from diagnose.ui import words

    try:
        cases = store.cases(lambda why: print(f"diagnose: {why}", file=sys.stderr))
    except OSError as error:
        raise UserError(f"{store.folder}: {error.strerror}; name another folder with --data"
                        ) from None
    for kept, closed in cases:
        print(words.LISTED.format(id=kept.id, at=kept.at[:16].replace("T", " "),
                                  state=words.CLOSED[closed], answers=kept.answers,
                                  complaint=kept.complaint or words.NO_WORDS))
    if not cases:
        print(words.NO_CASES)
    return 0


class _Lookup:
    """The search over lay words, loaded when first asked."""

    def __init__(self, book: Any) -> None:
        self.book = book

    def understand(self, text: str) -> Any:
        """Symptoms, values and notes read out of what was said."""
        from diagnose.reading.complaint import understand

        return understand(self.book, text)

    def search(self, text: str) -> Any:
        """Symptoms that words may mean, best first."""
        from diagnose.reading.complaint import index_of

        return index_of(self.book).search(text)

    def near_danger(self, text: str) -> Any:
        """The complaints about dangers that words may tell of."""
        from diagnose.reading import danger

        return danger.heard(self.book, text)

    def asked(self, text: str) -> Any:
        """The questions of practice that words ask."""
        from diagnose.reading.questions import asked

        return asked(self.book, text)

    def besides(self, text: str, answered: Any, hazardous: Callable[[str], bool]) -> str:
        """What words say besides the questions answered."""
        from diagnose.reading.fault import without_questions

        return without_questions(self.book, text, answered, hazardous)
