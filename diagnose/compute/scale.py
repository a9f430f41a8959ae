"""Scale: how much a water lays down, and how long until it must come out or be kept out.

Masses are calcium carbonate. No published limit says how much scale calls for descaling; the
10 g used here is an illustration to be replaced by what a machine showed. Descaling acids
burn eyes and must never meet chlorine bleach; the maker's instructions come first.
"""

from __future__ import annotations

from diagnose.compute import units
from diagnose.compute.errors import ComputeError, not_negative, positive
from diagnose.compute.estimate import Estimate
from diagnose.compute.unit_table import MOLAR_MASS
from diagnose.compute.water import precipitation_potential_mg_l

ALLOWED_G = 10.0
CALCITE_G_CM3 = 2.71
LONGEST_DAYS = 730.0
"""Longer than this is not promised, however soft the water (our choice)."""
STICKS = 0.5
"""The least share of the settled scale that stays in the machine (our choice)."""
DAYS_A_MONTH = 365.25 / 12

ACIDS = {
    "citric acid": (192.123, 2),
    "citric acid monohydrate": (210.138, 2),
    "sulfamic acid": (97.094, 1),
    "lactic acid": (90.078, 1),
}
"""Grams in a mole and protons to count on: the third proton of citric acid is too weak."""


def most_per_litre_mg(calcium_mg_l_caco3: float, alkalinity_mg_l_caco3: float) -> float:
    """Return the most scale a litre can give, mg: Ca + 2 HCO3 -> CaCO3 + CO2 + H2O.

    Both as mg/L CaCO3; the scarcer of the two sets the bound.
    """
    return min(
        not_negative("calcium hardness", calcium_mg_l_caco3, "mg/L"),
        not_negative("alkalinity", alkalinity_mg_l_caco3, "mg/L"),
    )


def per_litre_mg(
    ph: float,
    calcium_mg_l_caco3: float,
    alkalinity_mg_l_caco3: float,
    boiler_c: float,
    magnesium_mg_l_caco3: float = 0.0,
    steam: bool = False,
) -> Estimate:
    """Return the scale a litre of water leaves at ``boiler_c``, mg.

    A brew boiler is closed: calcite settles to saturation, of which at least half is taken
    to stick, and at most what a vented boiler would give. A steam boiler (``steam``) loses
    carbon dioxide with the steam and keeps the minerals: nearly all that can settle does.
    ComputeError as `water.precipitation_potential_mg_l`.
    """
    closed, vented = (
        precipitation_potential_mg_l(
            ph,
            calcium_mg_l_caco3,
            alkalinity_mg_l_caco3,
            boiler_c,
            magnesium_mg_l_caco3,
            vented=open_,
        )
        for open_ in (False, True)
    )
    most = most_per_litre_mg(calcium_mg_l_caco3, alkalinity_mg_l_caco3)
    if steam:
        return Estimate(
            max(closed, vented),
            min(closed, vented),
            most,
            "mg",
            "from the water, in a boiler that gives steam",
        )
    return Estimate(
        closed, STICKS * closed, max(closed, vented), "mg", "from the water, in a closed boiler"
    )


def per_month_g(per_litre_mg: float, litres_per_day: float) -> float:
    """Return the scale laid down in a month of 30.4 days, g."""
    litres = positive("litres a day", litres_per_day, "l") * DAYS_A_MONTH
    return not_negative("scale a litre", per_litre_mg, "mg") * litres / 1000.0


def interval_days(
    per_litre: Estimate, litres_per_day: float, allowed_g: float = ALLOWED_G
) -> Estimate:
    """Return the days until ``allowed_g`` of scale has built up.

    The more scale a litre gives, the sooner: high and low of ``per_litre`` change places.
    Nothing beyond two years is promised. ComputeError unless ``per_litre`` is in mg.
    """
    if per_litre.unit != "mg":
        raise ComputeError(f'The scale a litre is in "{per_litre.unit}" but must be in "mg".')
    litres = positive("litres a day", litres_per_day, "l")
    grams = positive("scale allowed", allowed_g, "g")
    low, value, high = (
        _days(1000.0 * grams, mg * litres)
        for mg in (per_litre.high, per_litre.value, per_litre.low)
    )
    allowed = units.show(grams, "g")
    what = "scale (an example, not a limit)" if allowed_g == ALLOWED_G else "scale"
    return Estimate(value, low, high, "days", f"until {allowed} of {what}, {per_litre.basis}")


def cartridge_days(
    rated_l: float, rated_hardness: float, hardness: float, litres_per_day: float
) -> Estimate:
    """Return how long a softening cartridge lasts, in days.

    It holds a fixed amount: ``rated_l`` litres at ``rated_hardness`` are fewer litres of a
    harder water, in proportion (both hardnesses in one unit, those of the label; common
    practice). The span is a quarter less to a tenth more, as cartridges leak towards the end.
    """
    holds = positive("rated litres", rated_l, "l") * positive("rated hardness", rated_hardness)
    daily = positive("hardness", hardness) * positive("litres a day", litres_per_day, "l")
    days = _days(holds, daily)
    return Estimate(
        days, 0.75 * days, 1.1 * days, "days", "from the cartridge's label and the water"
    )


def thickness_um(scale_g: float, area_cm2: float) -> float:
    """Return how thick scale lies over an area, in micrometres, if it were solid calcite.

    Real scale is porous and thicker. Density 2.71 g/cm³.
    """
    mass = not_negative("scale", scale_g, "g")
    return 1e4 * mass / CALCITE_G_CM3 / positive("area", area_cm2, "cm²")


def acid_needed_g(scale_g: float, acid: str = "citric acid") -> float:
    """Return the least acid that dissolves the scale, g: CaCO3 + 2 H+ -> Ca + CO2 + H2O.

    A real descale needs more, to keep its strength; follow the product's label. ComputeError
    for an acid not in `ACIDS`.
    """
    if acid not in ACIDS:
        raise ComputeError(f'"{acid}" is no acid known here: write one of {", ".join(ACIDS)}.')
    molar_mass, protons = ACIDS[acid]
    return not_negative("scale", scale_g, "g") * 2.0 / protons * molar_mass / MOLAR_MASS["CaCO3"]


def _days(capacity: float, daily: float) -> float:
    return LONGEST_DAYS if daily * LONGEST_DAYS <= capacity else capacity / daily
