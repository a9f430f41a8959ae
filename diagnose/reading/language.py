"""Which language a complaint is in, by the share of each language's little words."""

from __future__ import annotations

import re

from diagnose.search.lexicon import Lexicon

ENGLISH = "English"
UNREADABLE = "unreadable"
_WORD = re.compile(r"[^\W\d_]+", re.UNICODE)
_ENGLISH = frozenset([
    "the", "a", "an", "is", "are", "was", "it", "its", "my", "i", "and", "of", "to", "in", "on",
    "at", "but", "not", "no", "with", "from", "when", "for", "too", "very", "have", "has", "does",
    "do", "out", "comes", "after", "this", "that", "all", "so", "there", "what", "how", "why",
    "only", "still"
])
LEAST_WORDS = 3
LEAST_FOREIGN = 2
"""Little words of a language that it takes; one may be a name of a drink."""
FOREIGN_SHARE = 0.2
OTHER_SCRIPT = 0.5


def language(text: str, lex: Lexicon) -> str:
    """The language's name; `English` where nothing speaks clearly for another.

    `unreadable` where most letters belong to no Latin script.
    """
    said = [w.lower() for w in _WORD.findall(text[:20_000])]
    if not said:
        return ENGLISH
    if sum(not _latin(w) for w in said) > OTHER_SCRIPT * len(said):
        return UNREADABLE
    if len(said) < LEAST_WORDS:
        return ENGLISH
    shares = {name: sum(w in set(little) for w in said) / len(said)
              for name, little in lex.languages.items()}
    best = max(shares, key=lambda n: shares[n], default=ENGLISH)
    english = sum(w in _ENGLISH for w in said) / len(said)
    least = max(FOREIGN_SHARE, LEAST_FOREIGN / len(said), 1.5 * english)
    if shares.get(best, 0.0) >= least:
        return best
    return ENGLISH


def _latin(word: str) -> bool:
    return all(ord(sign) < 0x250 or 0x1E00 <= ord(sign) < 0x1F00 for sign in word)
