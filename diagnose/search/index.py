"""Search by lay words: tolerant of typos and other words for the same, best first.

Every word of a query is matched to the words of the book: the same stem, a synonym, or a
near spelling where the book has no such word. Words weigh by how rare they are (inverse
document frequency, Sparck Jones 1972). A phrase scores by the harmonic mean of how much of
it the query covers and how much of the query it covers (the F measure of van Rijsbergen
1979); an entry by its best phrase, and by how much of the query its words cover that it has
to itself.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from operator import itemgetter, mul
from typing import NamedTuple

import msgspec

from diagnose.search import documents as cat
from diagnose.search.documents import Catalogue, SearchEntry, Token
from diagnose.search.lexicon import Lexicon

SYNONYM = 0.82
"""Likeness of a synonym to the word itself."""
OPPOSED = 0.15
"""What is left of a likeness where one word is negated and the other is not."""
LIGHT = 0.5
"""What a light word or a number weighs; words that carry meaning weigh 0.7 to 9."""
PART = 1.7
"""What a word for a part weighs, against other words as rare."""
WHOLE = 0.55
"""Share of the score that all words of an entry bring, against its best phrase."""
SHARED = 0.35
"""What a word is worth to an entry that uses it rarely, against one that uses it most."""
ORDER = 0.08
"""Share of the score for words that stand side by side in both."""
UNKNOWN = 0.9
"""How much a word unknown to the book counts against a match, of a rare word's weight."""
LEAST = 0.2
"""Hits below this are none."""
ROUNDED = 0.001
"""More than any score loses in rounding."""
KEPT = 128
"""Scored queries kept: a complaint has the same clauses scored as claims, as dangers and as doubts."""


class Hit(msgspec.Struct, frozen=True):
    """One entry found: its score from 0 to 1, and the phrase of the book that matched best."""

    kind: str
    id: str
    name: str
    score: float
    matched: str


class _Shelf:
    """The phrases of one kind, indexed by word."""

    def __init__(self, items: Sequence[SearchEntry], lex: Lexicon,
                 groups: dict[str, tuple[int, ...]]) -> None:
        self.items, self.lex, self.groups = items, lex, groups
        self.names = {item.id for item in items}
        self.longest = max((entry.count(" ") + 1 for entry in groups), default=1)
        self.phrases = [(i, phrase, tokens) for i, item in enumerate(items)
                        for phrase, tokens in zip(item.phrases, item.tokens, strict=True)]
        self.holding: dict[str, list[int]] = defaultdict(list)
        self.using: dict[str, set[int]] = defaultdict(set)
        counts: dict[Token, Counter[int]] = defaultdict(Counter)
        for number, (i, _, tokens) in enumerate(self.phrases):
            for token in tokens:
                counts[token][i] += 1
            for stem in {t[0] for t in tokens}:
                self.holding[stem].append(number)
                self.using[stem].add(i)
        self.places = {token: place for place, token in enumerate(counts)}
        self.placed = [[self.places[token] for token in tokens] for _, _, tokens in self.phrases]
        """The words of each phrase by their numbers, which are looked up faster."""
        self.weights = {stem: self._weight(stem, len(entries)) for stem, entries in self.using.items()}
        self.wanted = [sum([self.weights[word] for word, _ in tokens]) for _, _, tokens in self.phrases]
        """What all words of each phrase weigh."""
        self.own = [_shares(c) for c in counts.values()]
        """Entry to its share of each word, the words by number."""
        self.vocabulary = [s for s in self.holding if s not in lex.light_stems]
        self.members: dict[int, list[str]] = defaultdict(list)
        for entry, numbers in groups.items():
            if entry in self.holding:
                for group in numbers:
                    self.members[group].append(entry)
        self._alike: dict[str, dict[str, float]] = {}

    def made_out(self, tokens: Iterable[Token]) -> str:
        """The one entry with a phrase of just these words, the light ones apart; else ``."""
        core = self.lex.core(tokens)
        held = min((self.holding.get(stem, []) for stem, _ in core), key=len, default=[])
        named = {self.items[i].id for i, _, words in map(self.phrases.__getitem__, held)
                 if self.lex.core(words) == core}
        return named.pop() if len(named) == 1 else ""

    def _weight(self, stem: str, entries: int) -> float:
        """How much a word tells: the fewer entries have it, the more."""
        idf = math.log(1 + len(self.items) / (entries + 0.5))
        if stem in self.lex.light_stems or stem[0].isdigit():
            return LIGHT
        return idf * PART if stem in self.lex.part_stems else idf

    def alike(self, stem: str) -> dict[str, float]:
        """Words of the book that mean or spell a word, with their likeness."""
        if stem not in self._alike:
            found = self._synonyms(stem, SYNONYM)
            if stem in self.holding:
                found[stem] = 1.0
            self._alike[stem] = found or self._near(stem)
        return self._alike[stem]

    def _synonyms(self, stem: str, like: float) -> dict[str, float]:
        return {other: like for group in self.groups.get(stem, ())
                for other in self.members[group]}

    def _near(self, stem: str) -> dict[str, float]:
        """Near spellings: one slip in words of 4 to 7 letters, two in longer ones."""
        if len(stem) < 4 or not stem.isalpha():
            return {}
        from rapidfuzz import process  # only wanted for words the book does not know
        from rapidfuzz.distance import OSA

        slips = 1 if len(stem) < 8 else 2
        near = process.extract(stem, self.vocabulary, scorer=OSA.distance, score_cutoff=slips,
                               limit=6)
        found: dict[str, float] = {}
        for word, distance, _ in near:
            if len(word) >= 4:
                like = 0.95 - 0.12 * distance - (0.2 if word[0] != stem[0] else 0.0)
                found[word] = max(like, found.get(word, 0.0))
                for other, second in self._synonyms(word, like * SYNONYM).items():
                    found[other] = max(second, found.get(other, 0.0))
        return found


