"""Every case that a change is tried on: the shipped ones and the house's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import msgspec

from diagnose.consult.casefile import CaseFile
from diagnose.kb import shelf
from diagnose.kb.problems import KnowledgeError
from diagnose.kb.source import Tree, read_file


class Tried(NamedTuple):
    """A case as its file holds it, and how it is called."""

    name: str
    file: CaseFile
    tree: Tree


def all_cases(folders: Iterable[Path]) -> tuple[list[Tried], list[str]]:
    """The cases of the book and of these houses, and what can't be read of them, each in a line."""
    found: list[Tried] = []
    unread: list[str] = []
    for folder in (shelf.shipped(), *folders):
        for path in shelf.chapters(folder / "cases"):
            try:
                found += _of(read_file(path), path, unread)
            except KnowledgeError as error:
                unread.append(str(error.problems[0]))
    return found, unread


def _of(tree: Tree, path: Path, unread: list[str]) -> Iterator[Tried]:
    """A file holds one case or a list of them."""
    alone = isinstance(tree.data, dict)
    for i, data in enumerate([tree.data] if alone else tree.data):
        own = tree if alone else _part(tree, str(i), data)
        try:
            file = msgspec.convert(data, CaseFile, strict=False)
        except msgspec.ValidationError as error:
            unread.append(f"{own.place(())}: no case: {error}")
            continue
        yield Tried(file.title or f"{path.stem} {i + 1}: {file.complaint[:50]}", file, own)


def _part(tree: Tree, key: str, data: object) -> Tree:
    """One item of a list as a tree of its own, with the places it has in the file."""
    part = Tree(tree.name)
    part.data = data
    part.places = {path[1:]: at for path, at in tree.places.items() if path[:1] == (key,)}
    return part
