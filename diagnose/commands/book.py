"""`diagnose book`: the shipped book, checked and shown."""

from __future__ import annotations

import argparse
import json


def add(commands: argparse._SubParsersAction) -> None:
    """State the command's arguments."""
    top = commands.add_parser("book", help="check the shipped book, show its entries")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    check = verbs.add_parser("check", help="read every chapter strictly and lint it")
    check.add_argument("--json", action="store_true", help="one JSON object for each issue")
    check.add_argument("--strict", action="store_true", help="advice counts as an error")
    check.add_argument("--checks", action="store_true", help="list the linter's checks")
    check.set_defaults(run=_check)
    verbs.add_parser("schema", help="JSON Schema of a chapter, for editors").set_defaults(
        run=_schema)


def _check(args: argparse.Namespace) -> int:
    from diagnose.kb.lint import CHECKS
    from diagnose.kb.lint.tell import checked, listed

    if args.checks:
        print(listed(CHECKS))
        return 0
    text, failed = checked(_shipped, args.json, args.strict, "The book")
    print(text)
    return int(failed)


def _shipped() -> object:
    from diagnose.kb import loader, shelf
    from diagnose.kb.book import Book
    from diagnose.kb.lint import lint
    from diagnose.kb.problems import KnowledgeError

    chapters, problems = loader.load_sound(shelf.shipped())
    if problems:
        raise KnowledgeError(problems)
    return lint(Book(chapters))


def _schema(args: argparse.Namespace) -> int:
    from diagnose.kb.model import schema

    print(json.dumps(schema(), indent=2))
    return 0
