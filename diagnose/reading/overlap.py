"""How like a text is to stated phrases: by the words and the runs of letters they share.

Both are weighed by how rare they are (inverse document frequency, Sparck Jones 1972) and
compared as the cosine of the two sets; an entry counts as its likest phrase.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from itertools import pairwise

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


class Table(msgspec.Struct, frozen=True, array_like=True):
    """Phrases made ready to be compared with."""

    owners: tuple[str, ...]
    """The entry of each phrase."""
    norms: tuple[dict[bool, float], ...]
    """The length of each phrase, by its words and by its runs of letters."""
    weights: dict[str, float]
    """How rare each feature is."""
    holding: dict[str, tuple[int, ...]]
    """Feature to the phrases that have it."""
    rare: float
    """The weight of a feature that no phrase has."""


class Overlap:
    """Phrases by entry, and how like a text is to each entry."""

    def __init__(self, phrases: Mapping[str, Iterable[str]], table: Table | None = None) -> None:
        """`table` is what these phrases were made to earlier, if they were."""
        self.names = frozenset(phrases)
        self.table = table or _made(phrases)

    def scores(self, text: str) -> dict[str, float]:
        """Entry to how like its likest phrase is."""
        said = _features(text)
        shared: dict[int, dict[bool, float]] = defaultdict(lambda: {True: 0.0, False: 0.0})
        for feature in said:
            weight = self.table.weights.get(feature, 0.0) ** 2
            for number in self.table.holding.get(feature, ()):
                shared[number][feature[0] == "#"] += weight
        norm = _norm(said, self.table.weights, self.table.rare)
        found: dict[str, float] = {}
        for number, parts in shared.items():
            name, own = self.table.owners[number], self.table.norms[number]
            like = sum(share * parts[letters] / (norm[letters] * own[letters])
                       for letters, share in ((False, BY_WORDS), (True, 1 - BY_WORDS))
                       if norm[letters] and own[letters])
            found[name] = max(found.get(name, 0.0), round(like, 4))
        return found

    def telling(self, text: str) -> int:
        """How many different words of a text say something."""
        return len(set(_stems(text)))


def _made(phrases: Mapping[str, Iterable[str]]) -> Table:
    """The phrases made ready."""
    rows = [(name, _features(text)) for name, texts in phrases.items() for text in texts]
    holding: dict[str, list[int]] = defaultdict(list)
    for number, (_, row) in enumerate(rows):
        for feature in row:
            holding[feature].append(number)
    weight = {f: math.log(1 + len(phrases) / len({rows[number][0] for number in numbers}))
              for f, numbers in holding.items()}
    rare = math.log(1 + len(phrases))
    return Table(tuple(name for name, _ in rows), tuple(_norm(row, weight, rare) for _, row in rows), weight,
                 {feature: tuple(numbers) for feature, numbers in holding.items()}, rare)


def _norm(row: Counter[str], weight: Mapping[str, float], rare: float) -> dict[bool, float]:
    squares = {True: 0.0, False: 0.0}
    for feature in row:
        squares[feature[0] == "#"] += weight.get(feature, rare) ** 2
    return {letters: math.sqrt(total) for letters, total in squares.items()}


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
