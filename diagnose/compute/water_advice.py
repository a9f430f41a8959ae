"""Numbers for a remedy's steps about water and heat, each with where it comes from.

A function returns None where it has nothing to say; what to say then is the knowledge's
business.
"""

from __future__ import annotations

from dataclasses import replace

from diagnose.compute import boiler, hardness, scale, units, water
from diagnose.compute.errors import not_negative, positive
from diagnose.compute.estimate import Advice, Estimate
from diagnose.compute.upkeep import UseCounts

USUAL_PH = 7.5
"""Tap water whose pH is not known: common practice, no source."""
LITRES_A_SHOT = 0.1
"""Water a shot takes with its flush and the steam for milk: common practice, no source."""
FEWEST_DAYS = 3.0
"""Less than this many days of notes says nothing of a usual day (our choice)."""
MIX_L = 10.0

PROBE = {"sees": "a level probe surely sees it",
         "doubtful": "so pure that a level probe may not see it",
         "blind": "too pure for a level probe"}


def blend_litres(*, alkalinity_mg_l: float, aim_mg_l: float) -> Estimate | None:
    """Litres of the house's water in 10 l of a mix with pure water; None if it has too little.

    Linear mixing is exact for alkalinity. The span is a strip's or drop test's 10 % either way
    (common practice, no source).
    """
    own = not_negative("alkalinity", alkalinity_mg_l, "mg/L")
    aim = positive("alkalinity aimed at", aim_mg_l, "mg/L")
    if own <= aim:
        return None
    litres = MIX_L * water.blend(own, 0.0, aim)
    return Estimate(litres, litres / 1.1, min(MIX_L, litres / 0.9), "l",
                    "mixed with pure water, a test's 10 % either way")


def blend_percent(*, a_mg_l: float, b_mg_l: float, aim_mg_l: float) -> float:
    """Percent of the first water in its mix with the second; ComputeError as `water.blend`."""
    return 100.0 * water.blend(a_mg_l, b_mg_l, aim_mg_l)


def hardness_words(*, hardness_mg_l: float) -> Advice:
    """A hardness by its class and in the units that labels use."""
    shown = [units.show(units.convert(hardness_mg_l, hardness.CACO3, u), u)
             for u in (hardness.CACO3, "dH", "fH")]
    return Advice(f"{hardness.name(hardness_mg_l)}, {shown[0]} ({', '.join(shown[1:])})",
                  "classes of the US Geological Survey")


def probe_words(*, conductivity_us_cm: float) -> Advice:
    """What an electrode level probe makes of the water, in words."""
    return Advice(PROBE[water.probe(conductivity_us_cm)], "common practice, no source")


def corrosion_words(*, alkalinity_mg_l: float, calcium_mg_l: float | None = None,
                    chloride_mg_l: float | None = None, ph: float | None = None) -> Advice:
    """How the water leans towards corrosion, in words, with its reasons."""
    found = water.corrosion(alkalinity_mg_l, chloride_mg_l, calcium_mg_l_caco3=calcium_mg_l, ph=ph)
    words = {"none seen": "no sign of it in the figures", "watch": "worth watching",
             "likely": "likely"}[found.side]
    return Advice(words, "; ".join(found.reasons) or "none of the limits looked at is passed")


def litres_per_day(use: UseCounts | None = None, drinks_per_day: float | None = None
                   ) -> tuple[float, str] | None:
    """Litres a day and where they come from: the notebook, else the drinks told; None without."""
    if use is not None and use.days >= FEWEST_DAYS and use.litres:
        return use.litres / use.days, use.litres_basis
    if drinks_per_day:
        return LITRES_A_SHOT * drinks_per_day, "at 0.1 l for each shot you make"
    return None


def scale_per_litre(*, hardness_mg_l: float, alkalinity_mg_l: float, boiler_c: float,
                    ph: float = USUAL_PH) -> Estimate:
    """Scale a litre leaves in a closed boiler, mg, all of the hardness taken for calcium."""
    found = scale.per_litre_mg(ph, hardness_mg_l, alkalinity_mg_l, boiler_c)
    return replace(found, basis=f"{found.basis}, all its hardness taken for calcium, pH {ph:g}")


def scale_interval(*, hardness_mg_l: float, alkalinity_mg_l: float, boiler_c: float,
                   ph: float = USUAL_PH, use: UseCounts | None = None,
                   drinks_per_day: float | None = None) -> Estimate | None:
    """Days until 10 g of scale would have settled at this use; None where the use is unknown.

    Ten grams are an example, not a limit: see `scale.ALLOWED_G`.
    """
    daily = litres_per_day(use, drinks_per_day)
    if daily is None:
        return None
    litre = scale_per_litre(hardness_mg_l=hardness_mg_l, alkalinity_mg_l=alkalinity_mg_l,
                            boiler_c=boiler_c, ph=ph)
    found = scale.interval_days(litre, daily[0])
    return replace(found, basis=f"{daily[1]}; {found.basis}")


def cartridge_litres(*, rated_l: float, rated_hardness_mg_l: float, hardness_mg_l: float
                     ) -> Estimate:
    """Litres a cartridge lasts at this hardness, from those of its pack, in proportion."""
    litres = (positive("litres of the pack", rated_l, "l")
              * positive("hardness of the pack", rated_hardness_mg_l, "mg/L")
              / positive("hardness", hardness_mg_l, "mg/L"))
    return Estimate(litres, 0.75 * litres, 1.1 * litres, "l",
                    "from the cartridge's pack and your hardness")


def cartridge_days(*, rated_l: float, rated_hardness_mg_l: float, hardness_mg_l: float,
                   use: UseCounts | None = None, drinks_per_day: float | None = None
                   ) -> Estimate | None:
    """Days a cartridge lasts at this hardness and use; None where the use is unknown."""
    daily = litres_per_day(use, drinks_per_day)
    if daily is None:
        return None
    found = scale.cartridge_days(rated_l, rated_hardness_mg_l, hardness_mg_l, daily[0])
    return replace(found, basis=f"{daily[1]}; {found.basis}")


def brew_temperature(*, gauge_bar: float, machine: str) -> Estimate | None:
    """The brew temperature a steam gauge lets one guess; None for a machine without one."""
    kind = machine.replace("_", " ")
    return boiler.brew_temperature(gauge_bar, kind) if kind in boiler.KINDS else None
