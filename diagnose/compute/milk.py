"""Steaming milk: heat balance, dilution, volume, time, and how much air.

Steam gives its latent heat and then cools to the milk's temperature as water, so

    milk * c * (end - start) = steam * (h_steam - h_water(end))

with no loss to jug and air; what is lost comes back as a little more steam and a little more
time. The jug gains the steam as water: weighing it before and after checks the sum.

Specific heat 3.93 kJ/(kg K) (course text on the thermal properties of milk; whole milk at
80 °C 3.931 after Sherbon 1988; 2 % less by Kessler's composition formula). Density 1.03 kg/L
at 20 °C: dairy handbooks, from memory.
"""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from diagnose.compute import boiler, steam
from diagnose.compute.errors import ComputeError, not_negative, positive, within
from diagnose.compute.estimate import Estimate

SPECIFIC_HEAT_KJ_KG_K = 3.93
DENSITY_G_ML = 1.03
HOTTEST_C = 90.0
COOKED_ABOVE_C = 70.0
"""Cooked taste and collapsing foam from about here: common practice, in line with whey
protein losing its shape quickly above 70 °C (Larson and Rolleri 1955)."""

USUAL_GAUGE_BAR = 1.1
"""Steam boilers at home stand at about 1.0 to 1.3 bar: common practice, no source."""

BOILER_HELP, BOILER_LOSS = 0.5, 1.3
"""The wand's time against heater power alone: a full hot boiler halves it, losses and wet
steam add a third (common practice, no source)."""

LAG_S = (1.0, 3.0, 6.0)
"""How far a dial or stick-on thermometer and the hand on the valve run late, in seconds:
common practice, no source; measure it in hot water."""

FOAM_AIR = (0.4, 0.5, 0.75)
"""Share of air in foam: wet and fine, usual, dry. Common practice, no source."""

FILL = (1 / 3, 1 / 2)
"""Share of a jug to fill with cold milk: common practice, no source."""


class Fill(NamedTuple):
    """The least and the most cold milk for a jug, in ml."""

    least_ml: float
    most_ml: float


def heat_needed_kj(
    milk_g: float, start_c: float, end_c: float, specific_heat: float = SPECIFIC_HEAT_KJ_KG_K
) -> float:
    """Return the heat in kJ that brings the milk from ``start_c`` to ``end_c``.

    ``specific_heat`` in kJ/(kg K). ComputeError if the milk would have to cool, for an end
    above 90 °C, and for amounts that cannot be.
    """
    positive("milk", milk_g, "g")
    positive("specific heat", specific_heat, "kJ/(kg K)")
    within("start of the milk", start_c, 0.0, HOTTEST_C, "°C")
    within("end of the milk", end_c, 0.0, HOTTEST_C, "°C")
    if end_c < start_c:
        raise ComputeError(
            f"The milk starts at {start_c:g} °C and is to end at {end_c:g} °C,"
            " but steam cannot cool it: check the two."
        )
    return milk_g / 1000.0 * specific_heat * (end_c - start_c)


def steam_needed_g(
    milk_g: float,
    start_c: float,
    end_c: float,
    boiler_pressure_bar_g: float = USUAL_GAUGE_BAR,
    steam_enthalpy_kj_kg: float | None = None,
    dryness: float = 1.0,
    altitude_m: float = 0.0,
    specific_heat: float = SPECIFIC_HEAT_KJ_KG_K,
) -> float:
    """Return the steam in g that heats the milk, without losses.

    The boiler pressure is a GAUGE reading; it hardly matters (1 % from 0.8 to 2 bar), while
    ``dryness`` (share of the steam that is no droplets) does: 0.9 takes a tenth more.
    ``steam_enthalpy_kj_kg`` from water at 0 °C replaces both. ComputeError as `heat_needed_kj`.
    """
    heat = heat_needed_kj(milk_g, start_c, end_c, specific_heat)
    if steam_enthalpy_kj_kg is None:
        hot = boiler.steam_temperature_c(boiler_pressure_bar_g, altitude_m)
        steam_enthalpy_kj_kg = steam.steam_enthalpy_kj_kg(hot, dryness)
    gives = steam_enthalpy_kj_kg - steam.water_enthalpy_kj_kg(end_c)
    if positive("heat in the steam", steam_enthalpy_kj_kg, "kJ/kg") and gives <= 0:
        raise ComputeError(
            f"Steam of {steam_enthalpy_kj_kg:g} kJ/kg cannot heat milk to {end_c:g} °C:"
            " it is no hotter than that itself."
        )
    return 1000.0 * heat / gives


def dilution_percent(milk_g: float, steam_g: float) -> float:
    """Return the share of the steamed milk that is water from steam, in percent by mass."""
    positive("milk", milk_g, "g")
    return 100.0 * not_negative("steam", steam_g, "g") / (milk_g + steam_g)


def dryness_of_steam(
    milk_g: float,
    start_c: float,
    end_c: float,
    gained_g: float,
    boiler_pressure_bar_g: float = USUAL_GAUGE_BAR,
    altitude_m: float = 0.0,
) -> float:
    """Return how dry the steam was, from the weight the jug gained; 1 is dry, 0.9 wet.

    Heat lost to jug and air counts as wetness, so a good wand reads a little under 1.
    ComputeError when the gain is too small to have carried the heat, or all water.
    """
    heat = heat_needed_kj(milk_g, start_c, end_c)
    hot = boiler.steam_temperature_c(boiler_pressure_bar_g, altitude_m)
    carried = 1000.0 * heat / positive("weight gained by the jug", gained_g, "g")
    share = (
        carried + steam.water_enthalpy_kj_kg(end_c) - steam.water_enthalpy_kj_kg(hot)
    ) / steam.latent_heat_kj_kg(hot)
    if not 0.0 <= share <= 1.05:
        raise ComputeError(
            f"A gain of {gained_g:g} g and a rise from {start_c:g} to {end_c:g} °C in {milk_g:g} g"
            " of milk cannot both be right: weigh the jug and take the temperature again."
        )
    return min(1.0, share)


