"""What a house's frame for its letters may hold: a greeting, a close and a name, and no advice."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import structs

from diagnose.book.model import LetterFrame
from diagnose.book.overlay import calming

NAME = "{name}"
MOST_LINES = 5
"""Of a signature."""
_PUT_IN = re.compile(r"\{[^{}]*\}|[{}]")
_POLITE = re.compile(r"\bfeel free to (?:write|ask|ring|call|come|reply|get in touch)\b", re.IGNORECASE)


def faults(letter: LetterFrame) -> Iterator[tuple[tuple[str, ...], str]]:
    """What can't stand in a letter's frame, by the path of its place."""
    for path, text in _texts(letter):
        if why := _wrong(path[-1], text):
            yield path, f"{'.'.join(path)}: {why}"


def _texts(letter: LetterFrame) -> Iterator[tuple[tuple[str, ...], str]]:
    for field, value in structs.asdict(letter).items():
        if isinstance(value, str):
            yield ("letter", field), value
        else:
            yield from ((("letter", field, name), text) for name, text in structs.asdict(value).items())


def _wrong(field: str, text: str) -> str:
    """Why a text can't be; empty where it can."""
    known = {NAME} if field == "greeting" else set()
    if strange := [found for found in _PUT_IN.findall(text) if found not in known]:
        return (f"{strange[0]!r} is not filled in" +
                ("; only {name} is" if known else "; only `greeting:` takes {name}"))
    lines = MOST_LINES if field == "signature" else 1
    if len(text.strip().split("\n")) > lines:
        return f"holds {len(text.strip().split(chr(10)))} lines, at most {lines} fit; make it shorter"
    if said := calming.takes_back(_POLITE.sub("", text)):
        return f"{said!r} takes back a caution that the letter may hold; say it otherwise"
    return ""
