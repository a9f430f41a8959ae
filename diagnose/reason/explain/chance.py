"""Probabilities in words and as percentages."""

from __future__ import annotations

SURE = ((0.7, "very likely"), (0.45, "likely"), (0.1, "maybe"), (0.0, "unlikely"))


def sure(probability: float) -> str:
    """How sure in words; the number stands beside it wherever it is shown."""
    return next(word for least, word in SURE if probability >= least)


def percent(probability: float) -> str:
    """A probability as a whole percentage; the ends are never rounded to certainty."""
    if probability > 0.99:
        return "over 99 %"
    if 0 < probability < 0.01:
        return "under 1 %"
    return f"{probability * 100:.0f} %"
