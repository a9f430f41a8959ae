"""Answers to choice questions that a complaint states in plain words.

Two sources: phrases of the lexicon that plainly give an answer, and the book's own words for
an answer where they belong to that one answer of the whole book and say enough by themselves.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Any
from weakref import WeakKeyDictionary

from diagnose.lookup.lexicon import Lexicon
from diagnose.lookup.words import words

ENOUGH_WORDS = 2
"""Words that carry meaning which a phrase of the book needs to speak for itself."""

Token = tuple[str, bool]
Phrases = dict[tuple[Token, ...], tuple[str, str]]

_known: WeakKeyDictionary[Any, Phrases] = WeakKeyDictionary()


def read(book: Any, lex: Lexicon, text: str) -> dict[str, str]:
    """Observation to answer, for every answer stated plainly and without contradiction."""
    said = [(w.stem, w.negated) for w in words(text, lex.light_stems)]
    phrases = _phrases(book, lex)
    longest = max(map(len, phrases), default=0)
    found: dict[str, set[str]] = defaultdict(set)
    at = 0
    while at < len(said):
        step = 1
        for length in range(min(longest, len(said) - at), 0, -1):
            hit = phrases.get(tuple(said[at:at + length]))
            if hit:
                found[hit[0]].add(hit[1])
                step = length
                break
        at += step
    return {name: next(iter(given)) for name, given in found.items() if len(given) == 1}


def _phrases(book: Any, lex: Lexicon) -> Phrases:
    if book not in _known:
        _known[book] = _own(book, lex) | _lexicon(book, lex)
    return _known[book]


def _tokens(text: str, lex: Lexicon) -> tuple[Token, ...]:
    return tuple((w.stem, w.negated) for w in words(text, lex.light_stems))


def _lexicon(book: Any, lex: Lexicon) -> Phrases:
    return {_tokens(phrase, lex): (name, answer)
            for name, stated in lex.answers.items() if name in book.observations
            for answer, phrases in stated.items()
            if answer in book.observations[name].answers or answer in ("yes", "no")
            for phrase in phrases}


def _own(book: Any, lex: Lexicon) -> Phrases:
    """The book's words for answers that the lexicon lets speak and that mean one answer only."""
    meaning: dict[tuple[Token, ...], set[tuple[str, str]]] = defaultdict(set)
    for name, stated in book.observations.items():
        for answer, said in stated.answers.items():
            for phrase in (said.says, *said.lay):
                meaning[_tokens(phrase, lex)].add((name, answer))
    return {tokens: next(iter(where)) for tokens, where in meaning.items()
            if len(where) == 1 and next(iter(where))[0] in lex.own_words
            and sum(t[0] not in lex.light_stems for t in tokens) >= ENOUGH_WORDS}
