"""A letter as parts, before it is Markdown or plain text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from diagnose.present.parts import CautionData

PartKind = Literal["text", "strong", "heading", "danger", "caution", "steps", "points", "sheet"]


class Part(NamedTuple):
    """One part: a paragraph, a heading, a list, a caution with its signal word, or a whole sheet."""

    kind: PartKind
    lines: tuple[str, ...]
    lead: str = ""
    """The signal word of a caution."""


Parts = Iterator[Part]


def text(*lines: str) -> Parts:
    """A paragraph for each line that says anything."""
    yield from (Part("text", (line,)) for line in lines if line)


def strong(line: str) -> Parts:
    """A paragraph that must be seen."""
    yield Part("strong", (line,))


def heading(line: str) -> Parts:
    """A heading; none where a house leaves it out."""
    if line:
        yield Part("heading", (line,))


def danger(line: str) -> Parts:
    """A line of a stop."""
    yield Part("danger", (line,))


def caution(found: CautionData) -> Parts:
    """A caution: what can happen, and how to avoid it."""
    yield Part("caution", (found.text, found.avoid), found.signal)


def steps(lines: Iterable[str]) -> Parts:
    """A numbered list."""
    if said := tuple(lines):
        yield Part("steps", said)


def points(lines: Iterable[str]) -> Parts:
    """A list without numbers."""
    if said := tuple(lines):
        yield Part("points", said)
