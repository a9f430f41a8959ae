"""Problems found in knowledge files: where, what is wrong, what would be right."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from diagnose.errors import UserError


class Place(NamedTuple):
    """Where an entry or value stands: file name, line and column, both counted from 1."""

    file: str
    line: int
    column: int = 1

    def __str__(self) -> str:
        return f"{_visible(self.file)}:{self.line}:{self.column}"


class Problem(NamedTuple):
    """One thing wrong in a knowledge file, in one plain line."""

    place: Place
    text: str

    def __str__(self) -> str:
        return f"{self.place}: {_visible(self.text)}"


def _visible(text: str) -> str:
    """A text with its control and invisible characters written out, so that none acts on the screen."""
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


class KnowledgeError(UserError):
    """The knowledge can't be used as it stands; carries every problem, sorted by place."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(map(str, self.problems)))


def nearest(wrong: str, known: Iterable[str]) -> str:
    """Words to add after naming a wrong word: the nearest known one, or nothing."""
    from rapidfuzz import process  # most starts find nothing wrong

    hit = process.extractOne(wrong, [word for word in known if word != wrong], score_cutoff=60)
    return f"; did you mean {hit[0]!r}?" if hit else ""
