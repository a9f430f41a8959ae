"""Hardness and alkalinity: the units labels use, the sum from the ions, the classes.

Everything inside is mg/L as calcium carbonate. Hardness is calcium and magnesium; alkalinity
(carbonate hardness on many labels) is bicarbonate and carbonate; scale takes both calcium
and alkalinity. Factors and their sources: `unit_table`.
"""

from __future__ import annotations

from diagnose.compute.errors import ComputeError, not_negative
from diagnose.compute.units import convert

CACO3 = "mg/L CaCO3"
UNITS = (CACO3, "dH", "fH", "eH", "gpg", "mmol/L", "meq/L", "mg/L Ca", "mg/L Mg", "mg/L HCO3")

CLASSES = ((60.0, "soft"), (120.0, "moderately hard"), (180.0, "hard"))
"""Upper edges in mg/L as CaCO3, US Geological Survey; above the last is "very hard"."""

ROUNDING = 0.02
"""How far calcium may stand above the total before it is no rounding (our choice)."""


def to_caco3(value: float, unit: str) -> float:
    """Return hardness or alkalinity in mg/L as CaCO3; UnitError for a unit of another kind."""
    return convert(not_negative("hardness", value, unit), unit, CACO3)


def from_caco3(value_mg_l: float, unit: str) -> float:
    """Return mg/L as CaCO3 in another unit of hardness; UnitError for another kind."""
    return convert(not_negative("hardness", value_mg_l, CACO3), CACO3, unit)


def total(calcium_mg_l: float, magnesium_mg_l: float) -> float:
    """Return total hardness, mg/L as CaCO3, from the two ions in mg/L as such."""
    return to_caco3(calcium_mg_l, "mg/L Ca") + to_caco3(magnesium_mg_l, "mg/L Mg")


def magnesium(total_mg_l: float, calcium_mg_l: float) -> float:
    """Return the magnesium part of a total hardness, all in mg/L as CaCO3.

    ComputeError when the calcium alone is more than the total.
    """
    not_negative("total hardness", total_mg_l, CACO3)
    not_negative("calcium hardness", calcium_mg_l, CACO3)
    if calcium_mg_l > total_mg_l * (1.0 + ROUNDING):
        raise ComputeError(
            f"A total hardness of {total_mg_l:g} and a calcium hardness of {calcium_mg_l:g}"
            " mg/L as CaCO3 cannot both be right: the calcium is part of the total, so check"
            " the units of the two."
        )
    return max(0.0, total_mg_l - calcium_mg_l)


def name(hardness_mg_l: float) -> str:
    """Return "soft", "moderately hard", "hard" or "very hard" for mg/L as CaCO3."""
    not_negative("hardness", hardness_mg_l, CACO3)
    return next((word for edge, word in CLASSES if hardness_mg_l <= edge), "very hard")
