"""The learnt reader's weights: one linear classifier for each thing that words can mean.

`knowledge/learnt/reader.bin` is made by `python -m diagnose.learn` from the phrases and situations
of the knowledge, and holds nothing but numbers: a header of one JSON line, then arrays as they are
used, so that a start need not unpack them. A margin above 0 says "more likely than not"; `curve`
turns it into a probability by a curve fitted to phrases that were set aside (Platt, in Advances in
Large Margin Classifiers, MIT Press 1999).
"""

from __future__ import annotations

import math
import mmap
import sys
from array import array
from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

import msgspec

from diagnose.errors import UserError
from diagnose.reading import features
from diagnose.storage import paths

FILE = "learnt/reader.bin"
STEP = 16.0
"""Steps of a feature's rarity (its inverse document frequency) in one byte."""
PARTS: tuple[Literal["I", "B", "H", "b"], ...] = ("I", "B", "I", "H", "b")
"""Codes of the arrays: numbers of features, their rarity, where the weights of each start, and for each
weight its class and its steps."""
WHOLE = 0.6
"""Share of the whole text's margin; the rest is that of the clause that says it best. Alone, the
clauses offer a right symptom more often, but claim twice as many wrong ones."""
SYMPTOM, ANSWER, HAZARD, PRACTICE = "symptom", "answer", "hazard", "practice"
KEPT = 64
"""Stretches of text whose margins are kept: a sentence is read for its symptoms, its answers, its dangers
and for what it asks."""


class Header(msgspec.Struct, frozen=True):
    """What the arrays mean."""

    corpus: str
    """Digest of the corpus that the weights were learnt from."""
    labels: tuple[str, ...]
    """`kind:id` of each class, those of a kind together."""
    base: tuple[float, ...]
    """The margin of each class for a text that says nothing known."""
    scale: float
    """What one step of a weight is worth."""
    curves: dict[str, tuple[float, float]]
    """Kind to slope and offset of the curve from margin to probability."""
    sizes: tuple[int, int]
    """Number of features, number of weights."""


class Classifier:
    """Margins of all classes for a text."""

    def __init__(self, header: Header, arrays: Sequence[Sequence[int]]) -> None:
        self.header = header
        self._names: dict[str, list[str]] = {}
        """Kind to the ids of its classes."""
        self._first: dict[str, int] = {}
        for at, label in enumerate(header.labels):
            kind, _, name = label.partition(":")
            self._first.setdefault(kind, at)
            self._names.setdefault(kind, []).append(name)
        self._keys, self._rarity, self._starts, self._classes, self._weights = arrays
        self._said = lru_cache(maxsize=KEPT)(self._heard)
        self._margin = lru_cache(maxsize=KEPT)(self._added)

    def margins(self, text: str, kind: str) -> dict[str, float]:
        """Ids of a kind to their margins, whole text and best clause together."""
        whole = self._margin(text, kind)
        parts = features.clauses(text)
        if len(parts) > 1:
            best = map(max, zip(*(self._margin(part, kind) for part in parts), strict=True))
            whole = tuple([WHOLE * w + (1 - WHOLE) * b for w, b in zip(whole, best, strict=True)])
        return dict(zip(self._names.get(kind, ()), whole, strict=True))

    def margin(self, text: str, kind: str) -> dict[str, float]:
        """Ids of a kind to their margins for one stretch of text."""
        return dict(zip(self._names.get(kind, ()), self._margin(text, kind), strict=True))

    def words_known(self, text: str) -> int:
        """How many words of a text it has met."""
        return sum(self._place(features.key(word)) is not None for word in set(features.words(text)))

    def _place(self, number: int) -> int | None:
        """Where a feature stands among the known ones."""
        at = bisect_left(self._keys, number)
        return at if at < len(self._keys) and self._keys[at] == number else None

    def _heard(self, text: str) -> tuple[tuple[int, float], ...]:
        """The known features of a text, each with what a step of its weights counts."""
        found = []
        for number, count in features.counts(text).items():
            at = self._place(number)
            if at is not None:
                found.append((at, count * self._rarity[at] / STEP))
        norm = math.sqrt(sum(value * value for _, value in found))
        return tuple([(at, value / norm * self.header.scale) for at, value in found])

    def _added(self, text: str, kind: str) -> tuple[float, ...]:
        """The margins of a kind's classes: of each feature only the weights of these are looked at."""
        first = self._first.get(kind, 0)
        last = first + len(self._names.get(kind, ()))
        margins, classes = list(self.header.base), self._classes
        for at, share in self._said(text):
            start, end = self._starts[at], self._starts[at + 1]
            span = slice(bisect_left(classes, first, start, end), bisect_left(classes, last, start, end))
            for label, weight in zip(classes[span], self._weights[span], strict=True):
                margins[label] += share * weight
        return tuple(margins[first:last])

    def curve(self, kind: str) -> Callable[[float], float]:
        """From the margin of a class of this kind to the chance that it is truly said."""
        slope, offset = self.header.curves[kind]
        return lambda margin: 1 / (1 + math.exp(-(slope * margin + offset)))


@cache
def load(path: Path) -> Classifier:
    """Take the weights as the file holds them; UserError where it is missing or broken."""
    try:
        with path.open("rb") as file:
            data = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
            head = file.readline()
        header = msgspec.json.decode(head, type=Header)
        return Classifier(header, _arrays(header, data[len(head):]))
    except (OSError, msgspec.DecodeError, ValueError) as error:
        raise UserError(f"{path}: what was learnt for reading can't be read ({error}); "
                        "install the program anew") from None


def shipped() -> Classifier:
    """The weights that come with the book."""
    return load(paths.shipped() / FILE)


def _arrays(header: Header, body: memoryview) -> list[Sequence[int]]:
    features_, weights = header.sizes
    counts = (features_, features_, features_ + 1, weights, weights)
    sizes = [array(code).itemsize * count for code, count in zip(PARTS, counts, strict=True)]
    if len(body) != sum(sizes):
        raise ValueError(f"it holds {len(body)} bytes of weights and not {sum(sizes)}")
    found: list[Sequence[int]] = []
    for code, size in zip(PARTS, sizes, strict=True):
        part, body = body[:size].cast(code), body[size:]
        found.append(part if sys.byteorder == "little" else _swapped(part))
    return found


def _swapped(part: memoryview) -> Sequence[int]:
    """The numbers of the file where a machine keeps them the other way round."""
    found = array(part.format, part.tobytes())
    found.byteswap()
    return found
