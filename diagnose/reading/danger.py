"""Danger in a complaint, looked for more widely than symptoms are claimed.

A symptom is claimed only where the words are plain; a hazard must not be missed because they
are not. What is found here is never claimed: it puts a letter before a person first.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from diagnose.reading import classifier, features

ANY = "any"
"""The class of every danger, whichever it is."""
NET = -0.85
"""Sum of the margins of "some danger" and of the likeliest one from which a sentence is held up. Of 60
complaints that hide a danger, 60 that only sound like one and 153 letters without any, by hands that saw
neither phrases nor rules, this holds up 54, 3 and 7; -0.7 holds up 50, 3 and 4, -1.1 56, 5 and 18."""
FAR = -1.7
"""Sum below which a single word such as "spark" or "shock" in a longer text is not taken for a danger; a
portafilter that comes off with a bang, the plain danger heard least, has -1.63."""
MOST_HEARD = 2
"""Dangers put to the person at most: the likeliest of the sentence that tells most."""


def heard(book: Any, text: str) -> tuple[str, ...]:
    """The complaints about dangers that any sentence of the text may tell of, the likeliest first."""
    sums = _sums(text)
    order = sorted((h for h, found in sums.items() if found >= NET and h in book.hazards),
                   key=lambda h: (-sums[h], h))[:MOST_HEARD]
    return tuple(dict.fromkeys(book.hazards[h].symptom for h in order))


def unheard(book: Any, text: str, symptoms: Iterable[str]) -> set[str]:
    """Which of these complaints about dangers no sentence of the text comes near to telling of."""
    sums = _sums(text)
    own = {s: [sums[h] for h, hazard in book.hazards.items() if hazard.symptom == s and h in sums]
           for s in symptoms}
    return {s for s, found in own.items() if max(found or sums.values()) < FAR}


def _sums(text: str) -> dict[str, float]:
    """Hazards, each with the highest sum of margins that a sentence of the text, or all of it, has."""
    reader = classifier.shipped()
    best: dict[str, float] = {}
    for part in (*features.sentences(text), text):
        margins = reader.margin(part, classifier.HAZARD)
        some = margins.pop(ANY)
        for hazard, margin in margins.items():
            best[hazard] = max(some + margin, best.get(hazard, some + margin))
    return best
