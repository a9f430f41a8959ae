"""The functions that knowledge files may call by name, with the unit of every parameter.

A measure of a chapter names one of these and says which observations feed it. The
functions themselves are imported when first called, so that looking costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from diagnose.compute import units
from diagnose.compute.estimate import Estimate

TEXT = "text"
"""Unit of a result that is said, never compared."""


@dataclass(frozen=True)
class Function:
    """A function of this package as knowledge sees it."""

    name: str
    unit: str
    given: Mapping[str, str]
    """Parameter to unit; `date`, `word`, `shots` and `weighings` are no numbers."""
    optional: frozenset[str] = frozenset()

    @property
    def needs(self) -> set[str]:
        """The parameters that must be given."""
        return set(self.given) - self.optional

    def load(self) -> Callable[..., Any]:
        """The function itself."""
        module, name = self.name.rsplit(".", 1)
        return getattr(import_module(f"diagnose.compute.{module}"), name)


def _table(*functions: Function) -> dict[str, Function]:
    return {function.name: function for function in functions}


def _f(name: str, unit: str, optional: str = "", **given: str) -> Function:
    return Function(name, unit, given, frozenset(optional.split()))


CATALOGUE: dict[str, Function] = _table(
    _f("shot.brew_ratio", "ratio", dose_g="g", yield_g="g"),
    _f("shot.yield_for", "g", dose_g="g", ratio="ratio"),
    _f("shot.dose_for", "g", yield_g="g", ratio="ratio"),
    _f("shot.mass_flow_g_s", "g/s", yield_g="g", shot_time_s="s"),
    _f("shot.scaled_time", "s", shot_time_s="s", yield_g="g", aim_yield_g="g"),
    _f("shot.volume_to_mass", "g", volume_ml="ml"),
    _f("shot.extraction_yield_percent", "percent", dose_g="g", yield_g="g",
       tds_percent="percent"),
    _f("advice.grind_move", TEXT, "shots", shot_time_s="s", aim_low_s="s", aim_high_s="s",
       shots="shots"),
    _f("advice.timer_setting", "s", aim_dose_g="g", dose_g="g", timer_s="s"),
    _f("advice.purge", "g", "held_g", held_g="g"),
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
    _f("boiler.steam_temperature_c", "C", gauge_bar="bar"),
    _f("boiler.boiling_point_c", "C", altitude_m="m"),
    _f("boiler.flush_ml", "ml", "target_c", idle_min="min", gauge_bar="bar", target_c="C"),
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


def said(value: Any, unit: str) -> str:
    """A result in plain words: the number with its unit, its span and where it comes from."""
    if isinstance(value, str):
        return value
    if not isinstance(value, Estimate):
        return units.show(value, unit)
    own = value.unit if units.known(value.unit) else unit
    middle, low, high = (units.show(v, own) for v in (value.value, value.low, value.high))
    if low == high:
        return f"{middle} ({value.basis})" if value.basis else middle
    return f"{middle} ({low} to {high}; {value.basis})"
