"""`diagnose mail FILE|DIR`: a drafted reply for every complaint, and a summary of the pile."""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.errors import UserError
from diagnose.ui.shown import in_place

if TYPE_CHECKING:
    from diagnose.book.with_house import LoadedBook
    from diagnose.mail.letters import Letter

MOST_JOBS = 64


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser(
        "mail", help="draft a reply for every complaint in a file or folder",
        description="Drafts a reply for every complaint; never sends anything. A text file holds "
        "complaints parted by blank lines; in a folder every text file is one complaint; CSV and "
        "JSON lines hold one a row, and what they say of name, address and number stays with the reply. "
        "Run again, it goes on where it stopped. Your greeting, close and signature stand under `letter:` "
        "in a house file.")
    top.add_argument("path", metavar="FILE|DIR", help="complaints: text, CSV or JSON lines")
    top.add_argument("--out", metavar="DIR", help="folder for the replies (default: beside the file)")
    top.add_argument("--json", action="store_true", help="print the summary as JSON")
    top.add_argument("--jobs", type=int, default=0, metavar="N", help="processes (default: one a core)")
    top.add_argument("--house", action="append", metavar="DIR", help="house folder laid over")
    top.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    if not 0 <= args.jobs <= MOST_JOBS:
        raise UserError(f"--jobs {args.jobs} is not from 1 to {MOST_JOBS}")
    from diagnose.book.with_house import load
    from diagnose.mail import folder, letters

    path = Path(args.path)
    piped = path.exists() and not (path.is_file() or path.is_dir())
    if piped and not args.out:
        raise UserError(f"{path} is no file; name the folder for the replies with --out")
    out = Path(args.out) if args.out else _beside(path)
    loaded = load(args.house)  # before anything is read: an unsound book is said once
    for problem in loaded.broken:
        print(f"diagnose: left out: {problem}", file=sys.stderr)
    found, faults = letters.read(path, skip=out)
    for fault in faults:
        print(f"diagnose: {fault}", file=sys.stderr)
    name = letters.digest(found) if piped else str(path.resolve())
    try:
        with folder.of_pile(out, name):
            data = _worked(args, found, faults, loaded, out, name)
    except OSError as error:
        raise UserError(f"{error.filename or out}: {error.strerror}; name another folder with --out"
                        ) from None
    print(json.dumps(data) if args.json else _told(data, out))
    return 2 if faults else 0


def _beside(path: Path) -> Path:
    """The folder for the replies beside a file or folder, however it was named."""
    named = path if path.name not in ("", "..") else path.resolve()
    if not named.name:
        raise UserError(f"{path} stands beside nothing; name the folder for the replies with --out")
    return named.with_name(f"{path.resolve().stem}-replies")


def _worked(args: argparse.Namespace, found: list[Letter], faults: list[str], loaded: LoadedBook, out: Path,
            name: str) -> dict[str, Any]:
    """The summary of the pile, every reply written; what went wrong is added to `faults`."""
    from diagnose.mail import folder, pile, summary, table

    progress = _Progress()
    result = pile.run(found, out, name, args.house, args.jobs or os.cpu_count() or 1, date.today(), progress)
    progress.end(result.kept)
    for fault in result.faults:
        print(f"diagnose: {fault}", file=sys.stderr)
    faults += result.faults
    left_out = [f"{problem} (house file, left out)" for problem in loaded.broken]
    data = summary.data(loaded.book, result.records, [*faults, *left_out])
    pile.write(out / folder.SUMMARY, summary.page(data))
    pile.write(out / folder.FIGURES, json.dumps(data, indent=1))
    pile.write(out / folder.TABLE, table.sheet(data["table"]))
    return data


def _told(data: dict[str, Any], out: Path) -> str:
    from diagnose.mail import teach
    from diagnose.mail.summary import counted

    one = data["letters"] == 1
    lines = [f"  {line}" for line in counted(data)]
    return "\n".join([f"{data['letters']} letter{'' if one else 's'}, replies in {out}", *lines,
                      *teach.told(data), f"Read first: {out / 'SUMMARY.md'}"])


class _Progress:
    """Says on stderr how far it is: in place on a terminal, now and then elsewhere."""

    def __init__(self) -> None:
        self.start = self.last = time.monotonic()
        self.terminal = sys.stderr.isatty()
        if self.terminal:
            self.last = 0.0  # there the first count stands at once

    def __call__(self, done: int, total: int) -> None:
        now = time.monotonic()
        if now - self.last < (0.2 if self.terminal else 5.0):
            return
        self.last = now
        text = f"{done} of {total} letters"
        if self.terminal:
            in_place(f"{text} ")
        else:
            print(text, file=sys.stderr, flush=True)

    def end(self, kept: int) -> None:
        """Say how long it took."""
        before = f" ({kept} were done before)" if kept else ""
        said = f"done in {time.monotonic() - self.start:.1f} s{before}"
        if self.terminal:
            in_place(f"{said:<40}", end="\n")
        else:
            print(said, file=sys.stderr)
