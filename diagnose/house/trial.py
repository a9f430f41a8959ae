"""A change to a house, put together as a book before it counts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError
from diagnose.book.with_house import LoadedBook
from diagnose.book.yaml import loader
from diagnose.errors import UserError
from diagnose.house import write
from diagnose.house.write import Addition

TITLES = {"targets": "What this house aims at", "rules": "Rules of this house",
          "causes": "Causes this house knows", "observations": "Questions of this house",
          "cautions": "Cautions of this house", "retires": "What does not count in this house",
          "phrases": "What people here say"}
FILES = {"observations": "questions.yaml", "retires": "retired.yaml"}


@dataclass(frozen=True)
class FileChange:
    """A file, and its text after the change."""

    path: Path
    new: str


def file_for(folder: Path, kind: str) -> Path:
    """The file of a house that entries of a kind are added to."""
    return folder / FILES.get(kind, f"{kind}.yaml")


def adding(loaded: LoadedBook, folder: Path, additions: Iterable[Addition], name: str = "") -> FileChange:
    """The change that adds entries to one file of a house: the one named, the one where the first
    entry stands already, or that of its kind.

    UserError where the file is not sound as it stands.
    """
    additions = list(additions)
    kind = additions[0].kind
    path = folder / name if name else _standing(loaded, folder, additions[0])
    _sound(loaded, path)
    text = _text(path) or write.head(TITLES.get(kind, "Rules of this house"))
    for addition in additions:
        if addition.id and write.holds(text, addition.kind, addition.id):
            text = write.without_entry(text, addition.kind, addition.id, "another stands for it below")
    return FileChange(path, write.with_entries(text, additions))


def _standing(loaded: LoadedBook, folder: Path, addition: Addition) -> Path:
    origin = loaded.book.layers.origin.get((addition.kind, addition.id))
    if origin and origin.layer and Path(origin.file).parent == folder:
        return Path(origin.file)
    return file_for(folder, addition.kind)


def _sound(loaded: LoadedBook, path: Path) -> None:
    for problem in loaded.broken:
        if problem.place.file == str(path):
            raise UserError(f"{path.name} is left out as it stands; mend it first: {problem}")


def retiring(loaded: LoadedBook, folder: Path, kind: str, name: str, why: str) -> FileChange:
    """The change that takes an entry out of what counts.

    The house's own entry becomes a comment in its file; one of the shipped book, or of a
    house below, is named under `retires:`.
    """
    origin = loaded.book.layers.origin[kind, name]
    path = Path(origin.file)
    if not origin.layer or path.parent != folder:
        entry = {"kind": kind, "id": name, "reason": why}
        return adding(loaded, folder, [Addition("retires", "", entry)])
    return FileChange(path, write.without_entry(_text(path), kind, name, why))


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8") if path.exists() else ""
    except (OSError, UnicodeDecodeError) as error:
        raise UserError(f"{path} can't be read ({error}); mend it first") from None


def tried(loaded: LoadedBook, change: FileChange) -> Book:
    """The book as it would be after a change.

    UserError with place and reason where the change is refused.
    """
    folder = change.path.parent
    try:
        new = loader.of_text(change.new, str(change.path), folder.name or str(folder))
        return build_book(_laid(loaded, new))
    except KnowledgeError as error:
        raise UserError(f"refused: {error.problems[0]}") from None


def _laid(loaded: LoadedBook, new: loader.LoadedChapter) -> list[loader.LoadedChapter]:
    """The chapters that count, the new one in its place: folder by folder, file by file."""
    kept = [c for c in loaded.book.chapters if c.file != new.file]
    shipped = [c for c in kept if not c.layer]
    houses = [str(folder) for folder in loaded.houses]
    own = str(Path(new.file).parent)
    order = houses if own in houses else [*houses, own]
    laid = [c for c in (*kept, new) if c.layer]
    return shipped + sorted(laid, key=lambda c: (order.index(str(Path(c.file).parent)),
                                                 Path(c.file).name))
