"""What a boiler's gauge says of its temperature, boiling where you live, the cooling flush."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.calc.form import Given, Result, Results, Subject, option, word
from diagnose.compute import boiler, units
from diagnose.compute.errors import ComputeError

STEAM = "saturated steam over water, the air let out"
WARNING = ("WARNING: water and steam above 100 °C scald; the safety valve and the pressure setting "
           "are a technician's.")


def _work(given: Given) -> Results:
    return Results([*_place(given), *_gauge(given), *_flush(given)],
                   remarks=[WARNING] if given.gauge is not None or given.temperature else [])


def _place(given: Given) -> Iterator[Result]:
    if given.has("altitude"):
        yield Result("boils", "Water boils in the open at", boiler.boiling_point_c(given.altitude), "C",
                     "ISO 2533 standard air; weather moves it by about 1 degree")


def _gauge(given: Given) -> Iterator[Result]:
    height = given.altitude or 0.0
    where = STEAM if given.altitude else f"{STEAM}; at sea level, as no --altitude is given"
    if given.has("gauge"):
        steam = boiler.steam_temperature_c(given.gauge, height)
        if given.temperature is not None:
            _fits(given.gauge, given.temperature, height)
        yield Result("steam", "Steam boiler at that reading", steam, "C", where)
        if given.has("kind"):
            yield Result("brew", "Brew water at the group", boiler.brew_temperature(
                given.gauge, given.kind.replace("-", " "), height, given.feed), "C")
    elif given.has("temperature"):
        yield Result("gauge", "The gauge of a steam boiler would show", boiler.gauge_pressure_bar(
            given.temperature, height), "bar", where)


def _fits(gauge: float, temperature: float, height: float) -> None:
    """Refuse a gauge and a temperature that water and steam can't show together."""
    steam = boiler.steam_temperature_c(gauge, height)
    if abs(steam - temperature) > 5:
        raise ComputeError(
            f"A gauge of {units.show(gauge, 'bar')} and a boiler of {units.show(temperature, 'C')} "
            f"cannot both be right: steam at that reading is {units.show(steam, 'C')}. Check the "
            "gauge, and let the air out of the boiler.")


def _flush(given: Given) -> Iterator[Result]:
    if given.idle is not None and given.has("gauge"):
        yield Result("flush", "Let out of the group before the shot", boiler.flush_ml(
            given.idle, given.gauge, given.target or 93.0, given.altitude or 0.0, given.exchanger), "ml",
            "for a heat-exchanger machine")


SUBJECT = Subject("boiler", "gauge and temperature, boiling by altitude, the cooling flush", (
    option("gauge", "bar", "steam gauge reading, bar above the air's", low=-5, high=20),
    option("temperature", "C", "temperature of the boiler", high=300),
    option("altitude", "m", "height of the kitchen above the sea", low=-1000, high=9000),
    word("kind", "kind of machine", "single-boiler", "heat-exchanger", "double-boiler"),
    option("feed", "C", "water going in", high=100),
    option("idle", "min", "how long it stood unused", high=10000),
    option("target", "C", "brew temperature wanted (93 C)", high=120),
    option("exchanger", "ml", "what the heat exchanger holds", low=1, high=2000),
), _work)
