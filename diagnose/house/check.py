"""A house linted as strictly as the shipped book: what it brings in, and what it breaks elsewhere."""

from __future__ import annotations

from pathlib import Path

from diagnose.book.assemble import build_book
from diagnose.book.lint import Report
from diagnose.book.lint.brought import of_house
from diagnose.book.problems import KnowledgeError, Place, Problem
from diagnose.book.yaml import loader
from diagnose.storage import paths


def check(folders: list[Path]) -> Report:
    """Lint these houses, laid over the shipped book in this order.

    KnowledgeError with every problem of every house file that can't be read or does not fit.
    """
    shipped = loader.load(paths.shipped())
    chapters, problems = list(shipped), []
    for folder in folders:
        if not folder.is_dir():
            problems.append(Problem(Place(str(folder), 1), "no such folder"))
            continue
        sound, found = loader.load_sound(folder, folder.name or str(folder))
        chapters += sound
        problems += found
    try:
        laid = build_book(chapters)
    except KnowledgeError as error:
        problems += error.problems
    if problems:
        raise KnowledgeError(problems)
    return of_house(laid, build_book(shipped))
