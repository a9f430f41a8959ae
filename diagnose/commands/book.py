"""`diagnose book`: the shipped book, checked and shown, and how it fares on record."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING

from diagnose.commands import stats

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.book.lint import Report


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("book", help="check the shipped book, show its entries; what to teach next")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    check = verbs.add_parser("check", help="read every chapter and worked case strictly and lint them")
    check.add_argument("--json", action="store_true", help="one JSON object for each issue")
    check.add_argument("--strict", action="store_true", help="advice counts as an error")
    check.add_argument("--checks", action="store_true", help="list the linter's checks")
    check.set_defaults(run=_check)
    lister = verbs.add_parser("list", help="list entries, all or of one kind")
    lister.add_argument("kind", nargs="?", metavar="KIND",
                        help="causes, remedies, symptoms ...; hazards are told in full")
    lister.add_argument("--json", action="store_true", help="one JSON object for each entry")
    lister.set_defaults(run=_list)
    show = verbs.add_parser("show", help="show one entry as a page")
    show.add_argument("name", metavar="NAME")
    show.add_argument("--kind", default="", help="which kind, where a name has two")
    show.add_argument("--json", action="store_true", help="the entry as JSON")
    show.set_defaults(run=_show)
    stats.options(verbs.add_parser("stats", help="what people complain of, what helped, what to teach next"))
    verbs.add_parser("schema", help="JSON Schema of a chapter, for editors").set_defaults(
        run=_schema)


def _check(args: argparse.Namespace) -> int:
    from diagnose.book.lint import CHECKS
    from diagnose.book.lint.tell import checked, listed

    if args.checks:
        from diagnose.case import casefile_check

        print(listed(CHECKS), casefile_check.ABOUT, sep="\n")
        return 0
    text, failed = checked(_shipped, args.json, args.strict, "The book")
    print(text)
    return int(failed)


def _shipped() -> Report:
    """The report on the shipped chapters, and on the worked cases that stand beside them."""
    from dataclasses import replace

    from diagnose.book.assemble import build_book
    from diagnose.book.lint import lint
    from diagnose.book.problems import KnowledgeError
    from diagnose.book.yaml import loader
    from diagnose.case import casefile_check
    from diagnose.storage import paths

    folder = paths.shipped()
    chapters, problems = loader.load_sound(folder)
    if problems:
        raise KnowledgeError(problems)
    book = build_book(chapters)
    report = lint(book)
    return replace(report, issues=tuple(sorted({*report.issues, *casefile_check.issues(book, folder)})))


def _list(args: argparse.Namespace) -> int:
    from diagnose.book.model import KINDS
    from diagnose.book.pages import pages
    from diagnose.commands import entries, hazards

    book = _book()
    kinds = (entries.kind_of(args.kind),) if args.kind else KINDS
    if kinds == ("hazards",):
        print(hazards.listed(book, args.json, entries.width()))
        return 0
    for kind in kinds:
        if not args.json:
            print(f"{kind} ({len(getattr(book, kind))}):")
        for name, entry in getattr(book, kind).items():
            title = pages.title(kind, entry)
            print(json.dumps({"kind": kind, "id": name, "title": title}) if args.json
                  else f"  {name}: {title}" if title else f"  {name}")
    return 0


def _show(args: argparse.Namespace) -> int:
    from diagnose.commands import entries

    book = _book()
    pages = [entries.data(book, kind, name) if args.json else entries.shown(book, kind, name)
             for kind, name in entries.named(book, args.name, args.kind)]
    print(("\n" if args.json else "\n\n").join(pages))
    return 0


def _book() -> Book:
    """The shipped book alone: what a house lays over it is shown by `diagnose house`."""
    from diagnose.book.assemble import build_book
    from diagnose.book.problems import KnowledgeError
    from diagnose.book.yaml import loader
    from diagnose.errors import UserError
    from diagnose.storage import paths

    try:
        return build_book(loader.load(paths.shipped()))
    except KnowledgeError as error:
        raise UserError(f"the book is not sound: {error.problems[0]}; see `diagnose book check`") from None


def _schema(args: argparse.Namespace) -> int:
    from diagnose.book.json_schema import schema

    print(json.dumps(schema(), indent=2))
    return 0
