"""`diagnose book stats`: what the records say of the trouble people have, and what to teach next."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path


def options(top: argparse.ArgumentParser) -> None:
    """State the command's arguments."""
    top.add_argument("paths", nargs="*", metavar="PATH",
                     help="beside your consults: folders of replies that mail wrote, case files")
    top.add_argument("--json", action="store_true", help="one JSON object, with all of every list")
    top.add_argument("--data", metavar="DIR", help="the data folder, where it is not the usual one")
    top.add_argument("--house", action="append", metavar="DIR", help="house folder laid over")
    top.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Count what is on record."""
    from diagnose.book.with_house import load
    from diagnose.notebook.store import Notebook
    from diagnose.reason.system import System
    from diagnose.storage import paths
    from diagnose.teach import records, stats

    folder = Path(args.data) if args.data else paths.data()
    loaded = load(args.house)
    unread = [f"left out: {problem}" for problem in loaded.broken]
    system = System(loaded.book)
    told = [*records.consults(system, folder / "cases", unread.append),
            *records.of_paths(system, map(Path, args.paths), unread.append)]
    shots = [row["shot_time_s"] for row in Notebook(folder / "notebook.sqlite").rows("shots")]
    for line in unread:
        print(f"diagnose: {line}", file=sys.stderr)
    found = stats.data(loaded.book, told, shots, unread)
    print(json.dumps(found) if args.json else stats.page(found))
    return 0
