"""Every case that a change is tried on: the shipped ones and the house's own."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from diagnose.book.yaml.source import Tree
from diagnose.case.casefile import CaseFile, read
from diagnose.errors import UserError
from diagnose.storage import paths


class NamedCase(NamedTuple):
    """A case as its file holds it, and how it is called."""

    name: str
    file: CaseFile
    tree: Tree


def all_cases(folders: Iterable[Path]) -> tuple[list[NamedCase], list[str]]:
    """The cases of the book and of these houses, and the files that can't be read, each in a line."""
    found: list[NamedCase] = []
    unread: list[str] = []
    for folder in (paths.shipped(), *folders):
        for path in paths.chapters(folder / "cases"):
            try:
                found += [NamedCase(_name(file, tree), file, tree) for file, tree in read(path)]
            except UserError as error:
                unread.append(str(error))
    return found, unread


def _name(file: CaseFile, tree: Tree) -> str:
    place = tree.place(())
    return file.title or f"{Path(place.file).name}:{place.line} {file.complaint[:50]}".strip()
