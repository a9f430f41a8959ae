"""What knowledge may call: every row fits its function, and every function works."""

from __future__ import annotations

import inspect
from datetime import date
from typing import Any

import pytest

from diagnose.compute import registry, units
from diagnose.compute.estimate import Advice, Estimate
from diagnose.compute.grinder import Shot
from diagnose.compute.registry import CATALOGUE, NO_NUMBERS, TEXT, Function, basis, said
from diagnose.compute.timer import Weighing
from diagnose.compute.upkeep import UseCounts

PLAUSIBLE: dict[str, Any] = {
    "dose_g": 18.0, "yield_g": 36.0, "shot_time_s": 22.0, "ratio": 2.0, "aim_yield_g": 40.0,
    "volume_ml": 40.0, "tds_percent": 9.0, "aim_low_s": 26.0, "aim_high_s": 32.0,
    "aim_dose_g": 18.0, "timer_s": 9.0, "held_g": 2.0, "beans_in_g": 18.0, "grounds_out_g": 17.2,
    "marks_finer": 2.0, "roast_date": date(2026, 3, 1), "today": date(2026, 3, 12),
    "milk_g": 150.0, "start_c": 5.0, "end_c": 62.0, "power_w": 1200.0, "boiler_pressure_bar_g": 1.1,
    "milk_ml": 150.0, "froth_percent": 40.0, "steam_g": 14.0, "liquid_ml": 150.0, "frothed_ml": 200.0,
    "drink_ml": 180.0, "froth_mm": 10.0, "cup_diameter_mm": 80.0, "target_c": 62.0,
    "overshoot_c": 3.0, "pressure_bar": 5.0, "low_bar": 8.0, "high_bar": 10.0, "jug_ml": 600.0, "gauge_bar": 1.1, "altitude_m": 500.0, "idle_min": 10.0,
    "conductivity_us_cm": 400.0, "ph": 7.6, "temperature_c": 93.0, "calcium_mg_l_caco3": 140.0,
    "alkalinity_mg_l_caco3": 150.0, "tds_mg_l": 300.0, "hardness_mg_l": 180.0,
    "alkalinity_mg_l": 150.0, "calcium_mg_l": 140.0, "chloride_mg_l": 20.0, "aim_mg_l": 45.0,
    "a_mg_l": 150.0, "b_mg_l": 0.0, "boiler_c": 93.0, "drinks_per_day": 4.0, "per_litre_mg": 44.0,
    "litres_per_day": 2.0, "rated_l": 100.0, "rated_hardness_mg_l": 180.0, "detergent_days": 7.0,
    "gasket_days": 364.0, "cartridge_l": 72.0, "days": 12.0, "days_open": 3.0,
    "roast": "medium", "machine": "heat_exchanger", "marks": "higher_finer",
    "shots": [Shot(10, 20, 18, 36), Shot(12, 24, 18, 36), Shot(13, 27, 18, 36), Shot(14, 29, 18, 36)],
    "weighings": [Weighing(9.0, 17.8, 12.0)] * 7,
    "use": UseCounts(120, 30.0, 40.0, 2.2), "single_low_s": 26.0, "single_high_s": 30.0, "single_dose_g": 10.0,
    "low": 1.8, "high": 2.3, "low_mg_l": 50.0, "high_mg_l": 120.0, "rest_low": 6.0, "rest_high": 12.0,
    "fresh_high": 42.0, "wanted_g": 18.0,
}
PLAUSIBLE_FOR = {"boiler.flush_ml": {"target_c": 93.0}, "milk.wand_time_s": {"rate_g_s": None}}
ROWS = list(CATALOGUE.values())


def _given(row: Function) -> dict[str, Any]:
    values = {p: PLAUSIBLE_FOR.get(row.name, {}).get(p, PLAUSIBLE.get(p)) for p in row.given}
    return {p: v for p, v in values.items() if v is not None}


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r.name)
def test_a_row_states_the_parameters_of_its_function(row: Function) -> None:
    signature = inspect.signature(row.load()).parameters
    assert set(row.given) <= set(signature)
    without_default = {n for n, p in signature.items() if p.default is inspect.Parameter.empty}
    assert without_default <= row.needs | {"today"}
    assert row.optional <= set(row.given)
    # `today` stands in for the calendar, whether or not the function has a default for it
    assert all(signature[n].default is not inspect.Parameter.empty for n in row.optional - {"today"})


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r.name)
def test_a_row_states_units_that_exist(row: Function) -> None:
    assert row.unit == TEXT or units.known(row.unit)
    assert all(u in NO_NUMBERS or units.known(u) for u in row.given.values())


SUFFIXES = {"_g": "g", "_s": "s", "_ml": "ml", "_c": "C", "_bar": "bar", "_mm": "mm", "_w": "W",
            "_mg_l": "mg/L CaCO3", "_caco3": "mg/L CaCO3", "_us_cm": "uS/cm", "_percent": "percent",
            "_m": "m", "_min": "min", "_l": "l", "_g_s": "g/s"}
"""How a parameter's name states its unit; the longest that fits counts."""
APART = {"overshoot_c": "K", "chloride_mg_l": "mg/L", "tds_mg_l": "mg/L", "per_litre_mg": "mg",
         "boiler_pressure_bar_g": "bar"}


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r.name)
def test_a_units_row_agrees_with_the_name_of_the_parameter(row: Function) -> None:
    for parameter, unit in row.given.items():
        ends = [s for s in SUFFIXES if parameter.endswith(s)]
        if unit in NO_NUMBERS or not (ends or parameter in APART):
            continue
        assert unit == APART.get(parameter, SUFFIXES[max(ends, key=len)] if ends else ""), parameter


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r.name)
def test_a_function_works_on_plausible_values(row: Function) -> None:
    value = registry.call(row, _given(row))
    assert value is not None
    text = said(value, row.unit)
    assert text and "\n" not in text and len(text) < 260
    if isinstance(value, Estimate):
        assert value.low <= value.value <= value.high
        assert not units.known(value.unit) or units.kind(value.unit) == units.kind(row.unit)
    elif row.unit == TEXT:
        assert isinstance(value, str | Advice)


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r.name)
def test_a_function_works_on_what_it_needs_alone(row: Function) -> None:
    needed = {p: v for p, v in _given(row).items() if p in row.needs or p == "today"}
    if row.name == "milk.wand_time_s":
        with pytest.raises(registry.NotComputable):
            registry.call(row, needed)
    else:
        registry.call(row, needed)


def test_an_estimate_in_a_step_says_value_and_span_only() -> None:
    held = Estimate(4.0, 2.0, 6.0, "g", "from 2 g held, between in order and well mixed")
    assert said(held, "g") == "4 g (2 to 6 g)"
    assert basis(held) == "from 2 g held, between in order and well mixed"


def test_what_rests_on_own_notes_says_so_in_the_step() -> None:
    setting = Estimate(9.4, 9.2, 9.6, "s", "from your last 3 weighings, all of this week")
    assert said(setting, "s") == "9.4 s (9.2 to 9.6 s; from your last 3 weighings)"
    assert said(Advice("2 marks finer", "from your last 4 shots. More."), TEXT) == (
        "2 marks finer (from your last 4 shots)")
    assert said(Advice("2 marks finer", "a default, no shots logged yet"), TEXT) == "2 marks finer"


def test_a_value_without_span_is_said_plainly() -> None:
    assert said(2.0, "ratio") == "1:2"
    assert said(Estimate(9.5, 9.5, 9.5, "s", "from the dose just weighed"), "s") == "9.5 s"
