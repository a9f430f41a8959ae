"""Words that mean a danger may not be given to anything else.

Who says "there is a tingle" must not be taken to say something harmless because a house gave the
same words to an answer or complaint of its own.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator

from rapidfuzz import fuzz, process

from diagnose.book.model import Observation, Symptom
from diagnose.book.overlay.dangers import Dangers
from diagnose.book.overlay.support import Entries
from diagnose.book.problems import nearest

ALIKE = 84
"""How alike, of 100, a word must be to pass for another that is typed wrong."""
SHORTEST_TYPO = 4
OFTEN, AGAINST = 2, 4
"""How many phrases of danger must have a word for it to mean danger by itself: at least, and
for each other phrase that has it."""
LEAST = 2
"""Words of a house's phrase that must carry meaning: one alone stands in too many texts."""
_WORD = re.compile(r"[^\W_]+")
_ENDING = re.compile(r"(?:ings?|ed|es|e|s|ly)$")
_EMPTY = frozenset([
    "a", "about", "after", "all", "an", "and", "any", "are", "as", "at", "be", "been", "but", "by",
    "can", "comes", "do", "does", "for", "from", "get", "gets", "go", "goes", "got", "had", "has",
    "have", "i", "if", "in", "into", "is", "it", "its", "just", "machine", "me", "my", "of", "off",
    "on", "one", "or", "out", "over", "so", "some", "something", "somebody", "still", "that", "the",
    "them", "there", "they", "this", "to", "too", "up", "was", "went", "when", "which", "while", "with",
    "you", "your"])
Stems = frozenset[str]


def stems(text: str) -> Stems:
    """The words of a phrase that carry its meaning, accents and endings taken off."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    found = _WORD.findall("".join(c for c in plain if not unicodedata.combining(c)))
    return frozenset(_ENDING.sub("", w) if len(w) > 4 else w for w in found if w not in _EMPTY)


class DangerPhrases:
    """The phrases of all dangers, and the words that hardly anything else uses."""

    def __init__(self, entries: Entries, dangers: Dangers) -> None:
        others = [phrase for phrase, _ in _stated(entries, dangers, False)]
        self.phrases = dict(_stated(entries, dangers, True))
        for phrase in others:
            self.phrases.pop(phrase, None)
        harmless = Counter(word for phrase in others for word in phrase)
        said = Counter(word for phrase in self.phrases for word in phrase)
        self._only = {word for word, count in said.items()
                      if count >= max(OFTEN, AGAINST * harmless[word])}
        self._known = sorted(said)

    def taken(self, text: str) -> str:
        """The danger whose words a phrase takes; empty where it takes none."""
        said = frozenset(map(self._meant, stems(text)))
        for phrase, what in self.phrases.items():
            if said == phrase or said & phrase & self._only or (
                    min(len(said), len(phrase)) > 1 and (phrase <= said or _most(said, phrase))):
                return what
        return ""

    def _meant(self, word: str) -> str:
        if len(word) < SHORTEST_TYPO or word in self._known:
            return word
        near = process.extractOne(word, self._known, scorer=fuzz.ratio, score_cutoff=ALIKE)
        return near[0] if near else word


def refused(text: str, means: str, entries: Entries, words: DangerPhrases, dangers: Dangers) -> str:
    """Why a house's words can't mean an entry of the book; empty where they can."""
    if means not in entries["symptoms"] and means not in entries["practice"]:
        near = nearest(means, [*entries["symptoms"], *entries["practice"]])
        return f"no trouble or question {means!r} in the book{near}"
    if len(stems(text)) < LEAST:
        return f"{text!r} says too little by itself; give at least {LEAST} words that tell something"
    if means not in dangers.symptoms and (what := words.taken(text)):
        return f"{text!r} are words of the danger {what}; a house can't give them to anything else"
    return ""


def _most(said: Stems, phrase: Stems) -> bool:
    """Is what is said the greater part of a phrase?"""
    return said <= phrase and 2 * len(said) > len(phrase)


def _stated(entries: Entries, dangers: Dangers, danger: bool) -> Iterator[tuple[Stems, str]]:
    for kind in ("symptoms", "observations"):
        for name, entry in entries[kind].items():
            for text in dangers.phrases(name, entry, danger):
                if phrase := stems(text):
                    yield phrase, f"{name} ({text})"


def given_away(name: str, new: Symptom | Observation, old: Symptom | Observation | None,
               words: DangerPhrases, dangers: Dangers) -> Iterable[str]:
    """Why the words of a house's entry can't be, one line for each phrase that a danger has."""
    before = set(dangers.phrases(name, old, False)) if old else set()
    for text in dangers.phrases(name, new, False):
        if text not in before and (what := words.taken(text)):
            yield f"{name}: {text!r} are words of the danger {what}; a house can't give them to anything else"
