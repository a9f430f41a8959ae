"""The arithmetic of one shot: ratio, flow, time, strength and extraction.

Words used here.  Dose: dry ground coffee in the basket.  Yield: the drink, by
weight.  Brew ratio: yield over dose, written 1:2 for 2.0.  Strength: dissolved
coffee as a share of the drink.  Extraction: dissolved coffee as a share of the
dose.
"""

from __future__ import annotations

from .effect import Effect, effect
from .errors import ComputeError, not_negative, positive, shown, within
from .estimate import Estimate

__all__ = [
    "Effect",
    "brew_ratio",
    "consistency",
    "dose_for",
    "effect",
    "extraction_word",
    "extraction_yield_percent",
    "mass_flow_g_s",
    "scaled_time",
    "strength_percent",
    "time_with_preinfusion",
    "time_without_preinfusion",
    "volume_to_mass",
    "yield_for",
]

MOST_SOLUBLE_PERCENT = 36.0
"""More of the dose than this cannot be dissolved in a cup: complete, repeated
extraction of roasted coffee gave 29 to 36 % (Lockhart, The Soluble Solids in
Coffee as an Index to Cup Quality, 1957; read as quoted on a teaching page)."""

USUAL_EXTRACTION_PERCENT = (18.0, 22.0)
"""SCAA Golden Cup Standard (2015), a filter-coffee figure widely borrowed for
espresso; there is no standard for espresso strength."""

FRESH_DENSITY_G_ML = (0.80, 0.95)
SETTLED_DENSITY_G_ML = (0.95, 1.03)


def brew_ratio(*, dose_g: float, yield_g: float) -> float:
    """Return yield over dose: 36 g from 18 g is 2.0, said "1 to 2"."""
    return positive("yield", yield_g, "g") / positive("dose", dose_g, "g")


def yield_for(*, dose_g: float, ratio: float) -> float:
    """Return the yield in g that gives this brew ratio from this dose."""
    return positive("dose", dose_g, "g") * positive("brew ratio", ratio)


def dose_for(*, yield_g: float, ratio: float) -> float:
    """Return the dose in g that gives this brew ratio at this yield."""
    return positive("yield", yield_g, "g") / positive("brew ratio", ratio)


def consistency(*, dose_g: float, yield_g: float, ratio: float, tolerance: float = 0.1) -> float:
    """Return by what share the stated ratio is off (0.05: stated 5 % too low).

    Raises `ComputeError` when dose, yield and ratio disagree by more than
    `tolerance`; rounding a ratio to one figure alone makes about 5 %.
    """
    real = brew_ratio(dose_g=dose_g, yield_g=yield_g)
    off = real / positive("brew ratio", ratio) - 1
    if abs(off) > tolerance:
        raise ComputeError(
            f"A dose of {shown(dose_g, 'g')} and a yield of {shown(yield_g, 'g')} make"
            f" 1 to {real:.1f}, not the 1 to {shown(ratio)} given: weigh both again."
        )
    return off


def mass_flow_g_s(*, yield_g: float, shot_time_s: float) -> float:
    """Return the average flow in g/s; say which clock the time was taken by."""
    return positive("yield", yield_g, "g") / positive("shot time", shot_time_s, "s")


def time_with_preinfusion(*, shot_time_s: float, preinfusion_s: float, counted: bool) -> float:
    """Return the time in s from the first water on the coffee, pre-infusion included.

    Pre-infusion is the gentle wetting before full pressure.  `counted` says
    whether `shot_time_s` already includes it.
    """
    time = positive("shot time", shot_time_s, "s")
    wetting = not_negative("pre-infusion", preinfusion_s, "s")
    _room_for_preinfusion(time, wetting, counted)
    return time if counted else time + wetting


def time_without_preinfusion(*, shot_time_s: float, preinfusion_s: float, counted: bool) -> float:
    """Return the time in s under full pressure, pre-infusion left out."""
    whole = time_with_preinfusion(
        shot_time_s=shot_time_s, preinfusion_s=preinfusion_s, counted=counted
    )
    return whole - preinfusion_s


def _room_for_preinfusion(time: float, wetting: float, counted: bool) -> None:
    if counted and wetting >= time:
        raise ComputeError(
            f"A pre-infusion of {shown(wetting, 's')} does not fit in a shot time of"
            f" {shown(time, 's')}: say whether the time starts before or after it."
        )


def scaled_time(*, shot_time_s: float, yield_g: float, aim_yield_g: float) -> float:
    """Return the time in s the shot would have shown at another yield.

    Takes the average flow as the same at both, so it serves for yields near one
    another; a shot starts slower than it ends, and far off this reads high for a
    larger yield and low for a smaller one.
    """
    flow = mass_flow_g_s(yield_g=yield_g, shot_time_s=shot_time_s)
    return positive("aimed-at yield", aim_yield_g, "g") / flow


def volume_to_mass(*, volume_ml: float, crema: str = "fresh") -> Estimate:
    """Return the weight in g of a drink whose volume was read, foam included.

    `crema` is "fresh" (read at once, foam on top) or "settled" (foam gone).
    Fresh drinks: 0.80 g/mL at the low end, from 20 g in 25 mL (the association
    definition relayed in Cameron et al., Matter 2, 2020); 0.95 at the high end,
    as crema is at least a tenth of the volume (Illy and Navarini, Food
    Biophysics 6, 2011) and weighs little.  Settled: about water, from memory.
    """
    spans = {"fresh": FRESH_DENSITY_G_ML, "settled": SETTLED_DENSITY_G_ML}
    if crema not in spans:
        raise ComputeError(f"The crema is {crema!r}, but can only be fresh or settled: choose one.")
    volume = positive("volume", volume_ml, "ml")
    low, high = (volume * density for density in spans[crema])
    return Estimate((low + high) / 2, low, high, "g", f"from the volume, crema {crema}")


def extraction_yield_percent(*, dose_g: float, yield_g: float, tds_percent: float) -> float:
    """Return the share of the dose dissolved in the cup, in percent.

    strength x yield / dose (brewing control chart, Lockhart 1957).  Leaves out
    the moisture of the dose and what stays in the wet puck.  Raises
    `ComputeError` when more would be dissolved than water can take out.
    """
    strength = within("strength", tds_percent, 0, 100, "%")
    share = strength * brew_ratio(dose_g=dose_g, yield_g=yield_g)
    if share > MOST_SOLUBLE_PERCENT:
        raise ComputeError(
            f"A strength of {shown(strength, '%')} in {shown(yield_g, 'g')} would be"
            f" {share:.0f} % of a {shown(dose_g, 'g')} dose, more than water can dissolve:"
            " measure the strength and the yield again."
        )
    return share


def strength_percent(*, dose_g: float, yield_g: float, extraction_percent: float) -> float:
    """Return the strength in percent that this extraction gives in this yield."""
    share = within("extraction", extraction_percent, 0, MOST_SOLUBLE_PERCENT, "%")
    strength = share / brew_ratio(dose_g=dose_g, yield_g=yield_g)
    if strength > 100:
        raise ComputeError(
            f"A yield of {shown(yield_g, 'g')} from a {shown(dose_g, 'g')} dose cannot hold"
            f" {shown(share, '%')} of it: weigh both again."
        )
    return strength


def extraction_word(*, extraction_percent: float) -> str:
    """Return "low", "usual" or "high" against 18 to 22 %, a borrowed filter figure."""
    low, high = USUAL_EXTRACTION_PERCENT
    share = within("extraction", extraction_percent, 0, MOST_SOLUBLE_PERCENT, "%")
    return "low" if share < low else "high" if share > high else "usual"
