"""A change to a house's files, for the commands that make one: opened, tried, asked, written."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from diagnose.errors import UserError
from diagnose.ui.shown import in_place

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.book.with_house import LoadedBook
    from diagnose.house.effect import HouseEffect
    from diagnose.house.trial import FileChange

DROPPED = "Dropped; nothing was changed."


class Opened(NamedTuple):
    """The book with its houses, the folder that is written to, and what its files held."""

    loaded: LoadedBook
    folder: Path
    seen: dict[str, bytes]


def opened(houses: list[str] | None) -> Opened:
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
    return Opened(loaded, folder, seen)


def settle(house: Opened, houses: list[str] | None, made: Callable[[Opened], FileChange],
           agreed: Callable[[], bool], does: Callable[[LoadedBook, FileChange], None] | None = None) -> int:
    """Say what a change does, ask, and write it; where the house was changed meanwhile, once more.

    UserError, and nothing is written, where the check refuses it.
    """
    from diagnose.house import write

    while True:
        change = made(house)
        (does or show_effect)(house.loaded, change)
        if not agreed():
            print(DROPPED)
            return 0
        try:
            write.save(change.path, change.new, house.seen)
        except write.ChangedError:
            print(f"The files in {house.folder} were changed meanwhile, so this is tried on them anew.")
            house = opened(houses)
        else:
            print(f"Kept in {change.path}.")
            return 0


def show_effect(loaded: LoadedBook, change: FileChange) -> None:
    """Show what a change does to the sample cases, and what could be better; UserError if it can't be."""
    from diagnose.book.lint.brought import new_issues
    from diagnose.book.lint.issue import ERROR
    from diagnose.house import trial
    from diagnose.house.effect import WAITS_S
    from diagnose.house.told import told

    book = trial.tried(loaded, change)
    issues = new_issues(book, loaded.book)
    if wrong := [issue for issue in issues if issue.severity == ERROR]:
        raise UserError(f"refused, and nothing was changed: {wrong[0]}")
    effect = compared(loaded.book, book, [*loaded.houses, change.path.parent], WAITS_S)
    print_wrapped("\n" + "\n".join(told(effect)))
    for issue in issues:
        print_wrapped(str(issue))


def print_wrapped(text: str) -> None:
    """Show a text, on a terminal broken at its width."""
    if sys.stdout.isatty():
        from diagnose.house.prompt import wrapped

        text = wrapped(text)
    print(text)


def compared(before: Book, after: Book, folders: list[Path], seconds: float | None = None) -> HouseEffect:
    """What the sample cases come to in both books, in so many seconds."""
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
