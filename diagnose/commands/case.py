"""`diagnose case FILE...`: what a case file comes to, as text or JSON."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.book.problems import Place
    from diagnose.case.case import Case
    from diagnose.reason.system import System


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("case", help="diagnose case files without asking")
    top.add_argument("files", nargs="*", metavar="FILE", help="YAML with complaint: and answers:")
    top.add_argument("--json", action="store_true", help="one JSON object for each file")
    top.add_argument("--places", action="store_true", help="name file and line of every rule")
    top.add_argument("--house", action="append", metavar="DIR", help="house folder laid over")
    top.add_argument("--schema", action="store_true", help="print the JSON Schema of --json")
    top.add_argument("--notebook", action="store_true",
                     help="the case is of your own machine: use what your notebook knows of it")
    top.add_argument("--report", metavar="FILE", help="write the case as an HTML page to print")
    top.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    if args.schema:
        from diagnose.present.schema import SCHEMA

        print(json.dumps(SCHEMA, indent=2))
        return 0
    if not args.files:
        raise UserError("name a case file, as in `diagnose case demo/gushing.yaml`")
    if args.report and len(args.files) > 1:
        raise UserError("--report writes the page of one case; name one file")
    if args.report:
        from diagnose.report.markup import can_be_saved

        can_be_saved(Path(args.report))
    from diagnose.book.with_house import load

    loaded = load(args.house)
    system = _system(loaded.book, args.notebook)
    failed = 0
    for name in args.files:
        try:
            _file(system, Path(name), args, [str(p) for p in loaded.broken])
        except UserError as error:
            print(f"diagnose: {error}", file=sys.stderr)
            failed = 2
    return failed


def _system(book: Book, notebook: bool) -> System:
    """The reasoning over a book, with the notebook's history where that is wanted."""
    if not notebook:
        from diagnose.reason.system import System

        return System(book)
    from diagnose.notebook.wire import system_for

    system, unread = system_for(book)
    if unread:
        raise UserError(unread)
    return system


def _file(system: System, path: Path, args: argparse.Namespace, broken: list[str]) -> None:
    from diagnose.case.casefile import build, read

    cases = list(read(path))
    if args.report and len(cases) > 1:
        raise UserError(f"{path} holds {len(cases)} cases; --report writes the page of one")
    for found, tree in cases:
        _one(build(system, found, tree, _remark), path, args, broken)


def _remark(place: Place, said: str) -> None:
    print(f"diagnose: {place}: {said}", file=sys.stderr)


def _one(case: Case, path: Path, args: argparse.Namespace, broken: list[str]) -> None:
    from diagnose.present.case_data import case_report
    from diagnose.present.parts import more, plain
    from diagnose.present.report_data import FileReport

    if args.notebook:
        from diagnose.notebook.wire import prepare

        prepare(case)
    if args.report:
        from diagnose.report.page import save

        save(case, Path(args.report), broken)
    data = case_report(case, args.places)
    if args.json:
        print(json.dumps(plain(more(FileReport, data, file=str(path), broken=broken))))
        return
    from diagnose.ui.text import page

    print(page(data, broken))
