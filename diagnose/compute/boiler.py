"""What a boiler's pressure gauge says of its temperature, and what it does not say.

Every ``gauge_bar`` is a gauge reading: bar above the local air. The air thins with altitude,
so the same reading means a cooler boiler on a mountain. A gauge can only be read as a
temperature where water and steam stand over each other at rest: in a steam boiler, with the
air let out. A brew boiler is full of water under pump or mains pressure, and below 100 °C it
would boil under less than the air's own pressure; its gauge says nothing of its temperature.
"""

from __future__ import annotations

from math import exp

from diagnose.compute.errors import ComputeError, finite, not_negative, positive, within
from diagnose.compute.estimate import Estimate
from diagnose.compute.steam import saturation_pressure_bar, saturation_temperature_c

KINDS = ("single boiler", "heat exchanger", "double boiler")
_GAUGE_SHOWS = {
    "single boiler": "the gauge shows pump or steam pressure",
    "double boiler": "the gauge shows pump pressure or the steam boiler",
}
LOWEST_M, HIGHEST_M = -500.0, 5000.0
HIGHEST_GAUGE_BAR = 10.0

BREW_C = (90.0, 93.0, 96.0)
"""Brew temperature of a machine that works: common practice, no source."""

FEED_C = (10.0, 18.0, 25.0)
"""Water going into the exchanger: mains in winter, a usual tank, a warm tank (common practice)."""

EXCHANGE = (0.66, 0.72, 0.78)
"""Share of the gap between feed and boiler that an exchanger closes in flow.

Common practice, no source: set by a working machine giving about 93 °C at about 1.1 bar
from water at 18 to 20 °C.
"""

EXCHANGER_ML = (50.0, 100.0, 200.0)
"""Water standing in an exchanger and its pipes: common practice, no source."""

MIXING = 1.5
"""Volumes to flush when the fresh water mixes with the standing; a plug needs one (our choice)."""

IDLE_MIN = (3.0, 6.0, 12.0)
"""Time constant of standing water warming towards the boiler: common practice, no source."""


def air_pressure_bar(altitude_m: float = 0.0) -> float:
    """Return the mean absolute air pressure in bar (ISO 2533 standard atmosphere).

    Weather moves it by 3 % either way. ComputeError outside -500 to 5000 m.
    """
    within("altitude", altitude_m, LOWEST_M, HIGHEST_M, "m")
    return float(1.01325 * (1.0 - 0.0065 * altitude_m / 288.15) ** 5.25588)


def boiling_point_c(altitude_m: float = 0.0) -> float:
    """Return the temperature in °C at which water boils in the open, as at the group."""
    return saturation_temperature_c(air_pressure_bar(altitude_m))


def steam_temperature_c(gauge_bar: float, altitude_m: float = 0.0) -> float:
    """Return the temperature in °C of a steam boiler with its gauge at ``gauge_bar``.

    True once the air has been let out: trapped air takes a share of the pressure, and the
    boiler is then cooler than this. ComputeError below a vacuum and above 10 bar.
    """
    air = air_pressure_bar(altitude_m)
    if within("gauge pressure", gauge_bar, -2.0, HIGHEST_GAUGE_BAR, "bar") <= -air:
        raise ComputeError(
            f"The gauge reads {gauge_bar:g} bar, but the air here holds only {air:.2f} bar: "
            "nothing is emptier than a vacuum, so check the gauge and its sign."
        )
    return saturation_temperature_c(gauge_bar + air)


def gauge_pressure_bar(temperature_c: float, altitude_m: float = 0.0) -> float:
    """Return what the gauge of a steam boiler reads, in bar; negative below boiling."""
    return saturation_pressure_bar(temperature_c) - air_pressure_bar(altitude_m)


def brew_temperature(
    gauge_bar: float, kind: str, altitude_m: float = 0.0, feed_c: float | None = None
) -> Estimate:
    """Return the brew temperature that a gauge reading allows to be guessed, °C.

    ``kind`` is one of `KINDS`. Only on a heat-exchanger machine does the steam gauge bear
    on the brew water, and there only after a flush and to a few degrees: the water leaves
    at ``feed + share * (boiler - feed)``. On the other two the gauge says nothing of it and
    the usual span comes back, saying so. The water leaves the group no hotter than it boils
    there. ComputeError for an unknown kind or an impossible reading.
    """
    if kind not in KINDS:
        raise ComputeError(
            f'"{kind}" is no kind of machine known here: write one of {", ".join(KINDS)}.'
        )
    roof = boiling_point_c(altitude_m)
    if kind == "heat exchanger":
        boiler_c = steam_temperature_c(gauge_bar, altitude_m)
        feeds = FEED_C if feed_c is None else (within("feed water", feed_c, 0.0, 60.0, "°C"),) * 3
        guesses = [
            _outlet_c(boiler_c, feed, share) for feed, share in zip(feeds, EXCHANGE, strict=True)
        ]
        basis = "from the steam pressure, after a flush; a rough guess, so measure at the group"
    else:
        finite("gauge pressure", gauge_bar)
        guesses = list(BREW_C)
        basis = f"the usual span only: {_GAUGE_SHOWS[kind]}, not the brew water"
    low, middle, high = (min(roof, guess) for guess in guesses)
    return Estimate(middle, low, high, "C", basis)


def flush_ml(
    idle_min: float,
    gauge_bar: float,
    target_c: float = 93.0,
    altitude_m: float = 0.0,
    exchanger_ml: float | None = None,
) -> Estimate:
    """Return how much to let out of a heat-exchanger group after it stood idle, ml.

    Standing water warms from the flowing temperature towards the boiler's. Once it is above
    the target, all of it has to go: one exchanger volume if the fresh water pushes it out as
    a plug, up to `MIXING` volumes if the two mix. The low end is a small exchanger that warms
    slowly, the high end a large one that warms quickly. When the exchanger runs hotter than
    the target even in flow, no flush reaches it, and the basis says so. The metal of the
    group is left out. ComputeError for a target outside 80 to 100 °C.
    """
    not_negative("time stood idle", idle_min, "min")
    within("brew temperature aimed at", target_c, 80.0, 100.0, "°C")
    boiler_c = steam_temperature_c(gauge_bar, altitude_m)
    flowing = _outlet_c(boiler_c, FEED_C[1], EXCHANGE[1])
    volumes = (
        EXCHANGER_ML
        if exchanger_ml is None
        else (positive("exchanger volume", exchanger_ml, "ml"),) * 3
    )
    low, middle, high = (
        volume if _standing_c(boiler_c, flowing, idle_min, tau) > target_c else 0.0
        for volume, tau in zip(volumes, reversed(IDLE_MIN), strict=True)
    )
    basis = "a default for the exchanger, not measured on this machine"
    if exchanger_ml is not None:
        basis = "from the volume of the exchanger"
    if flowing > target_c:
        basis += (
            "; at this steam pressure it runs hotter than the target, so no flush will reach it"
        )
    return Estimate(middle, low, high * MIXING, "ml", basis)


def _outlet_c(boiler_c: float, feed_c: float, share: float) -> float:
    return feed_c + share * (boiler_c - feed_c)


def _standing_c(boiler_c: float, flowing_c: float, idle_min: float, tau_min: float) -> float:
    return boiler_c - (boiler_c - flowing_c) * exp(-idle_min / tau_min)
