"""`diagnose book`: the shipped book, checked and shown."""

from __future__ import annotations

import argparse
import json


def add(commands: argparse._SubParsersAction) -> None:
    """State the command's arguments."""
    top = commands.add_parser("book", help="check the shipped book, show its entries")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    check = verbs.add_parser("check", help="read every chapter strictly and lint it")
    check.add_argument("--json", action="store_true", help="problems as JSON lines")
    check.set_defaults(run=_check)
    verbs.add_parser("schema", help="JSON Schema of a chapter, for editors").set_defaults(
        run=_schema)


def _check(args: argparse.Namespace) -> int:
    from diagnose.kb import loader, shelf
    from diagnose.kb.book import Book
    from diagnose.kb.problems import KnowledgeError

    try:
        chapters, problems = loader.load_sound(shelf.shipped())
        if not problems:
            Book(chapters)
    except KnowledgeError as error:
        problems = list(error.problems)
    for problem in problems:
        print(json.dumps({**problem.place._asdict(), "text": problem.text}) if args.json
              else problem)
    if problems:
        return 1
    if not args.json:
        print("The book is sound.")
    return 0


def _schema(args: argparse.Namespace) -> int:
    from diagnose.kb.model import schema

    print(json.dumps(schema(), indent=2))
    return 0
