"""Danger in a complaint, looked for more widely than symptoms are claimed.

A symptom is claimed only where the words are plain; a hazard must not be missed because they
are not. What is found here is never claimed: it puts a letter before a person first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from diagnose.reading.clauses import Clause, sentences
from diagnose.search.documents import Token
from diagnose.search.index import Index
from diagnose.search.lexicon import Lexicon
from diagnose.search.text import words

WIDE, WIDE_SCORE = 3, 0.25
"""How far down the hits, and how weak, a hazard counts in a complaint nothing was claimed from.
Leaving out each lay phrase of the book in turn, this and the words of danger
find 85 in 100 hazards and call 12 in 100 other complaints one."""
NARROW, NARROW_SCORE = 1, 0.5
"""The same beside plain claims: 66 in 100 and 3 in 100."""
ONE_WORD = 0.1
"""Lead over everything harmless that a hazard needs in a clause of one telling word: "bitter and
dry" speaks of no boiler."""
MOST_CLAUSES = 40
SURE_SPELLING = 6
"""Letters of an unknown word from which a near spelling is no chance ("hate" is near "heat")."""


def near(index: Index, text: str, hazardous: Callable[[str], bool], wide: bool) -> tuple[str, ...]:
    """The hazardous symptoms that any clause of the text comes near to, in order of the text."""
    most, least = (WIDE, WIDE_SCORE) if wide else (NARROW, NARROW_SCORE)
    found: dict[str, None] = {}
    clauses = [c for c in _clauses(index.lexicon, text) if not c.denied and _tells(index, c)]
    for clause in clauses[:MOST_CLAUSES]:
        hits = sorted(index.score(clause.tokens), key=lambda h: (-h.score, h.id))
        harmless = next((h.score for h in hits if not hazardous(h.id)), 0.0)
        floor = max(least, harmless + ONE_WORD) if _telling(index, clause) == 1 else least
        found |= dict.fromkeys(h.id for h in hits[:most] if h.score >= floor and hazardous(h.id))
    return tuple(found)


def spoken(lex: Lexicon, text: str) -> tuple[str, ...]:
    """The words of danger that stand in the text and are not negated, past ones too."""
    said = [clause.tokens for clause in _clauses(lex, text)]
    phrases = {phrase: tuple(w.stem for w in words(phrase)) for phrase in lex.danger}
    found: dict[tuple[str, ...], str] = {}
    for phrase, stems in phrases.items():
        if any(_stands(stems, tokens) for tokens in said):
            found.setdefault(stems, phrase)
    return tuple(found.values())


def _tells(index: Index, clause: Clause) -> bool:
    """Does a clause say anything of a part, in words the book knows, or does it only name one?"""
    idle, shelf = index.lexicon.idle_stems | index.lexicon.part_stems, index.shelf("symptoms")
    said = [stem for stem, _ in clause.tokens if stem not in idle]
    return any(stem in shelf.holding or stem in shelf.groups for stem in said) or any(
        len(stem) >= SURE_SPELLING and shelf.alike(stem) for stem in said)


def _telling(index: Index, clause: Clause) -> int:
    """How many words of a clause carry meaning."""
    return len({stem for stem, _ in clause.tokens if stem not in index.lexicon.light_stems})


def _clauses(lex: Lexicon, text: str) -> Iterable[Clause]:
    return (clause for sentence in sentences(text, lex) for clause in sentence)


def _stands(phrase: tuple[str, ...], said: Sequence[Token]) -> bool:
    size = len(phrase)
    return any(tuple(stem for stem, _ in said[i:i + size]) == phrase
               and not any(negated for _, negated in said[i:i + size])
               for i in range(len(said) - size + 1))
