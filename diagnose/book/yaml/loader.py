"""Files to chapters: every file read strictly, or, the shipped ones, taken from an earlier reading."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path

import msgspec

from diagnose.book.model import SCHEMA, Caution, Chapter
from diagnose.book.problems import KnowledgeError, Place, Problem
from diagnose.book.yaml.decode import decode
from diagnose.book.yaml.source import Tree, read_file, read_text
from diagnose.storage import cache, paths

_KEPT_DEPTH = 4
_SECTION = re.compile(r"^cautions:.*\n(?:(?:[ \t#].*)?\n)*", re.MULTILINE)
MADE_BY = ("storage", "book", "errors")
"""The packages that make a chapter of a file."""


class LoadedChapter(msgspec.Struct, frozen=True, dict=True):
    """A chapter, the file it came from, whose it is, and where its entries stand."""

    chapter: Chapter
    file: str
    layer: str
    """`` for the shipped book, else the house folder's name."""
    packed: msgspec.Raw
    """`places`, packed: half of a book as it is kept, and seldom asked for."""

    @cached_property
    def places(self) -> dict[str, tuple[int, int]]:
        """The path of each part to its line and column."""
        return msgspec.msgpack.decode(self.packed, type=dict[str, tuple[int, int]])

    def place(self, *path: str) -> Place:
        """The place of an entry or of the nearest thing around the part named."""
        while path and "/".join(path) not in self.places:
            path = path[:-1]
        return Place(self.file, *self.places.get("/".join(path), (1, 1)))


def load(folder: Path, layer: str = "") -> list[LoadedChapter]:
    """All chapters of a folder; KnowledgeError with the problems of all files.

    The shipped chapters are kept once read, by content; a house's are read every time.
    """
    chapters, problems = load_sound(folder, layer)
    if problems:
        raise KnowledgeError(problems)
    return chapters


def load_sound(folder: Path, layer: str = "") -> tuple[list[LoadedChapter], list[Problem]]:
    """The chapters that are sound, and the problems of those that are not."""
    files = paths.chapters(folder)
    if not files and not layer:
        raise KnowledgeError([Problem(Place(str(folder), 1), "no chapters (*.yaml) here")])
    if layer or folder != paths.shipped():
        return _read(folder, files, layer)
    name = f"{cache.key(MADE_BY, files)}.book"
    kept = cache.recall(name, list[LoadedChapter])
    if kept is not None and _cautions_stand(folder, files, kept):
        return kept, []
    chapters, problems = _read(folder, files, layer)
    if not problems:
        cache.keep(name, msgspec.msgpack.encode(chapters))
    return chapters, problems


def _cautions_stand(folder: Path, files: Iterable[Path], kept: Iterable[LoadedChapter]) -> bool:
    """Do the cautions that were kept stand word for word in the files? They are few and read afresh."""
    try:
        return all((loaded.file, loaded.chapter.cautions) == (
                       path.relative_to(folder).as_posix(), _cautions(path))
                   for path, loaded in zip(files, kept, strict=True))
    except (KnowledgeError, OSError, ValueError):
        return False


def _cautions(path: Path) -> dict[str, Caution]:
    """The cautions of one file, without reading the rest of it."""
    found = _SECTION.search(path.read_text(encoding="utf-8"))
    if not found:
        return {}
    head = f"schema: {SCHEMA}\nchapter: cautions\ntitle: cautions\n"
    chapter, _ = decode(read_text(head + found[0], path.name))
    return chapter.cautions if chapter else {}


def _read(folder: Path, files: Iterable[Path], layer: str) -> tuple[list[LoadedChapter], list[Problem]]:
    chapters: list[LoadedChapter] = []
    problems: list[Problem] = []
    for path in files:
        try:
            name = str(path) if layer else path.relative_to(folder).as_posix()
            chapters.append(_decoded(read_file(path, name), layer))
        except KnowledgeError as error:
            problems += error.problems
    return chapters, problems


def of_text(text: str, name: str, layer: str) -> LoadedChapter:
    """A chapter from text not on file yet; KnowledgeError with all its problems."""
    return _decoded(read_text(text, name), layer)


def _decoded(tree: Tree, layer: str) -> LoadedChapter:
    chapter, problems = decode(tree)
    if chapter is None or problems:
        raise KnowledgeError(problems)
    places = {"/".join(p): at for p, at in tree.places.items() if len(p) <= _KEPT_DEPTH}
    return LoadedChapter(chapter, tree.name, layer, msgspec.Raw(msgspec.msgpack.encode(places)))
