"""Questions of practice in a text: which entry of the book answers each, in the order asked.

How well a question fits an entry is told by the words and letters it shares with the ways to ask
that the book states (`overlap.py`), and by what was learnt from how people ask (`classifier`).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

import msgspec

from diagnose.book.book import Book
from diagnose.reading import classifier
from diagnose.reading.clauses import SENTENCE
from diagnose.reading.overlap import Overlap, PhraseTable
from diagnose.search.text import plain
from diagnose.storage import cache

MADE_BY = ("storage", "reading", "search", "errors", "book", "compute")
"""The packages that make the ways to ask ready."""
LONGEST = 8_000
"""Signs of a text that are read."""
MOST = 6
"""Questions answered at most."""
UNLEARNT = -0.85
"""Margin of an entry that the learnt reader does not know, such as one of a house."""
SURE = -0.4
"""Fit, the learnt margin and the likeness together, from which a question is answered: of 59 questions in
120 letters by hands that saw no entry, 47 are, and 45 of 67 answers are right; at -0.5 49, and 47 of 76."""
TOLD = 1.2
"""The same for a sentence that asks nothing: what it tells may be a fault or an answer as well, as "It is a
lever machine" (1.15)."""
FEW = 5
"""A question of so few telling words speaks of what was said just before it."""
OF_THE_WHOLE, UNLIKE = 0.4, -1.0
"""Share of its margin in the whole text by which an entry falls behind the likeliest one there, and the
margin below which none falls: of 59 questions in 120 letters 49 are answered and 47 of 76 answers are right,
without it 48 and 46 of 82."""
BEFORE = 3
"""Told sentences that a bare question may speak of: "a bag opened at Christmas. My wife says throw it. Is it
still good?"."""
BARE, NEARLY = 2, 0.55
"""A question of so few counts by itself only where it is nearly a stated way to ask: "good idea or not?"
and "dangerous?" are asked of anything."""
_AND = re.compile(
    r"[,;:]?\s+(?:and|or|but|also|plus)\s+(?:also\s+)?(?=(?:how|what|when|where|which|why|who|can|could|may|should|shall|"
    r"do|does|is|are|will|would|must)\b)(?!how (?:often|long|much|many|far|hot)\W*$)", re.IGNORECASE)
"""Where one question ends and the next begins: not before "and how often?", which asks more of the same."""
_HEAD = re.compile(
    r"\s*[,;:]\s+(?:so |then |and |but |or )?(?=(?:how|what|when|where|which|why|who|whose|can (?:i|we|it)|"
    r"could (?:i|it)|may (?:i|we)|should (?:i|we|it)|do (?:i|we)|does (?:it|that)|did (?:i|we|it)|"
    r"is (?:it|that|this|the|my)|are (?:they|the|these)|will it|must i|finer or)\b[^,;:]*\?)", re.I)
"""Where a question begins in a sentence that tells something first."""
_CONDITION = re.compile(r"^\W*(?:if|when|after|before|with|for|on|in|at|since|once)\b", re.IGNORECASE)
"""How a sentence begins whose first part only says when the question holds."""
_FIGURE = re.compile(r"\d")
_ASKS = re.compile(
    r"\?|^\W*(?:how|what|when|where|which|why|who|can|could|may|should|do|does|did|is|are|will|would|must)\b|"
    r"\bhow (?:do|can|should|much|many|long|often|far|hard|hot|fine|big|high|to)\b|"
    r"\b(?:should|can|could|may|must|shall) (?:i|we|you|my|it|one)\b|\b(?:do|does) (?:i|we|it|one|my)\b|"
    r"\bis (?:it|that|this) (?:ok|okay|normal|bad|safe|better|true|worth|necessary|fine|right)\b|"
    r"\b(?:wonder\w*|want to know|like to know|need to know|(?:not|un)\s?sure|no idea|"
    r"any (?:idea|tips?|advice)|please explain|tell me|confus\w+)\b|"
    r"\bwhat (?:is|are|should|do|does)\b|\bwhat'?s\b|"
    r"\bwill (?:it|they|that|this)\b|\bwhether\b|\bbest (?:way|time|kind|sort|setting|temperature)\b|"
    r"\b(?:recommend|suggest)\w*\b|\b(?:pls|plz)\b|\b(?:yes|right) or (?:no|wrong)\b|\bor n(?:o|ot)\W*$")


class Asked(msgspec.Struct, frozen=True):
    """A question found in a text, and the entry that answers it."""

    entry: str
    fit: float
    """How sure it is that this is what is asked: about 0.5 for plain words, `SURE` at least."""
    said: tuple[str, ...] = ()
    """The sentences, or parts of them, that ask it."""
    plainly: bool = True
    """It is put as a question, not told only."""

    @property
    def text(self) -> str:
        """The words that ask it."""
        return " ".join(self.said)


