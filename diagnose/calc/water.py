"""What a water does to the machine: hardness, scale and its time, corrosion, probes, blending."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.calc.form import Given, Result, Results, Subject, option
from diagnose.compute import hardness, scale, water, water_advice
from diagnose.compute.estimate import Estimate
from diagnose.notebook.plot import Plot

BOILER_C, STEAM_C = 93.0, 122.0
"""A brew boiler; and a steam boiler at about 1.1 bar: common practice, no source."""
LONGEST_WEEKS = 52
WARNING = ("WARNING: descaling acid burns eyes and skin and must never meet chlorine bleach; the "
           "maker's word on descaling comes first.")


def _work(given: Given) -> Results:
    _balanced(given)
    results = [*_hardness(given), *_indices(given), *_corrosion(given), *_blend(given),
               *_cartridge(given)]
    litre = _litre(given)
    results += _scale(given, litre)
    plot = _plot(litre, given.litres) if litre and given.litres else None
    return Results(results, plot, [WARNING] if litre else [])


def _balanced(given: Given) -> None:
    """Refuse a whole analysis whose ions do not balance; a part of one can't be judged."""
    ions = {"calcium_mg_l": given.calcium, "magnesium_mg_l": given.magnesium,
            "sodium_mg_l": given.sodium, "bicarbonate_mg_l": given.alkalinity,
            "chloride_mg_l": given.chloride, "sulphate_mg_l": given.sulphate}
    if any(v is None for v in ions.values()):
        return
    change = {"calcium_mg_l": "mg/L Ca", "magnesium_mg_l": "mg/L Mg", "bicarbonate_mg_l": "mg/L HCO3"}
    water.ionic_balance_percent(nitrate_mg_l=given.nitrate or 0.0, potassium_mg_l=given.potassium or 0.0,
                                **{n: hardness.from_caco3(v, change[n]) if n in change else v
                                   for n, v in ions.items()})


def _total(given: Given) -> float | None:
    """Total hardness: as given, else the sum of calcium and magnesium."""
    if given.hardness is not None:
        if given.calcium is not None:
            hardness.magnesium(given.hardness, given.calcium)
        return float(given.hardness)
    if given.calcium is not None and given.magnesium is not None:
        return float(given.calcium + given.magnesium)
    return None


def _calcium(given: Given) -> tuple[float, str] | None:
    if given.calcium is not None:
        return given.calcium, ""
    total = _total(given)
    return None if total is None else (total, "all the hardness taken for calcium")


def _hardness(given: Given) -> Iterator[Result]:
    total = _total(given)
    if total is None:
        given.has("hardness")
        return
    yield Result("hardness", "Total hardness", water_advice.hardness_words(hardness_mg_l=total))
    if given.calcium is not None and given.hardness is not None:
        yield Result("magnesium", "Magnesium part", hardness.magnesium(total, given.calcium),
                     hardness.CACO3)


def _indices(given: Given) -> Iterator[Result]:
    if given.conductivity is not None:
        yield Result("tds", "Dissolved solids", water.tds_mg_l(given.conductivity), "mg/L")
        yield Result("probe", "Level probe", water_advice.probe_words(
            conductivity_us_cm=given.conductivity))
    calcium = _calcium(given)
    if calcium and given.has("alkalinity", "ph", "conductivity"):
        at = given.boiler or BOILER_C
        numbers = (given.ph, at, calcium[0], given.alkalinity, water.tds_mg_l(given.conductivity).value)
        rough = "; ".join(t for t in (f"at {at:g} °C, with the pH measured cold: a sign, not an amount",
                                      calcium[1]) if t)
        yield Result("langelier", "Langelier index (above 0 lays down scale)",
                     round(water.langelier_index(*numbers), 2), "count", rough)
        ryznar = water.ryznar_index(*numbers)
        yield Result("ryznar", f"Ryznar index ({water.ryznar_name(ryznar)})", round(ryznar, 2), "count",
                     rough)


def _litre(given: Given) -> Estimate | None:
    calcium = _calcium(given)
    if not calcium or not given.has("alkalinity"):
        return None
    ph = water_advice.USUAL_PH if given.ph is None else given.ph
    return scale.per_litre_mg(ph, calcium[0], given.alkalinity, given.boiler or BOILER_C)


