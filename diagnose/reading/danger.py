"""Danger in a complaint, looked for more widely than symptoms are claimed.

A symptom is claimed only where the words are plain; a hazard must not be missed because they
are not. What is found here is never claimed: it puts a letter before a person first.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from diagnose.book.book import Book
from diagnose.reading import classifier, features

ANY = "any"
"""The class of every danger, whichever it is."""
SHARE_OF_ANY = 0.5
"""What "some danger" counts beside the likeliest one: with 1.0 as many dangers are heard and a third more
letters without any are held up."""
HEARD_FROM, MORE_PER_SENTENCE = -0.93, 0.04
"""Sum of both margins from which a text is held up, and what is asked for more by the natural logarithm of
its sentences: every one more is a chance more to sound like a danger."""
UNHEARD_BELOW, UNHEARD_AMONG_OTHERS = -1.35, -1.0
"""Sum below which a word such as "spark" or "shock" is not taken for a danger, in a sentence by itself and in
a text of several: a portafilter that comes off with a bang, the plain danger heard least, has -1.27, and of
153 letters without any 8 are held up at -1.0, 14 at -1.35."""
LEAST_WORDS = 2
"""Known words of a text that can tell of a danger: of gibberish only parts of words are known."""
MOST_HEARD = 2
"""Dangers put to the person at most: the likeliest of the sentence that tells most."""


def heard(book: Book, text: str) -> tuple[str, ...]:
    """The complaints about dangers that any sentence of the text may tell of, the likeliest first."""
    if classifier.shipped().words_known(text) < LEAST_WORDS:
        return ()
    parts = features.sentences(text)
    sums = _sums(text, parts)
    least = HEARD_FROM + MORE_PER_SENTENCE * math.log(max(1, len(parts)))
    order = sorted((h for h, found in sums.items() if found >= least and h in book.hazards),
                   key=lambda h: (-sums[h], h))[:MOST_HEARD]
    return tuple(dict.fromkeys(book.hazards[h].symptom for h in order))


def unheard(book: Book, text: str, symptoms: Iterable[str]) -> set[str]:
    """Which of these complaints about dangers no sentence of the text comes near to telling of."""
    parts = features.sentences(text)
    sums = _sums(text, parts)
    own = {s: [sums[h] for h, hazard in book.hazards.items() if hazard.symptom == s and h in sums]
           for s in symptoms}
    least = UNHEARD_AMONG_OTHERS if len(parts) > 1 else UNHEARD_BELOW
    return {s for s, found in own.items() if max(found or sums.values()) < least}


def _sums(text: str, parts: Iterable[str]) -> dict[str, float]:
    """Hazards, each with the highest sum of margins that a part of the text, or all of it, has."""
    reader = classifier.shipped()
    best: dict[str, float] = {}
    for part in (*parts, text):
        margins = reader.margin(part, classifier.HAZARD)
        some = SHARE_OF_ANY * margins.pop(ANY)
        for hazard, margin in margins.items():
            best[hazard] = max(some + margin, best.get(hazard, some + margin))
    return best
