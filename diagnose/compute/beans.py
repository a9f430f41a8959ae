"""Beans and time: gas, rest, age, the open bag, the freezer, and the flow.

Fresh beans hold carbon dioxide, which pushes back against the water and makes
the flow uneven; as they age the gas goes and the same grind runs faster.  That
darker roasts lose gas faster is published (Wang, thesis, Guelph 2014); the
numbers of days are common practice, no source, and stand in one table.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from .errors import ComputeError, finite, not_negative, positive, within
from .estimate import Estimate


@dataclass(frozen=True, slots=True)
class Roast:
    """Days for one roast: rest from/to, then good until, then stale from.

    `gas_days` is the time in which the gas falls to 37 %: (low, usual, high).
    """

    rest_from: int
    rest_to: int
    good_until: int
    stale_from: int
    gas_days: tuple[float, float, float]


ROASTS = {
    "light": Roast(10, 21, 45, 75, (6.0, 10.0, 16.0)),
    "medium": Roast(6, 14, 35, 60, (4.0, 7.0, 12.0)),
    "dark": Roast(3, 10, 25, 45, (2.0, 4.0, 8.0)),
}

OPEN_FADING_DAYS = 14
OPEN_STALE_DAYS = 28
GROUND_STALE_HOURS = 1.0
ROOM_C = 20.0
SLOWER_PER_TEN = 2.0
"""Staling is taken to halve with every 10 degrees colder: a rule of thumb."""

PHASES = ("too fresh", "rested", "fading", "stale")


@dataclass(frozen=True, slots=True)
class BeanFlow:
    """What a phase does to the shot: flow, and the turn of the grinder it asks for."""

    flow: str
    grind: str
    note: str


FLOWS = {
    "too fresh": BeanFlow(
        "uneven", "wait", "Gas pushes the water back and much foam follows; rest the beans first."
    ),
    "rested": BeanFlow("steady", "stay", "The best days to set the grinder."),
    "fading": BeanFlow(
        "faster", "finer", "Less gas holds the water back; follow with the grinder, a little finer."
    ),
    "stale": BeanFlow(
        "fast",
        "new beans",
        "Thin foam and flat taste; grinding finer slows the shot, not the loss.",
    ),
}


def days_since(*, roast_date: date, today: date) -> int:
    """Return the days from roast to today; raise `ComputeError` for a date to come."""
    days = (today - roast_date).days
    if days < 0:
        raise ComputeError(
            f"A roast date of {roast_date.isoformat()} lies after today, {today.isoformat()}:"
            " read the bag again, it may show a best-before date, or set the clock."
        )
    return days


def rest_window_days(*, roast: str) -> Estimate:
    """Return how many days after roasting beans are best begun, with the span."""
    days = _roast(roast)
    middle = (days.rest_from + days.rest_to) / 2
    return Estimate(
        middle, days.rest_from, days.rest_to, "days", f"usual for a {roast} roast, no source"
    )


def opened_window_days() -> Estimate:
    """Return how long an opened bag stays good, kept shut, cool and dark."""
    middle = (OPEN_FADING_DAYS + OPEN_STALE_DAYS) / 2
    return Estimate(middle, OPEN_FADING_DAYS, OPEN_STALE_DAYS, "days", "common practice, no source")


def phase(
    *,
    roast: str,
    days: float,
    days_open: float = 0.0,
    days_frozen: float = 0.0,
    freezer_c: float = -18.0,
) -> str:
    """Return "too fresh", "rested", "fading" or "stale".

    `days` counts from the roast, `days_open` of them with the bag opened,
    `days_frozen` of them in a freezer, sealed.  Raises `ComputeError` when the
    parts add up to more than the whole.
    """
    table = _roast(roast)
    aged = aged_days(days=days, days_frozen=days_frozen, freezer_c=freezer_c)
    opened = not_negative("days open", days_open, "days")
    if opened + days_frozen > days:
        raise ComputeError(
            f"{opened:g} days open and {days_frozen:g} days frozen do not fit in {days:g} days"
            " since the roast: check the roast date."
        )
    by_age = _by_age(aged, table)
    by_opening = 3 if opened >= OPEN_STALE_DAYS else 2 if opened >= OPEN_FADING_DAYS else 0
    return PHASES[max(by_age, by_opening)]


def _by_age(aged: float, table: Roast) -> int:
    ends = (table.rest_from, table.good_until, table.stale_from)
    return sum(aged >= end for end in ends)


def aged_days(*, days: float, days_frozen: float = 0.0, freezer_c: float = -18.0) -> float:
    """Return how old the beans are in days at room warmth, the freezer counted slow."""
    whole = not_negative("days since the roast", days, "days")
    frozen = not_negative("days frozen", days_frozen, "days")
    if frozen > whole:
        raise ComputeError(
            f"{frozen:g} days frozen do not fit in {whole:g} days since the roast:"
            " check the roast date."
        )
    return whole - frozen + frozen * freezing_factor(freezer_c=freezer_c)


def freezing_factor(*, freezer_c: float = -18.0) -> float:
    """Return how fast beans age in the freezer against 20 degrees C (about 0.07 at -18)."""
    cold = within("freezer", freezer_c, -90, 0, "degrees C")
    return math.pow(SLOWER_PER_TEN, (cold - ROOM_C) / 10)


def gas_left(*, roast: str, days: float) -> Estimate:
    """Return the share of the gas still in whole beans, 1 at the roast.

    First-order loss, exp(-days / time constant); the constants are defaults.
    """
    age = not_negative("days since the roast", days, "days")
    low, usual, high = (first_order_left(days=age, gas_days=t) for t in _roast(roast).gas_days)
    return Estimate(usual, low, high, "of the gas", f"a default for a {roast} roast, no source")


def first_order_left(*, days: float, gas_days: float) -> float:
    """Return exp(-days / gas_days), what first-order loss leaves."""
    return math.exp(-not_negative("days", days, "days") / positive("gas time", gas_days, "days"))


def diffusion_days(*, radius_mm: float, diffusivity_m2_s: float) -> float:
    """Return the slowest time constant in days of gas leaving a round grain.

    radius^2 / (pi^2 x diffusivity), the first term of the series for a sphere
    (Crank, The Mathematics of Diffusion).
    """
    radius = positive("radius", radius_mm, "mm") / 1000
    return radius**2 / (math.pi**2 * positive("diffusivity", diffusivity_m2_s, "m2/s")) / 86400


def gas_volume_l_per_kg(*, gas_mg_per_g: float, temperature_c: float = ROOM_C) -> float:
    """Return the volume of the carbon dioxide in litres per kg of beans at 1 atm.

    Ideal gas.  Why a bag has a valve and a jar of fresh beans must not be sealed tight.
    """
    moles_per_kg = not_negative("gas", gas_mg_per_g, "mg/g") / 44.0095
    kelvin = finite("temperature", temperature_c) + 273.15
    return moles_per_kg * 8.314462618 * positive("temperature", kelvin, "K") / 101325 * 1000


def flow_change(*, phase: str) -> BeanFlow:
    """Return what beans of this phase do to the flow, and the grind to answer with."""
    if phase not in FLOWS:
        raise ComputeError(f"Beans are not {phase!r}: give one of {', '.join(PHASES)}.")
    return FLOWS[phase]


def _roast(roast: str) -> Roast:
    if roast not in ROASTS:
        raise ComputeError(f"A roast is not {roast!r}: give one of {', '.join(ROASTS)}.")
    return ROASTS[roast]
