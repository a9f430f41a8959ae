"""How long the old grind keeps coming out after a change.

A grinder holds some grounds between burrs and spout.  If they leave in the
order they came, the new grind arrives after exactly that much (plug flow); if
they are stirred together, it arrives gradually (a well-mixed vessel).  Real
grinders lie between; here: a plug part followed by a mixed part.  Source: the
washout of vessels in series, as in Levenspiel, Chemical Reaction Engineering.
No published retention figures were found, so `held_g` must be measured or guessed.
"""

from __future__ import annotations

import math

from .errors import not_negative, positive, within
from .estimate import Estimate


def new_share(*, purged_g: float, held_g: float, mixing: float) -> float:
    """Return the share of new grind in what comes out after `purged_g` (0 to 1).

    `mixing`: 0 for first in, first out; 1 for well mixed.
    """
    out, plug, mixed = _parts(purged_g, held_g, mixing)
    if out < plug:
        return 0.0
    return 1.0 if mixed == 0 else -math.expm1(-(out - plug) / mixed)


def old_left_g(*, purged_g: float, held_g: float, mixing: float) -> float:
    """Return how many grams of the old grind are still inside after `purged_g`."""
    out, plug, mixed = _parts(purged_g, held_g, mixing)
    if out < plug:
        return plug + mixed - out
    return 0.0 if mixed == 0 else mixed * math.exp(-(out - plug) / mixed)


def old_in_dose_g(*, dose_g: float, purged_g: float, held_g: float, mixing: float) -> float:
    """Return how many grams of the next dose are still the old grind."""
    dose = positive("dose", dose_g, "g")
    before = old_left_g(purged_g=purged_g, held_g=held_g, mixing=mixing)
    return before - old_left_g(purged_g=purged_g + dose, held_g=held_g, mixing=mixing)


def purge_g(*, held_g: float, mixing: float = 0.5, share: float = 0.95) -> Estimate:
    """Return how many grams to throw away until `share` of what comes is new.

    The span runs from first in, first out to well mixed, as the truth is seldom
    known better; `mixing` only places the value within it.
    """
    wanted = within("share of new grind wanted", share, 0, 0.999)
    held = not_negative("amount held", held_g, "g")
    stirred = within("mixing", mixing, 0, 1)
    folds = max(-math.log1p(-wanted), 0.0)
    value = held * (1 - stirred + stirred * folds)
    low, high = sorted((held, held * folds))
    return Estimate(value, low, high, "g", f"from {held:g} g held, between in order and well mixed")


def held_g(*, beans_in_g: float, grounds_out_g: float) -> float:
    """Return how much stayed inside: beans weighed in less grounds weighed out.

    Below 0 when the grinder gave back old grounds as well.
    """
    return positive("weight of beans", beans_in_g, "g") - not_negative(
        "weight of grounds", grounds_out_g, "g"
    )


def _parts(purged_g: float, held_g: float, mixing: float) -> tuple[float, float, float]:
    """Return what came out, the plug part and the mixed part, all in g."""
    stirred = within("mixing", mixing, 0, 1)
    held = not_negative("amount held", held_g, "g")
    return not_negative("amount purged", purged_g, "g"), held * (1 - stirred), held * stirred