def _scale(given: Given, litre: Estimate | None) -> list[Result]:
    if litre is None:
        return []
    said = "" if given.ph is not None else f"pH taken as {water_advice.USUAL_PH:g}"
    found = [Result("scale_litre", f"Scale from a litre at {given.boiler or BOILER_C:g} °C", litre, "mg",
                    said)]
    if given.has("litres"):
        allowed = given.allowed or scale.ALLOWED_G
        month, least, most = (scale.per_month_g(v, given.litres)
                              for v in (litre.value, litre.low, litre.high))
        found += [Result("scale_month", "Scale in a month",
                         Estimate(month, least, most, "g", litre.basis), "g"),
                  Result("interval", f"Until {allowed:g} g have settled", scale.interval_days(
                      litre, given.litres, allowed), "days")]
    return found


def _corrosion(given: Given) -> Iterator[Result]:
    if given.alkalinity is not None and (given.chloride is not None or given.ph is not None):
        yield Result("corrosion", "Corrosion", water_advice.corrosion_words(
            alkalinity_mg_l=given.alkalinity, calcium_mg_l=given.calcium,
            chloride_mg_l=given.chloride, ph=given.ph))


def _blend(given: Given) -> Iterator[Result]:
    if given.blend_with is not None and given.has("alkalinity", "aim"):
        share = water_advice.blend_percent(a_mg_l=given.alkalinity, b_mg_l=given.blend_with,
                                           aim_mg_l=given.aim)
        yield Result("blend", "Share of this water in the mix", share, "percent",
                     "by alkalinity, which mixes in proportion; the pH does not")


def _cartridge(given: Given) -> Iterator[Result]:
    total = _total(given)
    if given.rated is not None and given.has("rated_hardness") and total:
        numbers = {"rated_l": given.rated, "rated_hardness_mg_l": given.rated_hardness,
                   "hardness_mg_l": total}
        yield Result("cartridge", "A cartridge lasts", water_advice.cartridge_litres(**numbers), "l")
        if given.has("litres"):
            yield Result("cartridge_days", "At this use it lasts", scale.cartridge_days(
                given.rated, given.rated_hardness, total, given.litres), "days")


def _plot(litre: Estimate, litres: float) -> Plot:
    weekly = 7 * litres * litre.value / 1000
    end = LONGEST_WEEKS if weekly * LONGEST_WEEKS < scale.ALLOWED_G else max(
        4, round(scale.ALLOWED_G / weekly))
    return Plot(f"Scale builds up by about {weekly:.2g} g a week and comes to {weekly * end:.2g} g in "
                f"{end} weeks.", "weeks", "g", [(float(w), weekly * w) for w in range(end + 1)])


_CACO3 = hardness.CACO3
SUBJECT = Subject("water", "hardness, scale and its time, corrosion, probes, blending", (
    option("hardness", _CACO3, "total hardness", high=5000),
    option("calcium", _CACO3, "calcium, as CaCO3 or as mg/L Ca", high=5000),
    option("magnesium", _CACO3, "magnesium, as CaCO3 or as mg/L Mg", high=5000),
    option("alkalinity", _CACO3, "alkalinity or bicarbonate", high=5000),
    option("ph", "count", "pH, measured cold", low=0, high=14, bare=True),
    option("conductivity", "uS/cm", "conductivity", high=50000),
    option("chloride", "mg/L", "chloride", high=20000),
    option("sulphate", "mg/L", "sulphate", high=20000),
    option("sodium", "mg/L", "sodium", high=20000),
    option("potassium", "mg/L", "potassium", high=20000),
    option("nitrate", "mg/L", "nitrate", high=20000),
    option("boiler", "C", "boiler temperature (93 C)", high=200),
    option("litres", "l", "litres a day through the machine", low=0.01, high=1000),
    option("allowed", "g", "scale to allow (10 g, an example)", low=0.01, high=1000),
    option("blend-with", _CACO3, "alkalinity of the water to mix with (0 for pure)", high=5000),
    option("aim", _CACO3, "alkalinity of the mix", high=5000),
    option("rated", "l", "litres on the cartridge's pack", low=0.1, high=100000),
    option("rated-hardness", _CACO3, "hardness those litres are for", low=0.1, high=5000),
), _work)
