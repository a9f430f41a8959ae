"""The functions that knowledge files may call by name, with the unit of every parameter.

A measure of a chapter names one of these and says which observations feed it. The
functions themselves are imported when first called, so that looking costs nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from diagnose.compute import units
from diagnose.compute.estimate import Advice, Estimate

TEXT = "text"
"""Unit of a result that is said, never compared."""
NO_NUMBERS = ("date", "word", "shots", "weighings", "use")
"""What a parameter may be besides a quantity: a date, a choice's answer, or the notebook's."""
OWN = "from your "
"""How a basis begins that rests on the person's own notes: it is said inside the step."""


@dataclass(frozen=True)
class Function:
    """A function of this package as knowledge sees it."""

    name: str
    unit: str
    given: Mapping[str, str]
    """Parameter to unit; those of `NO_NUMBERS` are none."""
    optional: frozenset[str] = frozenset()

    @property
    def needs(self) -> set[str]:
        """The parameters that must be given."""
        return set(self.given) - self.optional

    def load(self) -> Callable[..., Any]:
        """The function itself."""
        module, name = self.name.rsplit(".", 1)
        found: Callable[..., Any] = getattr(import_module(f"diagnose.compute.{module}"), name)
        return found


def _table(*functions: Function) -> dict[str, Function]:
    return {function.name: function for function in functions}


def _f(name: str, unit: str, optional: str = "", **given: str) -> Function:
    return Function(name, unit, given, frozenset(optional.split()))


_HARD = "mg/L CaCO3"

CATALOGUE: dict[str, Function] = _table(
    _f("shot.brew_ratio", "ratio", dose_g="g", yield_g="g"),
    _f("shot.yield_for", "g", dose_g="g", ratio="ratio"),
    _f("shot.dose_for", "g", yield_g="g", ratio="ratio"),
    _f("shot.mass_flow_g_s", "g/s", yield_g="g", shot_time_s="s"),
    _f("shot.scaled_time", "s", shot_time_s="s", yield_g="g", aim_yield_g="g"),
    _f("shot.volume_to_mass", "g", volume_ml="ml"),
    _f("shot.extraction_yield_percent", "percent", dose_g="g", yield_g="g",
       tds_percent="percent"),
    _f("advice.grind_move", TEXT, "shots marks", shot_time_s="s", aim_low_s="s", aim_high_s="s",
       shots="shots", marks="word"),
    _f("advice.seconds_per_mark", "s", "shots shot_time_s marks", shots="shots", shot_time_s="s",
       marks="word"),
    _f("advice.timer_setting", "s", "dose_g timer_s weighings", aim_dose_g="g", dose_g="g",
       timer_s="s", weighings="weighings"),
    _f("advice.timed_dose", "g", "weighings marks", dose_g="g", marks_finer="marks",
       weighings="weighings", marks="word"),
    _f("advice.timer_drift", TEXT, "weighings", weighings="weighings"),
    _f("advice.purge", "g", "held_g", held_g="g"),
    _f("advice.bean_phase", TEXT, "days_open", roast="word", days="days", days_open="days"),
    _f("worked.finer_or_coarser", TEXT, "dose_g yield_g shots marks", shot_time_s="s", aim_low_s="s",
       aim_high_s="s", single_low_s="s", single_high_s="s", single_dose_g="g", ratio="ratio", dose_g="g",
       yield_g="g", shots="shots", marks="word"),
    _f("worked.drink_from_dose", TEXT, dose_g="g", ratio="ratio", single_dose_g="g", single_low_s="s",
       single_high_s="s", aim_low_s="s", aim_high_s="s"),
    _f("worked.short_and_long", TEXT, dose_g="g"),
    _f("worked.ratio_told", TEXT, dose_g="g", yield_g="g", low="ratio", high="ratio", ratio="ratio"),
    _f("worked.timer_reset", TEXT, "wanted_g", dose_g="g", timer_s="s", aim_dose_g="g", wanted_g="g"),
    _f("worked.hardness_told", TEXT, hardness_mg_l=_HARD, low_mg_l=_HARD, high_mg_l=_HARD),
    _f("worked.descale_told", TEXT, hardness_mg_l=_HARD, low_mg_l=_HARD, high_mg_l=_HARD),
    _f("worked.pressure_told", TEXT, "shot_time_s", pressure_bar="bar", low_bar="bar", high_bar="bar",
       shot_time_s="s", aim_low_s="s", aim_high_s="s"),
    _f("worked.beans_told", TEXT, days="days", rest_low="days", rest_high="days", fresh_high="days"),
    _f("worked.beans_to_buy", TEXT, drinks_per_day="count", dose_g="g"),
    _f("worked.jug_told", TEXT, jug_ml="ml"),
    _f("timer.new_setting_s", "s", aim_dose_g="g", weighings="weighings"),
    _f("timer.dose_after_grind_change", "g", dose_g="g", marks_finer="marks"),
    _f("retention.purge_g", "g", held_g="g"),
    _f("retention.held_g", "g", beans_in_g="g", grounds_out_g="g"),
    _f("beans.days_since", "days", "today", roast_date="date", today="date"),
    _f("milk.wand_time_s", "s", "power_w rate_g_s boiler_pressure_bar_g", milk_g="g",
       start_c="C", end_c="C", power_w="W", rate_g_s="g/s", boiler_pressure_bar_g="bar"),
    _f("milk.steam_needed_g", "g", "boiler_pressure_bar_g", milk_g="g", start_c="C", end_c="C",
       boiler_pressure_bar_g="bar"),
    _f("milk.final_volume_ml", "ml", "steam_g", milk_ml="ml", froth_percent="percent",
       steam_g="g"),
    _f("milk.froth_percent", "percent", liquid_ml="ml", frothed_ml="ml"),
    _f("milk.air_for", "ml", drink_ml="ml", froth_mm="mm", cup_diameter_mm="mm"),
    _f("milk.stop_at_c", "C", target_c="C", overshoot_c="K"),
    _f("advice.jug_milk", TEXT, jug_ml="ml"),
    _f("milk.dilution_percent", "percent", milk_g="g", steam_g="g"),
    _f("boiler.steam_temperature_c", "C", gauge_bar="bar"),
    _f("boiler.boiling_point_c", "C", altitude_m="m"),
    _f("boiler.flush_ml", "ml", "target_c", idle_min="min", gauge_bar="bar", target_c="C"),
    _f("water_advice.brew_temperature", "C", gauge_bar="bar", machine="word"),
    _f("water.tds_mg_l", "mg/L", conductivity_us_cm="uS/cm"),
    _f("water.langelier_index", "count", ph="count", temperature_c="C",
       calcium_mg_l_caco3=_HARD, alkalinity_mg_l_caco3=_HARD, tds_mg_l="mg/L"),
    _f("water.ryznar_index", "count", ph="count", temperature_c="C",
       calcium_mg_l_caco3=_HARD, alkalinity_mg_l_caco3=_HARD, tds_mg_l="mg/L"),
    _f("hardness.name", TEXT, hardness_mg_l=_HARD),
    _f("water_advice.hardness_words", TEXT, hardness_mg_l=_HARD),
    _f("water_advice.probe_words", TEXT, conductivity_us_cm="uS/cm"),
    _f("water_advice.corrosion_words", TEXT, "calcium_mg_l chloride_mg_l ph",
       alkalinity_mg_l=_HARD, calcium_mg_l=_HARD, chloride_mg_l="mg/L", ph="count"),
    _f("water_advice.blend_litres", "l", alkalinity_mg_l=_HARD, aim_mg_l=_HARD),
    _f("water_advice.blend_percent", "percent", a_mg_l=_HARD, b_mg_l=_HARD, aim_mg_l=_HARD),
    _f("water_advice.scale_per_litre", "mg", "ph", hardness_mg_l=_HARD, alkalinity_mg_l=_HARD,
       boiler_c="C", ph="count"),
    _f("water_advice.scale_interval", "days", "ph use drinks_per_day", hardness_mg_l=_HARD,
       alkalinity_mg_l=_HARD, boiler_c="C", ph="count", use="use", drinks_per_day="count"),
    _f("scale.per_month_g", "g", per_litre_mg="mg", litres_per_day="l"),
    _f("water_advice.cartridge_litres", "l", rated_l="l", rated_hardness_mg_l=_HARD,
       hardness_mg_l=_HARD),
    _f("water_advice.cartridge_days", "days", "use drinks_per_day", rated_l="l",
       rated_hardness_mg_l=_HARD, hardness_mg_l=_HARD, use="use", drinks_per_day="count"),
    _f("jobs.upkeep_due", TEXT, "use detergent_days gasket_days cartridge_l", use="use",
       detergent_days="days", gasket_days="days", cartridge_l="l"),
)


