"""How like a text is to stated phrases: by the words and the runs of letters they share.

Both are weighed by how rare they are (inverse document frequency, Sparck Jones 1972) and
compared as the cosine of the two sets; an entry counts as its likest phrase.
"""

from __future__ import annotations

import math
from array import array
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from itertools import accumulate, pairwise

import msgspec

from diagnose.search.text import plain, stem, words

LETTERS = 4
"""Letters in a run: spelling slips break few of them."""
BY_WORDS = 0.65
"""Share of the words and pairs of words in the likeness; the rest is that of letters."""
IDLE = frozenset([
    "i", "me", "my", "we", "us", "our", "you", "it", "its", "she", "he", "her", "his", "they", "the", "a",
    "an", "this", "that", "these", "those", "be", "do", "have", "will", "would", "can", "could", "should",
    "may", "must", "and", "or", "but", "to", "of", "in", "on", "at", "for", "with", "from", "as", "by",
    "is", "am", "so", "if", "then", "there", "here", "just", "not", "any", "some", "please", "what",
    "how", "when", "which", "who", "why", "where", "get", "go", "make", "use", "need", "want", "one",
])
"""Words that say nothing of what is asked."""


class PhraseTable(msgspec.Struct, frozen=True, array_like=True):
    """Phrases made ready to be compared with, in rows of numbers: a start need not unpack them."""

    owners: tuple[str, ...]
    """The entry of each phrase."""
    lengths: bytes
    """The length of each phrase by its words, then of each by its runs of letters (`d`)."""
    features: tuple[str, ...]
    """In alphabetical order."""
    weights: bytes
    """How rare each is (`d`)."""
    starts: bytes
    """Where the phrases of each feature begin among those of all, and where the last end (`I`)."""
    holding: bytes
    """The phrases that have each feature (`I`)."""
    rare: float
    """The weight of a feature that no phrase has."""


class Overlap:
    """Phrases by entry, and how like a text is to each entry."""

    def __init__(self, phrases: Mapping[str, Iterable[str]], table: PhraseTable | None = None) -> None:
        """`table` is what these phrases were made to earlier, if they were."""
        self.names = frozenset(phrases)
        self.table = table or _made(phrases)
        lengths = memoryview(self.table.lengths).cast("d")
        half = len(self.table.owners)
        self._lengths = lengths[:half], lengths[half:]
        self._weights = memoryview(self.table.weights).cast("d")
        self._starts = memoryview(self.table.starts).cast("I")
        self._holding = memoryview(self.table.holding).cast("I")

    def scores(self, text: str) -> dict[str, float]:
        """Entry to how like its likest phrase is."""
        said = _features(text)
        known = {feature: at for feature in said if (at := self._place(feature)) >= 0}
        norms = _norms(said, {feature: self._weights[at] for feature, at in known.items()}, self.table.rare)
        likes: dict[int, float] = defaultdict(float)
        for share, norm, own, shared in zip((BY_WORDS, 1 - BY_WORDS), norms, self._lengths,
                                            self._shared(known), strict=True):
            for number, weight in shared.items():
                if norm and own[number]:
                    likes[number] += share * weight / (norm * own[number])
        found: dict[str, float] = {}
        for number, like in likes.items():
            name = self.table.owners[number]
            if like > found.get(name, -1.0):
                found[name] = like
        return {name: round(like, 4) for name, like in found.items()}

    def _place(self, feature: str) -> int:
        """The number of a feature; -1 where no phrase has it."""
        at = bisect_left(self.table.features, feature)
        return at if at < len(self.table.features) and self.table.features[at] == feature else -1

    def _shared(self, known: Mapping[str, int]) -> tuple[dict[int, float], dict[int, float]]:
        """Phrases to what they share with a text, by words and by runs of letters."""
        shared: tuple[dict[int, float], dict[int, float]] = defaultdict(float), defaultdict(float)
        for feature, at in known.items():
            weight, part = self._weights[at] ** 2, shared[feature[0] == "#"]
            for number in self._holding[self._starts[at]:self._starts[at + 1]]:
                part[number] += weight
        return shared

    def telling(self, text: str) -> int:
        """How many different words of a text say something."""
        return len(set(_stems(text)))


def _made(phrases: Mapping[str, Iterable[str]]) -> PhraseTable:
    """The phrases made ready."""
    rows = [(name, _features(text)) for name, texts in phrases.items() for text in texts]
    holding: dict[str, list[int]] = defaultdict(list)
    for number, (_, row) in enumerate(rows):
        for feature in row:
            holding[feature].append(number)
    weight = {f: math.log(1 + len(phrases) / len({rows[number][0] for number in numbers}))
              for f, numbers in sorted(holding.items())}
    rare = math.log(1 + len(phrases))
    lengths = [_norms(row, weight, rare) for _, row in rows]
    starts = accumulate((len(holding[f]) for f in weight), initial=0)
    words_then_letters = [length for column in zip(*lengths, strict=True) for length in column]
    return PhraseTable(tuple(name for name, _ in rows), array("d", words_then_letters).tobytes(),
                       tuple(weight), array("d", weight.values()).tobytes(), array("I", starts).tobytes(),
                       array("I", [number for f in weight for number in holding[f]]).tobytes(), rare)


def _norms(row: Counter[str], weight: Mapping[str, float], rare: float) -> tuple[float, float]:
    """The length of a text by its words and by its runs of letters."""
    squares = [0.0, 0.0]
    for feature in row:
        squares[feature[0] == "#"] += weight.get(feature, rare) ** 2
    return math.sqrt(squares[0]), math.sqrt(squares[1])


def _stems(text: str) -> list[str]:
    return [w.stem for w in words(text) if w.stem not in IDLE and not w.stem[0].isdigit()]


def _features(text: str) -> Counter[str]:
    """Stems, pairs of neighbouring stems, and runs of letters (marked by a leading `#`)."""
    stems = _stems(text)
    runs = " ".join(w for w in plain(text).split() if stem(w.strip("?.,!;:")) not in IDLE)
    found = Counter(stems)
    found.update(f"{a} {b}" for a, b in pairwise(stems))
    found.update(f"#{runs[i:i + LETTERS]}" for i in range(max(0, len(runs) - LETTERS + 1)))
    return found
