"""Figures told in a question, reckoned with: a verdict first, in words that can answer by themselves.

The windows come from the house's targets; where a function needs a figure that was not told,
it is not called.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from diagnose.compute import advice, grinder, shot, timer, units
from diagnose.compute.errors import positive
from diagnose.compute.estimate import Advice

NEAR_RATIO = 0.05
"""A drink this share off the one aimed at is judged as it is (our choice)."""
VERY_HARD = 180
"""Total hardness in mg/L as CaCO3 from which water is very hard: US Geological Survey."""
DAYS_BOUGHT = 14
"""Beans are bought for a fortnight: common practice, no source."""


def finer_or_coarser(
    *, shot_time_s: float, aim_low_s: float, aim_high_s: float, single_low_s: float,
    single_high_s: float, single_dose_g: float, ratio: float, dose_g: float | None = None,
    yield_g: float | None = None, shots: Sequence[grinder.Shot] = (), marks: str = "",
) -> Advice:
    """Whether to grind finer or coarser, how far, and to what time that should bring the shot.

    A dose of a single is held against the single's window. The time is taken at the drink aimed
    for where dose and drink were told. Raises ComputeError for a time or weight not above zero.
    """
    time = positive("shot time", shot_time_s, "s")
    low, high = (single_low_s, single_high_s) if dose_g and dose_g <= single_dose_g else (
        aim_low_s, aim_high_s)
    at_aim, aim = time, shot.yield_for(dose_g=dose_g, ratio=ratio) if dose_g and yield_g else 0.0
    if yield_g and aim and abs(yield_g / aim - 1) > NEAR_RATIO:
        at_aim = shot.scaled_time(shot_time_s=time, yield_g=yield_g, aim_yield_g=aim)
    told = _told(time, at_aim, aim)
    window = units.span(round(low), round(high), "s")
    if low <= at_aim <= high:
        return Advice(f"Neither: leave the grind, {told} is inside the window of {window}. Let the taste "
                      "decide from here.")
    way, past = ("finer", "under") if at_aim < low else ("coarser", "over")
    size, after, basis = _size(at_aim, low, high, shots, marks)
    return Advice(f"{way.capitalize()}, {size}: {told} is {past} the window of {window}. {after}", basis)


def _told(time: float, at_aim: float, aim_g: float) -> str:
    """The time told, at the drink aimed for where that is another."""
    said = units.show(time, "s")
    return (f"{said} for that drink would be {units.show(round(at_aim), 's')} for {units.show(aim_g, 'g')}, "
            "which") if at_aim != time else said


def _size(time: float, low: float, high: float, shots: Sequence[grinder.Shot],
          marks: str) -> tuple[str, str, str]:
    """How far to turn, what time that should bring, and where the figure comes from."""
    one = advice.seconds_per_mark(shots=shots, shot_time_s=time, marks=marks)
    sign = 1 if time < low else -1
    short = low - time if sign > 0 else time - high
    count = max(1, math.ceil(short / max(abs(one.value), 0.1)))
    if count > grinder.DEFAULT_MOST_MARKS:
        return ("two or three marks at a time", "Judge each by its own shot until the time comes near.",
                one.basis)
    to = time + sign * abs(one.value) * count
    brings = units.span(math.floor(to - 0.5), math.ceil(to + 0.5), "s")
    said = "one small mark" if count == 1 else f"about {count} marks"
    return said, f"That should bring {brings}.", one.basis


def drink_from_dose(*, dose_g: float, ratio: float, single_dose_g: float, single_low_s: float,
                    single_high_s: float, aim_low_s: float, aim_high_s: float) -> Advice:
    """The drink to stop at for a dose told, and how long it should take."""
    drink = shot.yield_for(dose_g=dose_g, ratio=ratio)
    low, high = (single_low_s, single_high_s) if dose_g <= single_dose_g else (aim_low_s, aim_high_s)
    return Advice(f"From {units.show(dose_g, 'g')} stop at {units.show(drink, 'g')} in the cup (1 to "
                  f"{ratio:g}), in {units.span(low, high, 's')}.")


def short_and_long(*, dose_g: float) -> Advice:
    """A ristretto, an espresso and a lungo from a dose told."""
    least, most, usual, long = (units.show(shot.yield_for(dose_g=dose_g, ratio=r), "g")
                                for r in (1, 1.5, 2, 3))
    return Advice(f"From {units.show(dose_g, 'g')}: ristretto {least} to {most}, espresso {usual}, lungo "
                  f"{long} or a little more.")


def ratio_told(*, dose_g: float, yield_g: float, low: float, high: float, ratio: float) -> Advice:
    """The ratio of a dose and a drink told, held against the window."""
    found = shot.brew_ratio(dose_g=dose_g, yield_g=yield_g)
    aim = units.show(shot.yield_for(dose_g=dose_g, ratio=ratio), "g")
    said = f"{units.show(yield_g, 'g')} from {units.show(dose_g, 'g')} is 1 to {found:.2g}"
    if low <= found <= high:
        return Advice(f"{said}, inside the window of 1 to {low:g} up to 1 to {high:g}.")
    way = "shorter" if found < low else "longer"
    return Advice(f"{said}, {way} than 1 to {ratio:g}: that would be {aim} from this dose.")


def timer_reset(*, dose_g: float, timer_s: float, aim_dose_g: float,
                wanted_g: float | None = None) -> Advice:
    """The timer setting that brings the dose wanted, at the rate told.

    What is wanted is the dose told for before the change, else the house's own.
    """
    wanted = wanted_g or aim_dose_g
    found = timer.new_setting_s(aim_dose_g=wanted, weighings=[timer.Weighing(timer_s, dose_g)])
    return Advice(f"Set the timer to {units.show(round(found.value, 1), 's')}: "
                  f"{units.show(dose_g, 'g')} came in {units.show(timer_s, 's')}, and you want "
                  f"{units.show(wanted, 'g')}.")


def hardness_told(*, hardness_mg_l: float, low_mg_l: float, high_mg_l: float) -> Advice:
    """A hardness told, held against the window: what it means for filter and scale."""
    shown = units.show(round(hardness_mg_l), "mg/L CaCO3")
    window = units.span(low_mg_l, high_mg_l, "mg/L CaCO3")
    if hardness_mg_l > VERY_HARD:
        return Advice(f"Yes, and more than a small cartridge: your water has {shown}, far over the window of "
                      f"{window}.")
    if hardness_mg_l > high_mg_l:
        return Advice(f"Yes, soften it: your water has {shown}, over the window of {window}.")
    if hardness_mg_l < low_mg_l:
        return Advice(f"No softening: your water has only {shown}, under the window of {window}.")
    return Advice(f"No softening needed: your water has {shown}, inside the window of {window}.")


def descale_told(*, hardness_mg_l: float, low_mg_l: float, high_mg_l: float) -> Advice:
    """How often to descale at a hardness told, where the leaflet has the owner do it."""
    shown = units.show(round(hardness_mg_l), "mg/L CaCO3")
    window = f"the window of {units.span(low_mg_l, high_mg_l, 'mg/L CaCO3')}"
    if hardness_mg_l > VERY_HARD:
        return Advice(f"At {shown}, far over {window}, every month or two where the leaflet has you do it; "
                      "soften the water first.")
    if hardness_mg_l > high_mg_l:
        return Advice(f"At {shown}, over {window}, every two to three months where the leaflet has "
                      "you do it.")
    return Advice(f"At {shown}, not over {window}, once or twice a year at most where the leaflet "
                  "has you do it.")


def pressure_told(*, pressure_bar: float, low_bar: float, high_bar: float, aim_low_s: float,
                  aim_high_s: float, shot_time_s: float | None = None) -> Advice:
    """A brew gauge's reading in the shot, held against the window, and what to look at first."""
    shown, window = units.show(pressure_bar, "bar"), f"the window of {units.span(low_bar, high_bar, 'bar')}"
    if low_bar <= pressure_bar <= high_bar:
        return Advice(f"{shown} is right, inside {window}.")
    if pressure_bar > high_bar:
        first = ("grind coarser first" if shot_time_s and shot_time_s > aim_high_s
                 else "that may be the gauge: many read a bar or so high")
        return Advice(f"{shown} is over {window}; {first}.")
    if shot_time_s and shot_time_s < aim_low_s:
        return Advice(f"{shown} is under {window}, but {units.show(shot_time_s, 's')} says that the coffee "
                      "holds nothing back: grind finer before you doubt the pump.")
    return Advice(f"{shown} is under {window}: try the blind basket, and doubt the pump only if it stays "
                  "low there.")


