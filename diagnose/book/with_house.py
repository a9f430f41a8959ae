"""The book as this person sees it: shipped chapters, then the house's laid over them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import msgspec

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError, Place, Problem
from diagnose.book.yaml import loader
from diagnose.errors import UserError
from diagnose.storage import cache, paths

MADE_BY = ("storage", "compute", "book", "errors")
"""The packages that tell whether the shipped book is sound."""


class LoadedBook(msgspec.Struct, frozen=True):
    """The book, and what is wrong in house files that were left out of it."""

    book: Book
    broken: tuple[Problem, ...]
    houses: tuple[Path, ...]


def load(houses: Sequence[str] | None = None) -> LoadedBook:
    """Load the shipped book and lay house folders over it, in the order given.

    A house file that does not parse or fit, or has what the house check calls an error,
    is left out and named; the rest still works. UserError where the shipped book is unsound or a
    named folder is missing.
    """
    try:
        shipped = loader.load(paths.shipped())
    except KnowledgeError as error:
        raise UserError(f"the shipped book is not sound: {error.problems[0]}") from None
    folders = _folders(houses)
    kept, broken = list(shipped), []
    for folder in folders:
        chapters, problems = loader.load_sound(folder, layer=folder.name or str(folder))
        kept += chapters
        broken += problems
    return _fitting(kept, broken, folders)


def _folders(houses: Sequence[str] | None) -> tuple[Path, ...]:
    if houses:
        for name in houses:
            if not Path(name).is_dir():
                raise UserError(f"no house folder {name!r}; make it, or name another with --house")
        return tuple(map(Path, houses))
    return (paths.house(),) if paths.house().is_dir() else ()


def _fitting(kept: list[loader.LoadedChapter], broken: list[Problem], folders: tuple[Path, ...]
             ) -> LoadedBook:
    """Leave out house files with problems, one round after another, until the rest fits."""
    while True:
        book, problems = _tried(kept)
        if book is not None and not problems:
            return LoadedBook(book, tuple(broken), folders)
        bad = {p.place.file for p in problems}
        guilty = [c for c in kept if c.layer and c.file in bad]
        if guilty:
            broken += [p for p in problems if any(p.place.file == c.file for c in guilty)]
        else:
            guilty = [_breaking(kept, problems)]
            broken.append(Problem(Place(guilty[0].file, 1), f"does not fit the book: {problems[0]}"))
        kept = [c for c in kept if c not in guilty]


def _tried(kept: list[loader.LoadedChapter]) -> tuple[Book | None, tuple[Problem, ...]]:
    """The book of these chapters, if it can be, and why it can't be used as it stands."""
    try:
        if not any(c.layer for c in kept):
            return _shipped(kept), ()
        book = build_book(kept)
    except KnowledgeError as error:
        return None, error.problems
    from diagnose.book.lint.brought import unsafe  # without a house nothing is checked

    return book, tuple(Problem(issue.place, issue.text) for issue in unsafe(book))


def _shipped(chapters: list[loader.LoadedChapter]) -> Book:
    """The book of the shipped chapters alone, which is checked once and then known to be sound."""
    name = f"{cache.key(MADE_BY, paths.chapters(paths.shipped()))}.sound"
    if cache.recall(name, bool):
        return Book(chapters)
    book = build_book(chapters)
    cache.keep(name, msgspec.msgpack.encode(True))
    return book


def _breaking(kept: list[loader.LoadedChapter], problems: Sequence[Problem]) -> loader.LoadedChapter:
    """The house file without which the most fits, where none has a problem of its own."""
    houses = [c for c in kept if c.layer]
    if not houses:
        raise UserError(f"the shipped book is not sound: {problems[0]}") from None
    return min(reversed(houses), key=lambda c: len(_tried([k for k in kept if k is not c])[1]))