class _Part(NamedTuple):
    """A sentence or a part of one, and what was said before it that it may speak of."""

    text: str
    before: tuple[str, ...]
    """What was told before it, the last first: three sentences at most."""
    last: str
    """The part before it that says or asks something by itself."""
    fits: dict[str, float]
    """How like it is to each entry by itself."""
    bare: bool
    """It says too little to be placed by itself."""


def asked(book: Book, text: str, told: float = TOLD) -> tuple[Asked, ...]:
    """The questions of practice that a text asks, each once, in the order asked; `told` is the fit from
    which a sentence that asks nothing counts.
    """
    found: dict[str, Asked] = {}
    scorer = book.once(_kept)
    whole = _of_the_whole(scorer, text[:LONGEST])
    for part in _parts(scorer, text[:LONGEST]):
        plainly = asks(part.text)
        least = SURE if plainly else told
        entry, fit = _placed(book, part, whole)
        if fit >= least:
            found[entry] = _joined(found.get(entry), Asked(entry, fit, (part.text,), plainly))
    return tuple(found.values())[:MOST]


def _joined(before: Asked | None, more: Asked) -> Asked:
    """One question out of two parts that ask the same, or of what is told and what is asked of it."""
    if before is None:
        return more
    return Asked(more.entry, max(before.fit, more.fit), (*before.said, *more.said),
                 before.plainly or more.plainly)


def asks(text: str) -> bool:
    """Does a sentence ask something?"""
    return bool(_ASKS.search(plain(text)))


def _parts(scorer: Overlap, text: str) -> Iterator[_Part]:
    """Each sentence; one that asks twice, or tells first and then asks, in its parts."""
    before: tuple[str, ...] = ()
    last = ""
    for sentence in filter(str.strip, SENTENCE.split(text)):
        for part in map(str.strip, _cut(sentence)):
            fits = scorer.scores(part)
            bare = (scorer.telling(part) <= BARE and not _FIGURE.search(part)
                    and max(fits.values(), default=0.0) < NEARLY)
            yield _Part(part, before, last, fits, bare)
            before = before if asks(part) else (part, *before)[:BEFORE]
            last = last if bare else part


def _cut(sentence: str) -> list[str]:
    if not asks(sentence):
        return [sentence]
    told = [sentence] if _CONDITION.search(sentence) else _HEAD.split(sentence)
    return [part for piece in told for part in _AND.split(piece) if part.strip()]


def _of_the_whole(scorer: Overlap, text: str) -> dict[str, float]:
    """Entry to what the whole text takes from its fit: nothing from the likeliest one there, nor from one
    that was not learnt.
    """
    margins = classifier.shipped().margin(text, classifier.PRACTICE)
    heard = {entry: max(margins[entry], UNLIKE) for entry in scorer.names & margins.keys()}
    top = max(heard.values(), default=UNLIKE)
    return {entry: OF_THE_WHOLE * (heard.get(entry, top) - top) for entry in scorer.names}


def _placed(book: Book, part: _Part, whole: Mapping[str, float]) -> tuple[str, float]:
    """The entry that fits best, and how well; a bare question is taken with what was said before it."""
    scorer = book.once(_kept)
    if part.bare:
        befores = {part.last, *part.before} - {""}
    else:
        befores = set(part.before[:1]) if scorer.telling(part.text) <= FEW else set()
    texts = {} if part.bare else {part.text: dict(part.fits)}
    for before in sorted(befores):
        text = f"{before} {part.text}"
        texts[text] = scorer.scores(text)
    return max((_best(text, fits, whole) for text, fits in texts.items()),
               key=lambda best: best[1], default=("", -math.inf))


def _best(text: str, fits: dict[str, float], whole: Mapping[str, float]) -> tuple[str, float]:
    """The entry that fits best, what the text is like and what the learnt reader hears taken together."""
    margins = classifier.shipped().margin(text, classifier.PRACTICE)
    sums = {entry: fits.get(entry, 0.0) + margins.get(entry, UNLEARNT) + less
            for entry, less in whole.items()}
    return max(sums.items(), key=lambda fit: (fit[1], fit[0]), default=("", -math.inf))


def _kept(book: Book) -> Overlap:
    """The book's ways to ask, made ready once; those of a house every time."""
    asking = ways(book)
    if any(chapter.layer for chapter in book.chapters):
        return Overlap(asking)
    name = f"{cache.key(MADE_BY, [], msgspec.msgpack.encode(asking))}.asks"
    table = cache.recall(name, PhraseTable)
    found = Overlap(asking, table)
    if table is None:
        cache.keep(name, msgspec.msgpack.encode(found.table))
    return found


def ways(book: Book) -> dict[str, list[str]]:
    """Entry to all ways to ask it: where a house answers otherwise, those of the book stay."""
    found: dict[str, list[str]] = {name: [] for name in book.practice}
    for loaded in book.chapters:
        for name, stated in loaded.chapter.practice.items():
            if name in found:
                found[name] += dict.fromkeys((stated.asks, *stated.lay))
    for name, phrases in book.layers.phrases.items():
        found.get(name, []).extend(phrases)
    return found