def final_volume_ml(milk_ml: float, froth_percent: float = 0.0, steam_g: float = 0.0) -> float:
    """Return the volume of the steamed milk, foam included, in ml.

    ``froth_percent`` is the overrun: air added, in percent of the liquid (the standard foam
    measure, 100 * (V_foam - V_liquid) / V_liquid). Steam joins as water of 1 g/ml; the
    swelling of hot milk, under 2 %, is left out.
    """
    positive("milk", milk_ml, "ml")
    liquid = milk_ml + not_negative("steam", steam_g, "g")
    return liquid * (1.0 + not_negative("froth", froth_percent, "%") / 100.0)


def froth_percent(liquid_ml: float, frothed_ml: float) -> float:
    """Return the overrun in percent from the volumes before and after; refuses shrinking."""
    positive("milk before frothing", liquid_ml, "ml")
    if positive("milk after frothing", frothed_ml, "ml") < liquid_ml:
        raise ComputeError(
            f"The milk was {liquid_ml:g} ml and is {frothed_ml:g} ml after frothing,"
            " but froth only adds: check the two."
        )
    return 100.0 * (frothed_ml - liquid_ml) / liquid_ml


def wand_time_s(
    milk_g: float,
    start_c: float,
    end_c: float,
    power_w: float | None = None,
    rate_g_s: float | None = None,
    boiler_pressure_bar_g: float = USUAL_GAUGE_BAR,
    altitude_m: float = 0.0,
) -> Estimate:
    """Return how long the wand needs, in seconds.

    With ``rate_g_s``, the measured steam rate (weight gained by a jug of cold water over the
    seconds taken): within a tenth. With ``power_w``, the boiler's heater: steam leaves as
    fast as the heater boils water, faster while a large boiler gives up its own heat.
    ComputeError unless exactly one of the two is given.
    """
    if (power_w is None) == (rate_g_s is None):
        raise ComputeError(
            "Give either the heater's power or the measured steam rate, and not both."
        )
    needed = steam_needed_g(milk_g, start_c, end_c, boiler_pressure_bar_g, altitude_m=altitude_m)
    if rate_g_s is not None:
        time = needed / positive("steam rate", rate_g_s, "g/s")
        return Estimate(time, 0.9 * time, 1.1 * time, "s", "from the measured steam rate")
    hot = boiler.steam_temperature_c(boiler_pressure_bar_g, altitude_m)
    time = needed * steam.latent_heat_kj_kg(hot) / positive("heater power", power_w or 0.0, "W")
    return Estimate(
        time,
        BOILER_HELP * time,
        BOILER_LOSS * time,
        "s",
        "from the heater's power, not measured on this machine",
    )


def overshoot_c(
    start_c: float, end_c: float, time_s: float, lag_s: float | None = None
) -> Estimate:
    """Return how far the milk runs past the reading at which the steam is shut, in K.

    A late reading is late by the rate of rise times the lag. ``lag_s`` is measured by
    plunging the thermometer from cold into hot water: the time to 63 % of the way.
    """
    if end_c < start_c:
        raise ComputeError(
            f"The milk cannot cool from {start_c:g} to {end_c:g} °C under steam: check the two."
        )
    rate = (end_c - start_c) / positive("time on the wand", time_s, "s")
    if lag_s is not None:
        value = rate * not_negative("lag of the thermometer", lag_s, "s")
        return Estimate(value, 0.7 * value, 1.3 * value, "K", "from the measured lag")
    low, value, high = (rate * lag for lag in LAG_S)
    return Estimate(value, low, high, "K", "a default lag, not measured on this thermometer")


def stop_at_c(target_c: float, overshoot_c: float) -> float:
    """Return the reading at which to shut the steam, °C.

    ComputeError for a target outside 30 to 90 °C or an overshoot that swallows it.
    """
    within("milk temperature aimed at", target_c, 30.0, HOTTEST_C, "°C")
    return target_c - within("overshoot", overshoot_c, 0.0, target_c - 20.0, "K")


def air_for(drink_ml: float, froth_mm: float, cup_diameter_mm: float) -> Estimate:
    """Return the air in ml to draw in for a froth layer of ``froth_mm`` across the cup.

    Layer volume times the air in foam: half for the usual foam, less for wet, more for dry.
    ComputeError when the layer alone is more than the drink.
    """
    area = pi / 4.0 * positive("width of the cup", cup_diameter_mm, "mm") ** 2
    layer = area * not_negative("froth depth", froth_mm, "mm") / 1000.0
    if layer >= positive("drink", drink_ml, "ml"):
        raise ComputeError(
            f"A froth {froth_mm:g} mm deep in a cup {cup_diameter_mm:g} mm wide is {layer:.0f} ml,"
            f" more than the whole drink of {drink_ml:g} ml: check the three."
        )
    low, value, high = (layer * share for share in FOAM_AIR)
    return Estimate(value, low, high, "ml", "from the cup, with a default for the air in foam")


def jug_fill(jug_ml: float) -> Fill:
    """Return the least and the most cold milk for a jug: a third and a half of it.

    Below a third the tip does not reach, above a half the froth goes over (common practice).
    """
    positive("jug", jug_ml, "ml")
    return Fill(jug_ml * FILL[0], jug_ml * FILL[1])
