"""`diagnose house`: the house's own rules, added, tried on every case, checked, listed, retired."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from diagnose.errors import UserError
from diagnose.ui.shown import in_place

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.book.with_house import Loaded
    from diagnose.house.effect import Effect
    from diagnose.house.prompt import Prompter
    from diagnose.house.trial import Change
    from diagnose.house.write import Addition

SUBJECTS = ("rule", "target", "cause", "question", "caution", "answer")


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("house", help="rules of this house: add, check, list, show, retire")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    _add_add(verbs)
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


def _add_add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    verb = verbs.add_parser("add", help="add a rule, target, cause, question, caution, answer", description=(
        "Asks in plain lines; with --target, --when or --answer, asks nothing."))
    verb.add_argument("subject", nargs="?", choices=SUBJECTS, default=None, help="what to add")
    verb.add_argument("--target", metavar="NAME", help="set a target's numbers")
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
    _house(verb)
    verb.set_defaults(run=_add)


def _add(args: argparse.Namespace) -> int:
    from diagnose.house import trial
    from diagnose.house.make import apart
    from diagnose.house.write import entry_text

    house = _opened(args.house)
    prompter = _prompter()
    additions = _additions(args, prompter, house.loaded.book)

    def made(now: _House) -> Change:
        entries = apart(now.loaded.book, house.loaded.book, additions)
        change = trial.adding(now.loaded, now.folder, entries)
        print(f"\n{change.path} gets:\n")
        for entry in entries:
            print(f"{entry.kind}:\n{entry_text(entry)}", end="")
        return change

    return _settle(house, made, prompter, args)


def _additions(args: argparse.Namespace, prompter: Prompter, book: Book) -> list[Addition]:
    from diagnose.house import guide, make

    if args.target:
        return [make.target(book, args.target, args.low, args.value, args.high)]
    if args.answer:
        return [make.answer(book, args.answer, args.says, args.now)]
    if args.when:
        return [make.rule(book, args.name, args.when, args.weigh, args.then, args.caution, args.why)]
    return guide.guided(args.subject or "", prompter, book)


class _House(NamedTuple):
    """The book with its houses, the folder that is written to, and what its files held."""

    loaded: Loaded
    folder: Path
    seen: dict[str, bytes]


def _opened(houses: list[str] | None) -> _House:
    """The book with its houses, of which the last is written to."""
    from diagnose.book.with_house import load
    from diagnose.house.write import state
    from diagnose.storage import paths

    for name in houses or ():
        if not Path(name).exists():
            raise UserError(f"no house folder {name!r}; make it, or name another with --house")
    folder = Path(houses[-1]) if houses else paths.house()
    seen = state(folder)  # before it is loaded: a change in between is noticed
    loaded = load(houses)
    for problem in loaded.broken:
        print(f"diagnose: left out: {problem}", file=sys.stderr)
    return _House(loaded, folder, seen)


def _prompter() -> Prompter:
    from diagnose.house.prompt import Prompter

    return Prompter(sys.stdin, sys.stdout)


def _settle(house: _House, made: Callable[[_House], Change], prompter: Prompter,
            args: argparse.Namespace) -> int:
    """Show what a change does, ask, and write it; where the house was changed meanwhile, once more."""
    from diagnose.house import write

    while True:
        change = made(house)
        _show_effect(house.loaded, change)
        if not (args.yes or prompter.yes("Keep it?")):
            print("Dropped; nothing was changed.")
            return 0
        try:
            write.save(change.path, change.new, house.seen)
        except write.ChangedError:
            print(f"The files in {house.folder} were changed meanwhile, so this is tried on them anew.")
            house = _opened(args.house)
        else:
            print(f"Kept in {change.path}.")
            return 0


def _show_effect(loaded: Loaded, change: Change) -> None:
    """Show what a change does to every case, and what is wrong with it."""
    from diagnose.book.lint.brought import new_issues
    from diagnose.house import trial
    from diagnose.house.effect import WAITS_S
    from diagnose.house.told import told

    book = trial.tried(loaded, change)
    effect = _compared(loaded.book, book, [*loaded.houses, change.path.parent], WAITS_S)
    _print("\n" + "\n".join(told(effect)))
    issues = new_issues(book, loaded.book)
    for issue in issues:
        _print(str(issue))
    if any(issue.severity == "error" for issue in issues):
        print("`diagnose house check` will not pass with this.")


def _print(text: str) -> None:
    """Show a text, on a terminal broken at its width."""
    if sys.stdout.isatty():
        from diagnose.house.prompt import wrapped

        text = wrapped(text)
    print(text)


def _compared(before: Book, after: Book, folders: list[Path], seconds: float | None = None) -> Effect:
    from diagnose.house.cases import all_cases
    from diagnose.house.effect import compare

    cases, unread = all_cases(dict.fromkeys(folders))
    for line in unread:
        print(f"diagnose: left out: {line}", file=sys.stderr)
    progress = _Progress()
    effect = compare(before, after, cases, progress, seconds)
    progress.end()
    return effect


class _Progress:
    """Says on a terminal how far the trial is, in one line that is then taken away."""

    def __init__(self) -> None:
        self.live, self.wide, self.last = sys.stderr.isatty(), 0, 0.0

    def __call__(self, what: str, done: int) -> None:
        now = time.monotonic()
        if self.live and now - self.last > 0.1:
            self.last = now
            self._say(f"{what} {done} sample cases")

    def _say(self, text: str) -> None:
        in_place(text.ljust(self.wide))
        self.wide = len(text)

    def end(self) -> None:
        """Take the line away."""
        if self.live:
            self._say("")
            in_place("")


def _phrase(args: argparse.Namespace) -> int:
    from diagnose.house import phrase, trial, write

    while True:
        house = _opened(args.house)
        addition = phrase.taught(house.loaded.book, args.words, args.means)
        change = trial.adding(house.loaded, house.folder, [addition])
        book = trial.tried(house.loaded, change)
        try:
            write.save(change.path, change.new, house.seen)
        except write.ChangedError:
            continue
        words = addition.data["words"]
        print(f"Kept in {change.path}: {words!r} means: {phrase.name(book, args.means)}.")
        if grave := phrase.dangers(book, words, args.means):
            print(f"A letter that says so is still to be read by a person first: {'; '.join(grave)}.")
        if not phrase.understood(book, words, args.means):
            print("The words alone are not read so yet; a few more of them would help.")
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
    rows = list(_rows(_opened(args.house).loaded.book))
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

    book = _opened(args.house).loaded.book
    pages = [entries.data(book, kind, name) if args.json else entries.shown(book, kind, name)
             for kind, name in entries.named(book, args.name, args.kind)]
    print(("\n" if args.json else "\n\n").join(pages))
    return 0


def _retire(args: argparse.Namespace) -> int:
    from diagnose.house import trial

    house = _opened(args.house)
    _, name = _entry(house.loaded.book, args)
    prompter = _prompter()
    why = args.reason or prompter.text(f"Why does {name} not count in this house?")

    def made(now: _House) -> Change:
        return trial.retiring(now.loaded, now.folder, *_entry(now.loaded.book, args), why)

    return _settle(house, made, prompter, args)


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

    loaded = _opened(args.house).loaded
    if not any(chapter.layer for chapter in loaded.book.chapters):
        print("This house has no rules of its own; add one with `diagnose house add`.")
        return 0
    shipped = build_book(loader.load(paths.shipped()))
    _print("\n".join(told(_compared(shipped, loaded.book, list(loaded.houses)), most=1000)))
    return 0