def _shares(counts: Counter[int]) -> dict[int, float]:
    """How much of a word's use each entry has: 1 for the one that uses it most."""
    most = max(counts.values())
    return {i: n / most for i, n in counts.items()}


class Index:
    """Search over one book (or over a catalogue kept earlier)."""

    def __init__(self, book: cat.Searchable | Catalogue, lex: Lexicon | None = None) -> None:
        if isinstance(book, Catalogue):
            self.catalogue = book
        else:
            self.catalogue = cat.build(book, lex) if lex else cat.of_book(book)
        self.lexicon = self.catalogue.lexicon
        self._shelves: dict[str, _Shelf] = {}
        self._scored = lru_cache(maxsize=KEPT)(self._scoring)

    def shelf(self, kind: str) -> _Shelf:
        """The phrases of a kind, indexed on first use."""
        if kind not in self._shelves:
            self._shelves[kind] = _Shelf(self.catalogue.items(kind), self.lexicon, self.catalogue.groups)
        return self._shelves[kind]

    def search(self, text: str, kinds: Iterable[str] = ("symptoms",), limit: int = 5) -> list[Hit]:
        """The entries that fit best, best first; none where no word fits."""
        query = cat.tokens(text, self.lexicon)
        hits = [hit for kind in kinds for hit in self.score(query, kind)]
        return sorted(hits, key=lambda h: (-h.score, h.id))[:limit]

    def score(self, query: Sequence[Token], kind: str = "symptoms", least: float = LEAST) -> tuple[Hit, ...]:
        """Every entry of a kind that fits the words so well at least, in no order."""
        return self._scored(tuple(query), kind, least)

    def _scoring(self, query: tuple[Token, ...], kind: str, least: float) -> tuple[Hit, ...]:
        if not any(stem not in self.lexicon.light_stems for stem, _ in query):
            return ()
        return tuple(_Scoring(self.shelf(kind), query).hits(least))


class Answering(NamedTuple):
    """The words of a query that answer to a word of the book."""

    gain: float
    """What the word of the book weighs, times the likeness of the likest."""
    at: int
    """Where that one stands."""
    said: list[tuple[int, float]]
    """Place and likeness of each."""


