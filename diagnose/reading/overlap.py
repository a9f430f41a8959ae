"""How like a text is to stated phrases: by the words and the runs of letters they share.

Both are weighed by how rare they are (inverse document frequency, Sparck Jones 1972) and
compared as the cosine of the two sets; an entry counts as its likest phrase.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from itertools import pairwise

from diagnose.search.text import plain, stem, words

LETTERS = 4
"""Letters in a run: spelling slips break few of them."""
BY_WORDS = 0.65
"""Share of the words and pairs of words in the likeness; the rest is that of letters."""
IDLE = frozenset([
    "i", "me", "my", "we", "us", "our", "you", "it", "its", 
    "she", "he", "her", "his", "they", "the", "a", "an", "this", "that", "these",
    "those", "be", "do", "have", "will", "would", "can", "could", "should", "may", "must", "and", "or",
    "but", "to", "of", "in", "on", "at", "for", "with", "from", "as", "by", "is", "am", "so", "if", "then",
    "there", "here", "just", "not", "any", "some", "please", "what", "how", "when", "which", "who", "why",
    "where", "get", "go", "make", "use", "need", "want", "one"
])
"""Words that say nothing of what is asked."""


class Overlap:
    """Phrases by entry, and how like a text is to each entry."""

    def __init__(self, phrases: Mapping[str, Iterable[str]]) -> None:
        self.names = frozenset(phrases)
        self._rows = [(name, _features(text)) for name, texts in phrases.items() for text in texts]
        used: dict[str, set[str]] = defaultdict(set)
        for name, row in self._rows:
            for feature in row:
                used[feature].add(name)
        self._weight = {f: math.log(1 + len(phrases) / len(names)) for f, names in used.items()}
        self._rare = math.log(1 + len(phrases))
        self._norms = [self._norm(row) for _, row in self._rows]
        self._holding: dict[str, list[int]] = defaultdict(list)
        for number, (_, row) in enumerate(self._rows):
            for feature in row:
                self._holding[feature].append(number)

    def scores(self, text: str) -> dict[str, float]:
        """Entry to how like its likest phrase is."""
        said = _features(text)
        shared: dict[int, dict[bool, float]] = defaultdict(lambda: {True: 0.0, False: 0.0})
        for feature in said:
            weight = self._weight.get(feature, 0.0) ** 2
            for number in self._holding.get(feature, ()):
                shared[number][feature[0] == "#"] += weight
        norm = self._norm(said)
        found: dict[str, float] = {}
        for number, parts in shared.items():
            name, own = self._rows[number][0], self._norms[number]
            like = sum(share * parts[letters] / (norm[letters] * own[letters])
                       for letters, share in ((False, BY_WORDS), (True, 1 - BY_WORDS))
                       if norm[letters] and own[letters])
            found[name] = max(found.get(name, 0.0), round(like, 4))
        return found

    def telling(self, text: str) -> int:
        """How many different words of a text say something."""
        return len(set(_stems(text)))

    def _norm(self, row: Counter[str]) -> dict[bool, float]:
        squares = {True: 0.0, False: 0.0}
        for feature in row:
            squares[feature[0] == "#"] += self._weight.get(feature, self._rare) ** 2
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
