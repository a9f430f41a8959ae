"""Words to weights of evidence: the one table.

Weights are in decibans, ten times the decimal logarithm of a likelihood ratio (Good,
Probability and the Weighing of Evidence, 1950). The grades are named after Jeffreys
(Theory of Probability, 1961, appendix B), whose steps lie at 5, 10, 15 and 20 decibans;
each word here stands for a figure near the middle of its step.
"""

from __future__ import annotations

GRADES = {"slight": 3.0, "substantial": 7.0, "strong": 12.0, "very strong": 17.0, "decisive": 25.0}
COMMON = {"very common": 0.0, "common": -4.0, "occasional": -9.0, "uncommon": -14.0,
          "rare": -19.0, "very rare": -25.0}
TYPICAL = {"always": 0.0, "often": -2.0, "sometimes": -6.0, "seldom": -12.0}
CURES = {"nearly always": 0.95, "usually": 0.8, "often": 0.6, "sometimes": 0.35, "seldom": 0.15}
MONEY = {"none": 0.0, "small": 15.0, "moderate": 60.0, "large": 240.0}
"""Minutes a person would work rather than pay."""

UNSHOWN = -25.0
"""The complaint, under a cause that is not known to show it: a misread or a second fault."""
UNSHOWN_TOO = -10.0
"""The same for each further complaint: two faults at once are not so rare."""
OTHER_PRIOR = -6.0
OTHER_SHOWS = -10.0
"""Something not in this book: how common, and how often it shows just this complaint."""


def decibans(grade: str) -> float:
    """The weight of a grade such as `strong against`."""
    word, side = grade.rsplit(" ", 1)
    return GRADES[word] if side == "for" else -GRADES[word]