class _Scoring:
    """Scores one query against one shelf."""

    def __init__(self, shelf: _Shelf, query: Sequence[Token]) -> None:
        self.shelf, self.query = shelf, query
        self.alike = [self._likes(i) for i in range(len(query))]
        self.weight = [self._weight(stem, likes)
                       for (stem, _), likes in zip(query, self.alike, strict=True)]
        self.total = sum(self.weight) or 1.0
        self.answering = dict(self._answering())
        """Number of a word of the book to what of the query answers to it."""

    def _answering(self) -> Iterator[tuple[int, Answering]]:
        found: dict[str, list[tuple[int, float]]] = defaultdict(list)
        for at, likes in enumerate(self.alike):
            for word, like in likes.items():
                found[word].append((at, like))
        for word, said in found.items():
            for negated in (False, True):
                if (number := self.shelf.places.get((word, negated))) is not None:
                    alike = [(q, like if self.query[q][1] == negated else like * OPPOSED)
                             for q, like in said]
                    best, most = max(alike, key=itemgetter(1))
                    yield number, Answering(most * self.shelf.weights[word], best, alike)

    def _likes(self, at: int) -> dict[str, float]:
        """What the word at a place answers to, by itself and as the start of a phrase."""
        lex = self.shelf.lex
        stem = self.query[at][0]
        likes = dict(self.shelf.alike(stem)) if stem not in lex.light_stems else \
            ({stem: 1.0} if stem in self.shelf.holding else {})
        for length in range(2, min(self.shelf.longest, len(self.query) - at) + 1):
            phrase = " ".join(t[0] for t in self.query[at:at + length])
            if phrase in self.shelf.groups:
                for word, like in self.shelf.alike(phrase).items():
                    likes[word] = max(like, likes.get(word, 0.0))
        return likes

    def _weight(self, stem: str, likes: dict[str, float]) -> float:
        if stem in self.shelf.lex.light_stems or stem[0].isdigit():
            return self.shelf.weights.get(stem, LIGHT)
        if not likes:
            return UNKNOWN * math.log(1 + len(self.shelf.items))
        return max(self.shelf.weights[w] * like for w, like in likes.items())

    def hits(self, least: float) -> list[Hit]:
        """Every entry with so high a score."""
        best: dict[int, tuple[float, str]] = {}
        covered: dict[int, list[float]] = defaultdict(lambda: [0.0] * len(self.query))
        able = self._able(least)
        for number in self._candidates():
            i, phrase, _ = self.shelf.phrases[number]
            if i not in able:
                continue
            score = self._phrase(number, i, covered[i])
            if score > best.get(i, (0.0, ""))[0]:
                best[i] = (score, phrase)
        found = []
        for i, (score, phrase) in best.items():
            whole = sum(map(mul, covered[i], self.weight)) / self.total
            total = round((1 - WHOLE) * score + WHOLE * whole, 4)
            if total >= least:
                item = self.shelf.items[i]
                found.append(Hit(item.kind, item.id, item.name, min(1.0, total), phrase))
        return found

    def _able(self, least: float) -> set[int]:
        """The entries that could have so high a score, if their best phrase were nothing but words of the
        query and every word their own.
        """
        most: dict[int, float] = defaultdict(float)
        for likes, weight in zip(self.alike, self.weight, strict=True):
            best: dict[int, float] = {}
            for word, like in likes.items():
                best |= {i: like for i in self.shelf.using[word] if like > best.get(i, 0.0)}
            for i, like in best.items():
                most[i] += like * weight / self.total
        return {i for i, share in most.items()
                if (1 - WHOLE) * 2 * share / (1 + share) + WHOLE * share > least - ROUNDED}

    def _candidates(self) -> set[int]:
        light = self.shelf.lex.light_stems
        return {n for likes in self.alike for word in likes if word not in light
                for n in self.shelf.holding[word]}

    def _phrase(self, number: int, entry: int, own: list[float]) -> float:
        """The score of one phrase; puts into `own` how well the entry's own words cover the query."""
        answering, shares = self.answering, self.shelf.own
        met = [(p, word) for p, word in enumerate(self.shelf.placed[number]) if word in answering]
        cover = [0.0] * len(own)
        got = 0.0
        for _, word in met:
            gain, _, said = answering[word]
            got += gain
            share = SHARED + (1 - SHARED) * shares[word].get(entry, 0.0)
            for q, like in said:
                if like > cover[q]:
                    cover[q] = like
                if like * share > own[q]:
                    own[q] = like * share
        wanted = self.shelf.wanted[number]
        of_phrase = got / wanted if wanted else 0.0
        of_query: float = sum(map(mul, cover, self.weight)) / self.total
        if not of_phrase or not of_query:
            return 0.0
        mean = 2 * of_phrase * of_query / (of_phrase + of_query)
        pairs = [(p, answering[word].at) for p, word in met]
        return mean * (1 - ORDER + ORDER * _in_order(pairs))


def _in_order(pairs: list[tuple[int, int]]) -> float:
    """The share of matched neighbours that are neighbours in the query too."""
    if len(pairs) < 2:
        return 1.0
    kept = sum(1 for (_, a), (_, b) in pairwise(pairs) if b - a == 1)
    return kept / (len(pairs) - 1)
