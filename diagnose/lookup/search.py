"""Search by lay words: tolerant of typos and other words for the same, best first.

Every word of a query is matched to the words of the book: the same stem, a synonym, or a
near spelling where the book has no such word. Words weigh by how rare they are (inverse
document frequency, Sparck Jones 1972). A phrase scores by the harmonic mean of how much of
it the query covers and how much of the query it covers (the F measure of van Rijsbergen
1979); an entry by its best phrase and by how much of the query all its words cover.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from rapidfuzz import process
from rapidfuzz.distance import OSA

from diagnose.lookup import catalogue as cat
from diagnose.lookup.catalogue import Catalogue, Item
from diagnose.lookup.lexicon import Lexicon

SYNONYM = 0.75
"""Likeness of a synonym to the word itself."""
OPPOSED = 0.15
"""What is left of a likeness where one word is negated and the other is not."""
WHOLE = 0.3
"""Share of the score that all words of an entry bring, against its best phrase."""
ORDER = 0.08
"""Share of the score for words that stand side by side in both."""
LEAST = 0.2
"""Hits below this are none."""

Token = tuple[str, bool]


@dataclass(frozen=True)
class Hit:
    """One entry found: its score from 0 to 1, and the phrase of the book that matched best."""

    kind: str
    id: str
    name: str
    score: float
    matched: str
    causes: tuple[tuple[str, str], ...] = ()


class _Shelf:
    """The phrases of one kind, indexed by word."""

    def __init__(self, items: Sequence[Item], lex: Lexicon) -> None:
        self.items, self.lex = items, lex
        self.phrases: list[tuple[int, str, tuple[Token, ...]]] = [
            (i, phrase, tokens) for i, item in enumerate(items)
            for phrase, tokens in zip(item.phrases, item.tokens, strict=True)]
        self.holding: dict[str, set[int]] = defaultdict(set)
        self.entries: dict[str, set[int]] = defaultdict(set)
        for number, (i, _, tokens) in enumerate(self.phrases):
            for stem, _negated in tokens:
                self.holding[stem].add(number)
                self.entries[stem].add(i)
        self.vocabulary = list(self.holding)
        self.by_group: dict[int, list[str]] = defaultdict(list)
        for entry, groups in lex.groups.items():
            if entry in self.holding:
                for group in groups:
                    self.by_group[group].append(entry)

    def idf(self, stem: str) -> float:
        """How much a word tells: the rarer among entries, the more."""
        count = len(self.entries.get(stem, ()))
        return math.log(1 + (len(self.items) + 0.5) / (count + 0.5))

    @cached_property
    def weights(self) -> dict[str, float]:
        return {stem: self.idf(stem) for stem in self.vocabulary}

    def alike(self, stem: str) -> dict[str, float]:
        """Words of the book that mean or spell a word, with their likeness."""
        found: dict[str, float] = {}
        for group in self.lex.groups.get(stem, ()):
            for other in self.by_group[group]:
                found[other] = SYNONYM
        if stem in self.holding:
            found[stem] = 1.0
        elif not found:
            found = self._near(stem)
        return found

    def _near(self, stem: str) -> dict[str, float]:
        """Near spellings: one slip in words of 4 to 7 letters, two in longer ones."""
        if len(stem) < 4 or not stem.isalpha():
            return {}
        slips = 1 if len(stem) < 8 else 2
        near = process.extract(stem, self.vocabulary, scorer=OSA.distance, score_cutoff=slips,
                               limit=6)
        found = {w: 0.9 - 0.12 * d for w, d, _ in near if len(w) >= 4 and (w[0] == stem[0] or d < 2)}
        for word in list(found):
            for group in self.lex.groups.get(word, ()):
                for other in self.by_group[group]:
                    found.setdefault(other, found[word] * SYNONYM)
        return found


class Index:
    """Search over one book (or over a catalogue kept earlier)."""

    def __init__(self, book: cat.Entries | Catalogue, lex: Lexicon | None = None) -> None:
        if isinstance(book, Catalogue):
            self.catalogue = book
        else:
            self.catalogue = cat.build(book, lex or cat.lexicon_of())
        self.lexicon = self.catalogue.lexicon
        self._shelves: dict[str, _Shelf] = {}

    def shelf(self, kind: str) -> _Shelf:
        """The phrases of a kind, indexed on first use."""
        if kind not in self._shelves:
            items = [i for i in self.catalogue.items if i.kind == kind]
            self._shelves[kind] = _Shelf(items, self.lexicon)
        return self._shelves[kind]

    def search(self, text: str, kinds: Iterable[str] = ("symptoms",), limit: int = 5) -> list[Hit]:
        """The entries that fit best, best first; none where no word fits."""
        query = cat.tokens(text, self.lexicon)
        hits = [hit for kind in kinds for hit in self.score(query, kind)]
        return sorted(hits, key=lambda h: (-h.score, h.id))[:limit]

    def score(self, query: Sequence[Token], kind: str = "symptoms") -> list[Hit]:
        """Every entry of a kind that fits the words somewhat."""
        shelf = self.shelf(kind)
        return _Scoring(shelf, expand(query, self.lexicon)).hits() if query else []


def expand(query: Sequence[Token], lex: Lexicon) -> list[tuple[Token, tuple[str, ...]]]:
    """The query's words, each with the keys it answers to: itself and phrases it begins."""
    found = []
    for i, token in enumerate(query):
        keys = [token[0]]
        for length in range(2, lex.longest + 1):
            key = " ".join(t[0] for t in query[i:i + length])
            if i + length <= len(query) and key in lex.groups:
                keys.append(key)
        found.append((token, tuple(keys)))
    return found


