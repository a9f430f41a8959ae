"""Letters that are not about the coffee: a greeting, thanks, somebody else's business."""

from __future__ import annotations

from diagnose.reading.complaint import Understood
from diagnose.reading.language import ENGLISH
from diagnose.reading.questions import asks
from diagnose.search.documents import tokens
from diagnose.search.lexicon import Lexicon
from diagnose.search.text import words

TRADE = frozenset(word.stem for word in words(
    "machine bar grind gram pressure temperature roast scale descale barista ristretto lungo americano "
    "macchiato tamp limescale"))
"""Stems of the trade beside the lexicon's words for parts and for the coffee itself."""

MEANT = 0.25
"""Chance of the likeliest trouble from which few words about coffee may mean it: a greeting that praises its
smell has 0.14."""
FAINT = frozenset(["smell"])
"""Stems among them that a greeting has, too."""


def off_topic(text: str, found: Understood, lex: Lexicon) -> bool:
    """Is a letter in which nothing was placed about something else: no word of the trade, or none but
    the coffee and its smell, and neither a question nor anything that it could mean?
    """
    if found.language != ENGLISH:
        return False
    said = {stem for stem, _ in tokens(text, lex)}
    if not said.isdisjoint((lex.part_stems | TRADE) - FAINT):
        return False
    meant = max(found.likely.values(), default=0.0) >= MEANT
    return said.isdisjoint(lex.coffee_stems | FAINT) or not (meant or asks(text))
