"""Numbers for a remedy's steps, said with their span and where they come from."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.compute import grinder, milk, retention, units
from diagnose.compute.errors import positive
from diagnose.compute.estimate import Estimate


def grind_move(*, shot_time_s: float, aim_low_s: float, aim_high_s: float,
               shots: Sequence[grinder.Shot] = (), marks_finer_sign: int = 1) -> str:
    """How far to turn the grinder, in words; from the logged shots where there are enough.

    Raises ComputeError for an empty window or an impossible time.
    """
    move = grinder.move(list(shots), shot_time_s=shot_time_s, aim_low_s=aim_low_s,
                        aim_high_s=aim_high_s, marks_finer_sign=marks_finer_sign)
    if move.direction == "stay":
        return f"leave the grind: {shot_time_s:.0f} s is inside the window"
    low, high = (max(1, round(v)) for v in (move.low, move.high))
    span = f"{low}" if low == high else f"{low} to {high}"
    text = f"{span} mark{'s' if high > 1 else ''} {move.direction} ({move.basis})"
    return f"{text}. {move.refused}" if move.refused else text


def purge(*, held_g: float = 2.0) -> Estimate:
    """Grams to grind and throw away until the new setting is what comes out.

    Without a weighed retention the default of 2 g held is common practice, no source.
    """
    return retention.purge_g(held_g=held_g)


def timer_setting(*, aim_dose_g: float, dose_g: float, timer_s: float) -> float:
    """Timer seconds for the aimed-at dose, at the rate of the dose just weighed.

    Raises ComputeError for a dose or time that is not above zero.
    """
    rate = positive("dose", dose_g, "g") / positive("timer", timer_s, "s")
    return positive("aimed-at dose", aim_dose_g, "g") / rate


def jug_milk(*, jug_ml: float) -> str:
    """The least and the most cold milk for a jug, in words.

    Raises ComputeError for a jug that is no jug.
    """
    fill = milk.jug_fill(jug_ml)
    return f"{units.show(fill.least_ml, 'ml')} to {units.show(fill.most_ml, 'ml')}"
