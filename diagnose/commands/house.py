"""`diagnose house`: the house's own rules, added, tried on every case, checked, listed, retired."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands import house_add
from diagnose.commands.house_files import Opened, compared, opened, print_wrapped, settle
from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.house.trial import FileChange


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("house", help="rules of this house: add, check, list, show, retire")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    house_add.state(verbs)
    phrase = verbs.add_parser("phrase", help="teach words that people here use for a trouble or question")
    phrase.add_argument("words", metavar="WORDS", help="the words, as people say them")
    phrase.add_argument("--means", required=True, metavar="ENTRY",
                        help="the trouble or question, by its name in the book")
    check = verbs.add_parser("check", help="lint the house as strictly as the book")
    check.add_argument("folders", nargs="*", metavar="DIR", help="house folders, in this order")
    check.add_argument("--strict", action="store_true", help="advice counts as an error")
    check.add_argument("--json", action="store_true", help="one JSON object for each issue")
    check.set_defaults(run=_check, house=None)
    lister = verbs.add_parser("list", help="list what the house adds, replaces and retires")
    show = verbs.add_parser("show", help="show one entry, and what it stands for")
    show.add_argument("name", metavar="NAME")
    retire = verbs.add_parser("retire", help="take an entry out, after showing what that changes")
    retire.add_argument("name", metavar="NAME")
    retire.add_argument("--reason", default="", help="why it does not count in this house")
    retire.add_argument("--yes", action="store_true", help="do not ask")
    effect = verbs.add_parser("effect", help="what the house's rules change, case by case")
    for verb, run in ((phrase, _phrase), (lister, _list), (show, _show), (retire, _retire),
                      (effect, _effect)):
        _house(verb)
        verb.set_defaults(run=run)
    for verb in (show, retire):
        verb.add_argument("--kind", default="", help="which kind, where a name has two")
    for verb in (lister, show):
        verb.add_argument("--json", action="store_true", help="as JSON")


def _house(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("--house", action="append", metavar="DIR",
                      help="house folder; several are stacked in this order, the last is written to")


def _phrase(args: argparse.Namespace) -> int:
    from diagnose.house import phrase, trial, write

    while True:
        house = opened(args.house)
        addition = phrase.taught(house.loaded.book, args.words, args.means)
        change = trial.adding(house.loaded, house.folder, [addition])
        book = trial.tried(house.loaded, change)
        try:
            write.save(change.path, change.new, house.seen)
        except write.ChangedError:
            continue
        words = addition.data["words"]
        print(f"Kept in {change.path}: {words!r} means: {phrase.name(book, args.means)}.")
        print("".join(f"{line}\n" for line in phrase.told(book, words, args.means)), end="")
        return 0


def _check(args: argparse.Namespace) -> int:
    from diagnose.book.lint.tell import checked
    from diagnose.house.check import check
    from diagnose.storage import paths

    folders = [Path(name) for name in args.folders] or [paths.house()]
    if not args.folders and not folders[0].is_dir():
        print(f"There are no house rules yet ({folders[0]}); add one with `diagnose house add`.")
        return 0
    text, failed = checked(lambda: check(folders), args.json, args.strict, "The house")
    print(text)
    return int(failed)


def _list(args: argparse.Namespace) -> int:
    rows = list(_rows(opened(args.house).loaded.book))
    for row in rows:
        print(json.dumps(row) if args.json
              else f"{row['place']}: {row['does']} {row['kind']} {row['id']}: {row['title']}".rstrip(": "))
    if not rows and not args.json:
        print("This house has no rules of its own; add one with `diagnose house add`.")
    return 0


def _rows(book: Book) -> Iterator[dict[str, str]]:
    from diagnose.book.pages import pages

    for (kind, name), origin in book.layers.origin.items():
        change = book.layers.changes.get((kind, name))
        if change and change.what == "retires":
            yield {"place": str(change.place), "does": "retires", "kind": kind, "id": name, "title": ""}
        elif origin.layer:
            yield {"place": str(book.place(kind, name)), "does": "replaces" if change else "adds",
                   "kind": kind, "id": name, "title": pages.title(kind, getattr(book, kind)[name])}
    for loaded in book.chapters:
        for i, phrase in enumerate(loaded.chapter.phrases):
            yield {"place": str(loaded.place("phrases", str(i))), "does": "adds", "kind": "phrases",
                   "id": phrase.means, "title": phrase.words}
    if framed := book.layers.letter:
        yield {"place": str(framed.place("letter")), "does": "adds", "kind": "letters", "id": "letter",
               "title": book.letter.greeting}


def _show(args: argparse.Namespace) -> int:
    from diagnose.commands import entries

    book = opened(args.house).loaded.book
    pages = [entries.data(book, kind, name) if args.json else entries.shown(book, kind, name)
             for kind, name in entries.named(book, args.name, args.kind)]
    print(("\n" if args.json else "\n\n").join(pages))
    return 0


def _retire(args: argparse.Namespace) -> int:
    from diagnose.house import trial
    from diagnose.house.prompt import Prompter

    house = opened(args.house)
    _, name = _entry(house.loaded.book, args)
    prompter = Prompter(sys.stdin, sys.stdout)
    why = args.reason or prompter.text(f"Why does {name} not count in this house?")

    def made(now: Opened) -> FileChange:
        return trial.retiring(now.loaded, now.folder, *_entry(now.loaded.book, args), why)

    return settle(house, args.house, made, lambda: args.yes or prompter.agreed("Keep it?"))


def _entry(book: Book, args: argparse.Namespace) -> tuple[str, str]:
    """Kind and id of the entry named, the house's own before others; UserError where two have the name."""
    from diagnose.commands import entries

    found = entries.named(book, args.name, args.kind)
    own = [one for one in found if book.house(*one)] or found
    if len(own) > 1:
        raise UserError(f"{args.name!r} is one of the {' and one of the '.join(k for k, _ in own)}; "
                        "say which with --kind")
    return own[0]


def _effect(args: argparse.Namespace) -> int:
    from diagnose.book.assemble import build_book
    from diagnose.book.yaml import loader
    from diagnose.house.told import told
    from diagnose.storage import paths

    loaded = opened(args.house).loaded
    if not any(chapter.layer for chapter in loaded.book.chapters):
        print("This house has no rules of its own; add one with `diagnose house add`.")
        return 0
    shipped = build_book(loader.load(paths.shipped()))
    print_wrapped("\n".join(told(compared(shipped, loaded.book, list(loaded.houses)), most=1000)))
    return 0
