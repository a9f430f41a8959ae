"""Steaming milk: steam, dilution, volume, time on the wand, air for the cup."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.calc.form import Given, Result, Results, Subject, option
from diagnose.compute import milk
from diagnose.compute.registry import said

FRIDGE_C, END_C = 5.0, 62.0
"""Milk from the fridge, and where steaming ends: common practice, no source."""


def _work(given: Given) -> Results:
    remarks = []
    if given.end is not None and given.end > milk.COOKED_ABOVE_C:
        remarks.append("Above about 70 °C milk tastes cooked and its foam falls.")
    return Results([*_jug(given), *_steam(given), *_stop(given), *_air(given)], remarks=remarks)


def _jug(given: Given) -> Iterator[Result]:
    if given.has("jug"):
        fill = milk.jug_fill(given.jug)
        yield Result("jug_least", "Least cold milk for the jug", fill.least_ml, "ml",
                     "a third of it, common practice")
        yield Result("jug_most", "Most cold milk for the jug", fill.most_ml, "ml",
                     "a half of it, common practice")


def _steam(given: Given) -> Iterator[Result]:
    if not given.has("milk"):
        return
    start = FRIDGE_C if given.start is None else given.start
    end = END_C if given.end is None else given.end
    usual = ", ".join(f"{said(v, 'C')} at the {w}, the usual" for v, w, got in (
        (FRIDGE_C, "start", given.start), (END_C, "end", given.end)) if got is None)
    gauge = milk.USUAL_GAUGE_BAR if given.pressure is None else given.pressure
    steam = milk.steam_needed_g(given.milk, start, end, gauge)
    yield Result("steam", "Steam needed", steam, "g", "; ".join(
        t for t in ("heat balance with dry steam and no losses", usual) if t))
    yield Result("dilution", "Water from steam in the milk", milk.dilution_percent(given.milk, steam),
                 "percent")
    yield Result("volume", "Volume in the end", milk.final_volume_ml(
        given.milk / milk.DENSITY_G_ML, given.froth or 0.0, steam), "ml",
        "" if given.froth is not None else "without froth")
    if given.gained is not None:
        yield Result("dryness", "Dryness of the steam (100 % is dry)", 100 * milk.dryness_of_steam(
            given.milk, start, end, given.gained, gauge), "percent",
            "from the weight the jug gained; heat lost counts as wetness")
    if given.power is not None or given.rate is not None:
        yield Result("time", "Time on the wand", milk.wand_time_s(
            given.milk, start, end, given.power, given.rate, gauge), "s")
    else:
        given.has("power", "rate")


def _stop(given: Given) -> Iterator[Result]:
    if given.wand_time is not None and given.has("end"):
        start = FRIDGE_C if given.start is None else given.start
        over = milk.overshoot_c(start, given.end, given.wand_time, given.lag)
        yield Result("overshoot", "The milk runs on past the reading by", over, "K")
        yield Result("stop", "Shut the steam at", milk.stop_at_c(given.end, over.value), "C",
                     over.basis)


def _air(given: Given) -> Iterator[Result]:
    if given.drink is not None and given.has("cup_width", "froth_depth"):
        yield Result("air", "Air to draw in", milk.air_for(
            given.drink, given.froth_depth, given.cup_width), "ml")


SUBJECT = Subject("milk", "steam, dilution, volume, time on the wand, air for the cup", (
    option("milk", "g", "cold milk", low=1, high=5000),
    option("start", "C", "its temperature before (5 C)", low=-5, high=100),
    option("end", "C", "temperature to come to (62 C)", high=120),
    option("pressure", "bar", "steam gauge (1.1 bar)", low=-2, high=10),
    option("power", "W", "the boiler's heater", low=1, high=10000),
    option("rate", "g/s", "steam rate, measured in cold water", low=0.01, high=50),
    option("gained", "g", "weight the jug gained in steaming", low=0.1, high=1000),
    option("froth", "percent", "air added, in percent of the milk", high=400),
    option("wand-time", "s", "how long it took on the wand", low=0.5, high=600),
    option("lag", "s", "how late the thermometer is", high=60),
    option("jug", "ml", "what the jug holds to the brim", low=10, high=5000),
    option("drink", "ml", "size of the drink", low=5, high=2000),
    option("cup-width", "mm", "inner width of the cup", low=10, high=200),
    option("froth-depth", "mm", "how deep the froth should be", high=100),
), _work)
