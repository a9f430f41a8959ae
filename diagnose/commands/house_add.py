"""`diagnose house add`: one change to the house, asked for in plain words or given by options."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from typing import TYPE_CHECKING

from diagnose.commands.house_files import Opened, opened, print_wrapped, settle, show_effect
from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.book.with_house import LoadedBook
    from diagnose.house.drafts import Draft
    from diagnose.house.prompt import Prompter
    from diagnose.house.trial import FileChange
    from diagnose.house.write import Addition

SUBJECTS = ("target", "rule", "caution", "cause", "words", "answer", "question")


def state(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    verb = verbs.add_parser("add", help="change a number, add a rule, warning, cause, words, an answer",
                            description=(
                                "Asks in plain words; with --target, --when or --answer, asks nothing."))
    verb.add_argument("subject", nargs="?", choices=SUBJECTS, default=None, help="what to add")
    verb.add_argument("--resume", action="store_true", help="go on with the change that was left off last")
    verb.add_argument("--target", metavar="NAME",
                      help="set the numbers of a target, by its name or as people call it")
    for side in ("low", "value", "high"):
        verb.add_argument(f"--{side}", default="", metavar="NUMBER", help=f"the target's {side}")
    verb.add_argument("--when", action="append", default=[], metavar="NAME=VALUE",
                      help="a rule's condition; several must all hold")
    verb.add_argument("--weigh", action="append", default=[], metavar="CAUSE=GRADE")
    verb.add_argument("--then", action="append", default=[], metavar="FINDING=VALUE")
    verb.add_argument("--caution", default="", metavar="NAME")
    verb.add_argument("--answer", metavar="QUESTION",
                      help="answer a question of practice: its name in the book, or a new one in full")
    verb.add_argument("--says", default="", metavar="TEXT", help="the answer, in one to three sentences")
    verb.add_argument("--now", default="", metavar="TEXT", help="what to do now")
    verb.add_argument("--name", default="house rule", help="a short name for the rule")
    verb.add_argument("--why", default="", help="a note on why it is so")
    verb.add_argument("--yes", action="store_true", help="keep it without asking")
    verb.add_argument("--house", action="append", metavar="DIR",
                      help="house folder; several are stacked in this order, the last is written to")
    verb.set_defaults(run=_add)


def _add(args: argparse.Namespace) -> int:
    if not (args.target or args.answer or args.when):
        return _asked(args)
    from diagnose.house.prompt import Prompter

    house = opened(args.house)
    prompter = Prompter(sys.stdin, sys.stdout)
    return _settled(house, args.house, _given(args, house.loaded.book),
                    lambda: args.yes or prompter.agreed("Keep it?"))


def _given(args: argparse.Namespace, book: Book) -> list[Addition]:
    """The entry that the options state."""
    from diagnose.house import make, names

    if args.target:
        return [make.target(book, names.target(book, args.target), args.low, args.value, args.high)]
    if args.answer:
        return [make.answer(book, args.answer, args.says, args.now)]
    return [make.rule(book, args.name, args.when, args.weigh, args.then, args.caution, args.why)]


def _settled(house: Opened, houses: list[str] | None, additions: list[Addition],
             agreed: Callable[[], bool]) -> int:
    """Show the entries and what they do, ask, and write them."""
    from diagnose.house import phrase, trial
    from diagnose.house.make import apart
    from diagnose.house.write import entry_text

    def made(now: Opened) -> FileChange:
        entries = apart(now.loaded.book, house.loaded.book, additions)
        change = trial.adding(now.loaded, now.folder, entries)
        print(f"\n{change.path} gets:\n")
        for entry in entries:
            print(f"{entry.kind}:\n{entry_text(entry)}", end="")
        return change

    def understood(loaded: LoadedBook, change: FileChange) -> None:
        said = additions[0].data
        for line in phrase.told(trial.tried(loaded, change), said["words"], said["means"]):
            print_wrapped(f"\n{line}")

    words = additions[0].kind == phrase.KIND
    return settle(house, houses, made, agreed, understood if words else show_effect)


# Asked for.

def _asked(args: argparse.Namespace) -> int:
    """The change asked for question by question; what was answered is kept until it is settled."""
    from diagnose.house.drafts import Draft, latest
    from diagnose.house.prompt import PromptEnded, Prompter

    draft = latest() if args.resume else Draft(args.subject or "", tuple(args.house or ()))
    prompter = Prompter(sys.stdin, sys.stdout, draft.keep)
    prompter.again(draft.answers)
    try:
        status = _through(prompter, draft, args.yes)
    except PromptEnded as error:
        raise UserError(f"{error}{_left(draft)}") from None
    except KeyboardInterrupt:
        print(f"\ndiagnose: stopped; nothing was changed{_left(draft)}", file=sys.stderr)
        return 130
    draft.drop()
    return status


def _through(prompter: Prompter, draft: Draft, sure: bool) -> int:
    """From the first question to the last word, as often as somebody goes back from there."""
    from diagnose.house import guide
    from diagnose.house.prompt import Back

    houses = list(draft.houses) or None
    house = opened(houses)
    print_wrapped(guide.HELP)
    while True:
        with _reading_ahead(house, prompter.live):
            additions = guide.guided(draft.subject, prompter, house.loaded.book,
                                     lambda made: _refused(house, made))
        try:
            return _settled(house, houses, additions, lambda: sure or prompter.agreed(
                "Keep it? (`b` goes back to the last question)"))
        except Back:
            prompter.again(prompter.answers[:-1])


def _reading_ahead(house: Opened, live: bool) -> AbstractContextManager[None]:
    """Sample cases are read while somebody types."""
    if not live:
        return nullcontext()
    from diagnose.house.cases import all_cases
    from diagnose.house.readings import read_ahead

    return read_ahead(house.loaded.book, all_cases(dict.fromkeys([*house.loaded.houses, house.folder]))[0])


def _refused(house: Opened, additions: list[Addition]) -> str:
    """What keeps the entries from being used; empty where nothing does."""
    from diagnose.book.lint.brought import unsafe
    from diagnose.house import trial

    try:
        change = trial.adding(house.loaded, house.folder, additions)
        issues = unsafe(trial.tried(house.loaded, change))
    except UserError as error:
        return str(error)
    return issues[0].text if issues else ""


def _left(draft: Draft) -> str:
    if not draft.kept or not draft.answers:
        return ""
    return ", and what you answered is kept: `diagnose house add --resume` goes on from there"