class _Scoring:
    """Scores one query against one shelf."""

    def __init__(self, shelf: _Shelf, query: list[tuple[Token, tuple[str, ...]]]) -> None:
        self.shelf, self.query = shelf, query
        self.alike: list[dict[str, float]] = []
        for (_stem, _), keys in query:
            likes: dict[str, float] = {}
            for key in keys:
                for word, like in shelf.alike(key).items():
                    likes[word] = max(like, likes.get(word, 0.0))
            self.alike.append(likes)
        self.weight = [self._weight(t[0], likes) for (t, _), likes in zip(query, self.alike, strict=True)]
        self.total = sum(self.weight) or 1.0

    def _weight(self, stem: str, likes: dict[str, float]) -> float:
        """A word's weight; one the book does not know counts little against a match."""
        if not likes:
            return 0.35 * math.log(1 + len(self.shelf.items))
        return max(self.shelf.weights[w] * like for w, like in likes.items())

    def hits(self) -> list[Hit]:
        """Every entry with a score worth showing."""
        best: dict[int, tuple[float, str]] = {}
        covered: dict[int, list[float]] = {}
        for number in self._candidates():
            i, phrase, tokens = self.shelf.phrases[number]
            score, cover = self._phrase(tokens)
            if score > best.get(i, (0.0, ""))[0]:
                best[i] = (score, phrase)
            old = covered.setdefault(i, [0.0] * len(cover))
            covered[i] = [max(a, b) for a, b in zip(old, cover, strict=True)]
        found = []
        for i, (score, phrase) in best.items():
            whole = sum(c * w for c, w in zip(covered[i], self.weight, strict=True)) / self.total
            total = (1 - WHOLE) * score + WHOLE * whole * min(1.0, score * 2)
            if total >= LEAST:
                item = self.shelf.items[i]
                found.append(Hit(item.kind, item.id, item.name, min(1.0, round(total, 4)), phrase,
                                 item.causes))
        return found

    def _candidates(self) -> set[int]:
        return {n for likes in self.alike for word in likes for n in self.shelf.holding[word]}

    def _phrase(self, tokens: Sequence[Token]) -> tuple[float, list[float]]:
        """The score of one phrase, and how well it covers each word of the query."""
        cover = [0.0] * len(self.query)
        pairs: list[tuple[int, int]] = []
        got = wanted = 0.0
        for p, (word, negated) in enumerate(tokens):
            weight = self.shelf.weights[word]
            wanted += weight
            best, at = 0.0, -1
            for q, likes in enumerate(self.alike):
                like = likes.get(word, 0.0)
                if like and negated != self.query[q][0][1]:
                    like *= OPPOSED
                if like > best:
                    best, at = like, q
                if like > cover[q]:
                    cover[q] = like
            got += best * weight
            if at >= 0:
                pairs.append((p, at))
        of_phrase = got / wanted if wanted else 0.0
        of_query = sum(c * w for c, w in zip(cover, self.weight, strict=True)) / self.total
        if not of_phrase or not of_query:
            return 0.0, cover
        mean = 2 * of_phrase * of_query / (of_phrase + of_query)
        return (1 - ORDER) * mean + ORDER * mean * _in_order(pairs), cover


def _in_order(pairs: list[tuple[int, int]]) -> float:
    """The share of matched neighbours that are neighbours in the query too."""
    if len(pairs) < 2:
        return 1.0
    kept = sum(1 for (_, a), (_, b) in zip(pairs, pairs[1:], strict=False) if b - a == 1)
    return kept / (len(pairs) - 1)
