"""A stretch of text as what a linear reader looks at: words, pairs of words, parts of words.

Figures read as `0`, and once more by their rough size: which quantity a figure is depends on the
words round it, what it says is read exactly elsewhere (`quantities`).
"""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator
from zlib import crc32

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_UNITS = tuple((re.compile(rf"(?<=\d)\s*(?:{unit})(?![a-z])"), f" {name}") for unit, name in (
    ("s|secs?|seconds?", "seconds"), ("g|gr|gms?|grams?|grammes?", "grams"), ("bars?", "bar"),
    ("mins?|minutes?", "minutes"), ("°|degrees?|deg", "degrees"), ("mls?", "ml")))
_STEPS = (0.8, 5, 9, 16, 22, 33, 50, 100)
"""Bounds between which figures are alike: of a shot's seconds, 16 to 22 is fast and 33 to 50 slow."""
_TOKEN = re.compile(r"[a-z0-9]+(?:'[a-z]+)?|[°%?!]")
_SENTENCE = re.compile(r"(?<=[.!?;])\s+|\n+")
_CLAUSE = re.compile(
    r",\s+|\s+-\s+|\s+(?:but|and|so|then|although|though|because|while|when)\s+|\(|\)|:")
PARTS = (3, 4, 5)
"""Lengths of the parts of words."""
PART_SHARE = 0.6
"""What a part of a word counts beside a word: at 1 misspellings are heard as well, but the first
symptom is right less often (51 against 55 % of the development reports)."""
LONGEST_WORD = 24
"""Letters of a word whose parts are looked at."""


def words(text: str) -> list[str]:
    """The words of a text, in small letters, every figure as `0` and a letter for its size."""
    plain = text.lower().replace("’", "'")
    for unit, name in _UNITS:
        plain = unit.sub(name, plain)
    return _TOKEN.findall(_NUMBER.sub(_sized, plain))


def _sized(figure: re.Match[str]) -> str:
    value = float(figure.group().replace(",", ".")[:12])
    return f" 0{'abcdefghi'[bisect_right(_STEPS, value)]} "


def sentences(text: str) -> list[str]:
    """A text cut where sentences end."""
    return [s for s in _SENTENCE.split(text) if s.strip()]


def clauses(text: str) -> list[str]:
    """Its sentences cut further into stretches of at least two words that may each say one thing."""
    return [c for s in sentences(text) for c in _CLAUSE.split(s) if len(words(c)) >= 2]


def names(said: list[str]) -> Iterator[str]:
    """The names of the features of some words, each as often as it occurs."""
    plain = ["0" if word[0] == "0" else word for word in said]
    for at, word in enumerate(plain):
        yield word
        if at + 1 < len(plain):
            yield f"{word} {plain[at + 1]}"
            if said[at] != word:
                yield f"{said[at]} {plain[at + 1]}"
        if at + 2 < len(plain):
            yield f"{word}_{plain[at + 2]}"
        yield from _parts(word)


def _parts(word: str) -> Iterator[str]:
    if len(word) > 3:
        whole = f"<{word[:LONGEST_WORD]}>"
        for length in PARTS:
            for start in range(len(whole) - length + 1):
                yield "#" + whole[start:start + length]


def key(name: str) -> int:
    """The number that stands for a feature: its CRC-32, the same on every machine."""
    return crc32(name.encode())


def counts(text: str) -> dict[int, float]:
    """Each feature's number to its sublinear count, before any weight."""
    found = Counter(names(words(text)))
    return {key(name): (1 + math.log(count)) * (PART_SHARE if name[0] == "#" else 1.0)
            for name, count in found.items()}