class NotComputable(ValueError):
    """Numbers were there, but they can't be right together: one plain sentence."""


def call(function: Function, given: Mapping[str, Any]) -> Any:
    """Call with values already in the function's units.

    Raises NotComputable with the reason where the function refuses the numbers.
    """
    try:
        return function.load()(**given)
    except ValueError as error:
        raise NotComputable(str(error)) from None


def said(value: Any, unit: str, own: bool = True) -> str:
    """A result in plain words, short enough for a step: the number, its unit, its span.

    Where it comes from is `basis`; only what rests on the person's `own` notes says so here.
    """
    if isinstance(value, str):
        return value
    if isinstance(value, Advice):
        return value.text + (f" ({_own(value.basis)})" if own and _own(value.basis) else "")
    if not isinstance(value, Estimate):
        return units.show(value, unit)
    stated = value.unit if units.known(value.unit) else unit
    middle = units.show(value.value, stated)
    span = units.span(value.low, value.high, stated)
    parts = (span if span != middle else "", _own(value.basis) if own else "")
    aside = "; ".join(part for part in parts if part)
    return f"{middle} ({aside})" if aside else middle


def basis(value: Any) -> str:
    """Where a result comes from; empty where it simply follows from the numbers given."""
    return value.basis.rstrip(".") if isinstance(value, Advice | Estimate) else ""


def _own(basis: str) -> str:
    """The short phrase on the person's own notes with which a basis begins."""
    if not basis.startswith(OWN):
        return ""
    return re.split(r"[,;:.]", basis, maxsplit=1)[0]
