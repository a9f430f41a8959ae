"""`diagnose handout SYMPTOM...`: pages to print or show on a phone, and the wall card of targets."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from diagnose.errors import UserError


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("handout", help="write a page to print: a trouble's causes, or the targets")
    top.add_argument("symptoms", nargs="*", metavar="SYMPTOM",
                     help="a trouble by its id or in lay words; several, in quotes")
    top.add_argument("--targets", action="store_true", help="the wall card of the house's targets instead")
    top.add_argument("--paper", choices=("a4", "a5"), default="a4", help="the paper it is printed on")
    top.add_argument("--sheet", action="store_true", help="all on one class sheet, without the questions")
    top.add_argument("--depth", type=int, choices=(2, 3), default=2, help="questions one after another")
    top.add_argument("-o", "--output", metavar="FILE", help="the page (default: handout.html, targets.html)")
    top.add_argument("--replace", action="store_true", help="write over a page that is there")
    top.add_argument("--house", action="append", metavar="DIR", help="house folder laid over")
    top.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    if bool(args.symptoms) == args.targets:
        raise UserError('name a trouble, as in `diagnose handout "dry foam"`, or ask for the wall card '
                        "with `diagnose handout --targets`")
    path = Path(args.output or ("targets.html" if args.targets else "handout.html"))
    there = _there(path, args.replace)
    from diagnose.notebook.exchange import save

    save(path, _page(args))
    print(f"{'Written over' if there else 'Written'}: {path}")
    return 0


def _there(path: Path, replace: bool) -> bool:
    """Is a page to be written over? UserError where the file can't or may not be."""
    from diagnose.report.markup import can_be_saved

    can_be_saved(path)
    if path.exists() and not replace:
        raise UserError(f"{path} is there already; name another file with -o, or add --replace")
    return path.exists()


def _page(args: argparse.Namespace) -> str:
    from datetime import date

    from diagnose.book.with_house import load
    from diagnose.reason.system import System
    from diagnose.teach import find, handout

    loaded = load(args.house)
    for problem in loaded.broken:
        print(f"diagnose: left out: {problem}", file=sys.stderr)
    if args.targets:
        return handout.card(loaded.book, args.paper, date.today())
    return handout.pages(System(loaded.book), find.symptoms(loaded.book, args.symptoms), args.paper,
                         args.depth, args.sheet)
