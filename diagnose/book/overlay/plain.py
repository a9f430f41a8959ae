"""A house's texts are plain and short: nothing hidden in them, no caution buried under them.

What can't be seen can turn a sentence round on the screen, and what is endless pushes a caution
off it. Both are refused wherever they stand in a house file.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import Any

import msgspec

from diagnose.book.model import KINDS, Chapter
from diagnose.book.yaml.source import KeyPath

LONGEST = {"name": 120, "label": 120, "title": 120, "says": 120, "ask": 120, "lay": 80, "words": 80,
           "area": 60, "part": 60, "how": 300, "steps": 300, "text": 300, "avoid": 650, "go_on": 250,
           "before": 250, "stop": 250, "should": 250, "undo": 250, "what": 400, "confirm": 300,
           "tell": 250, "greeting": 80, "nameless": 80, "close": 300, "signature": 200, "probable": 60,
           "step": 60, "report": 60, "besides": 60, "more": 60, "told": 120}
LONGEST_OTHER = 600
MOST = {"lay": 60, "steps": 12, "cautions": 10, "answers": 24, "evidence": 60, "remedies": 20,
        "look_alikes": 20, "changes": 20}
MOST_CAUTIONS, MOST_STOPS, MOST_ENTRIES = 12, 4, 200
"""Of one house file."""
_HIDDEN = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0\ufffc\ufffd") | frozenset(
    map(chr, range(0xFE00, 0xFE10)))
_BLANKS = re.compile(r"\s{4,}|\n\s*\n")
_MARKUP = re.compile(r"<[A-Za-z!/?]|```|~~~|\]\(|&[#\w]+;")
_SCRIPT = re.compile(r"(LATIN|CYRILLIC|GREEK|ARMENIAN|CHEROKEE|FULLWIDTH|MATHEMATICAL)\b")
_UNSEEN = {"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"}
_WORD = re.compile(r"\w+")


def faults(chapter: Chapter) -> Iterator[tuple[KeyPath, str]]:
    """What in a house's chapter is hidden, endless or too many, by the path of its place."""
    data = msgspec.to_builtins(chapter)
    for path, text in _texts(data, ()):
        if fault := hidden(text) or _long(path, text):
            yield path, f"{'.'.join(path[:2])}: {fault}"
    yield from _many(data, ())
    stops = sum(c.stop == "yes" for c in chapter.cautions.values())
    for what, count, most in (("cautions", len(chapter.cautions), MOST_CAUTIONS),
                              ("cautions that stop", stops, MOST_STOPS),
                              ("entries", sum(len(getattr(chapter, k)) for k in KINDS), MOST_ENTRIES)):
        if count > most:
            yield (("cautions",), f"{count} {what}, at most {most} in a house file: "
                   "too many bury the one that counts")


def _texts(data: Any, path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    """Every text and every key of a chapter, with its path."""
    if isinstance(data, str):
        yield path, data
    elif isinstance(data, dict):
        for key, value in data.items():
            yield path, key
            yield from _texts(value, (*path, key))
    elif isinstance(data, list | tuple):
        for i, value in enumerate(data):
            yield from _texts(value, (*path, str(i)))


def _field(path: KeyPath) -> str:
    return next((part for part in reversed(path) if not part.isdigit()), "")


def _long(path: KeyPath, text: str) -> str:
    field = _field(path)
    most = LONGEST.get(field, LONGEST_OTHER)
    return f"`{field}:` has {len(text)} characters, at most {most} fit" if len(text) > most else ""


def _many(data: Any, path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    most = MOST.get(path[-1]) if len(path) > 2 else None
    if most and isinstance(data, dict | list | tuple) and len(data) > most:
        yield path, (f"{'.'.join(path[:2])}: `{path[-1]}:` has {len(data)} entries, at most {most} "
                     "can be read")
    for key, value in data.items() if isinstance(data, dict) else ():
        yield from _many(value, (*path, key))


def hidden(text: str) -> str:
    """What a text holds that can't be seen for what it is; empty where it is plain."""
    marks = 0
    for char in text:
        kind = unicodedata.category(char)
        marks = marks + 1 if kind in ("Mn", "Me") else 0
        if marks > 2 or char in _HIDDEN or (kind in _UNSEEN and char != "\n"):
            return f"holds the hidden character U+{ord(char):04X}; write plain letters"
    if _BLANKS.search(text.rstrip("\n")):
        return "holds a stretch of blanks or empty lines; write one paragraph"
    if found := _MARKUP.search(text):
        return f"holds the mark-up {found[0]!r}; write plain words"
    return next((f"mixes letters of several alphabets in {word!r}; write it in one"
                 for word in _WORD.findall(text) if not word.isascii() and len(_scripts(word)) > 1), "")


def _scripts(word: str) -> set[str]:
    found = (_SCRIPT.match(unicodedata.name(char, "")) for char in word)
    return {one[1] for one in found if one}
