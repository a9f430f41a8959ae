"""Danger in a complaint, looked for more widely than symptoms are claimed.

A symptom is claimed only where the words are plain; a hazard must not be missed because they
are not. What is found here is never claimed: it puts a letter before a person first.
"""

from __future__ import annotations

from typing import Any

from diagnose.reading import classifier, features

ANY = "any"
"""The class of every danger, whichever it is."""
NET = -0.86
"""Sum of the margins of "some danger" and of the likeliest one from which a sentence is held up. On 60
complaints that hide a danger and 60 that only sound like one, by hands that saw neither list nor phrases,
this holds up 54 and 3; -0.61 holds up 46 and 1, -0.96 holds up 57 and 5."""
FAR = -1.7
"""Sum below which a single word such as "spark" or "shock" in a longer text is not taken for a danger;
a handle stuck fast that hisses, the plain danger heard least, has -1.5."""
MOST_HEARD = 2
"""Dangers put to the person at most: the likeliest of the sentence that tells most."""


def heard(book: Any, text: str) -> tuple[str, ...]:
    """The complaints about dangers that any sentence of the text may tell of, the likeliest first."""
    sums = _sums(text)
    order = sorted((h for h, found in sums.items() if found >= NET and h in book.hazards),
                   key=lambda h: (-sums[h], h))[:MOST_HEARD]
    return tuple(dict.fromkeys(book.hazards[h].symptom for h in order))


def unheard(text: str) -> bool:
    """Does no sentence of the text come near to telling of any danger?"""
    return max(_sums(text).values()) < FAR


def _sums(text: str) -> dict[str, float]:
    """Hazards, each with the highest sum of margins that a sentence of the text, or all of it, has."""
    reader = classifier.shipped()
    best: dict[str, float] = {}
    for part in (*features.sentences(text), text):
        margins = dict(reader.of_kind(reader.margin(part), classifier.HAZARD))
        some = margins.pop(ANY)
        for hazard, margin in margins.items():
            best[hazard] = max(some + margin, best.get(hazard, some + margin))
    return best