def beans_told(*, days: float, rest_low: float, rest_high: float, fresh_high: float) -> Advice:
    """The age of beans told, held against their rest and their best days."""
    age = units.show(days, "days")
    if days < rest_low:
        return Advice(f"Wait {units.show(rest_low - days, 'days')} more: {age} after the roast is still "
                      f"young, {units.span(rest_low, rest_high, 'days')} is the usual rest.")
    if days <= fresh_high:
        return Advice(f"Use them now: {age} after the roast is inside their best time, up to "
                      f"{units.show(fresh_high, 'days')} in a shut bag.")
    return Advice(f"They are past their best: {age} after the roast, against "
                  f"{units.show(fresh_high, 'days')} in a shut bag. Flat rather than harmful.")


def beans_to_buy(*, drinks_per_day: float, dose_g: float) -> Advice:
    """The beans for a fortnight of so many doubles a day, to the next 250 g."""
    grams = positive("drinks a day", drinks_per_day, "count") * dose_g * DAYS_BOUGHT
    bags = math.ceil(grams / 250 - 0.1)
    return Advice(f"About {units.show(250 * max(1, bags), 'g')} for two weeks: {drinks_per_day:g} doubles a "
                  f"day of {units.show(dose_g, 'g')} each.")


def jug_told(*, jug_ml: float) -> Advice:
    """The milk for a jug told."""
    milk = advice.jug_milk(jug_ml=jug_ml)
    return Advice(f"Into a jug of {units.show(jug_ml, 'ml')} go {milk} of cold milk.")
