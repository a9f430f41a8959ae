"""What a text may mean, with chances, by the learnt classifier: symptoms and answers."""

from __future__ import annotations

import math
from functools import cached_property

import msgspec

from diagnose.reading import classifier as weights
from diagnose.reading.classifier import ANSWER, SYMPTOM, Classifier

SHARPNESS = 6.0
"""How fast a symptom's share of the chances falls with its margin. Between 4 and 10 the log score of
the right cause on the development reports differs by less than 0.1."""
LEAST_SHARE = 0.005
"""Shares of the chances below this are left out."""
LEAST_FIRST = 0.01
"""Share of the likeliest symptom below which the words point nowhere."""
NOTHING_SAID = -0.82
"""Highest margin of a symptom up to which a text is taken to speak of none that is known: 4 % of the
development reports with a symptom stay under it."""


class Reading(msgspec.Struct, frozen=True, dict=True):
    """What one text may mean, each kind of thing worked out when it is asked for."""

    classifier: Classifier
    text: str

    @cached_property
    def symptoms(self) -> dict[str, float]:
        """Symptoms to the chance that each is said, the likeliest first."""
        return self._of(SYMPTOM)

    @cached_property
    def answers(self) -> dict[tuple[str, str], float]:
        """Observation and answer to the chance that the words give it, the likeliest first."""
        found = {}
        for name, chance in self._of(ANSWER).items():
            observation, _, answer = name.partition("=")
            found[observation, answer] = chance
        return found

    @cached_property
    def likely(self) -> dict[str, float]:
        """Shares of one whole: what the chief trouble is, as far as the words tell; {} for no trouble."""
        margins = self.classifier.margins(self.text, SYMPTOM)
        top = max(margins.values(), default=NOTHING_SAID)
        if top <= NOTHING_SAID:
            return {}
        odds = {name: math.exp(SHARPNESS * (margin - top)) for name, margin in margins.items()}
        total = sum(odds.values())
        if 1 / total < LEAST_FIRST:
            return {}
        kept = {name: odd / total for name, odd in odds.items() if odd / total >= LEAST_SHARE}
        whole = sum(kept.values())
        return dict(sorted(((n, share / whole) for n, share in kept.items()), key=lambda r: (-r[1], r[0])))

    def _of(self, kind: str) -> dict[str, float]:
        curve = self.classifier.curve(kind)
        rows = ((name, curve(margin)) for name, margin in self.classifier.margins(self.text, kind).items())
        return dict(sorted(rows, key=lambda r: (-r[1], r[0])))


def read(text: str) -> Reading:
    """What a text may mean, by the weights that come with the book."""
    return Reading(weights.shipped(), text)
