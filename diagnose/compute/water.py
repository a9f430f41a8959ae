"""What a water does to a machine: scale on the one side, corrosion on the other.

Hardness and alkalinity are in mg/L as CaCO3, ions in mg/L as themselves.

Two measures of scale live here. The Langelier index uses the pH as measured in the cold and
is quick and rough: on heating it rises faster than the truth. The precipitation potential
solves the carbonate equilibria at the boiler's temperature with the pH free to fall, and
gives milligrams. Calcite above 90 °C is extrapolated in both.
"""

from __future__ import annotations

from math import log10
from typing import NamedTuple

from diagnose.compute import carbonate
from diagnose.compute.errors import ComputeError, finite, not_negative, positive, within
from diagnose.compute.estimate import Estimate
from diagnose.compute.unit_table import MOLAR_MASS

HOTTEST_C = 140.0
MOST_IMBALANCE_PERCENT = 10.0
CACO3_MG_MOL = 1000.0 * MOLAR_MASS["CaCO3"]

RYZNAR_BANDS = (
    (5.5, "heavy scale"),
    (6.2, "scale"),
    (6.8, "neither scale nor corrosion"),
    (8.5, "aggressive"),
)
"""Upper edges of the Ryznar index as tabulated after Ryznar; above the last "very aggressive"."""

LARSON_BANDS = (0.8, 1.2)
"""Larson-Skold ratio: below the first corrosion is unlikely to speed up, above the second it
is likely to (as tabulated in P. Roberge, Corrosion Inspection and Monitoring, appendix B)."""

LOW_ALKALINITY = 20.0
LOW_CALCIUM = 17.0
"""Calcium below this leaves the window of the trade association's brewing-water standard,
17 to 85 mg/L as CaCO3; the alkalinity limit, half of that standard's 40, is common practice."""
LOW_PH = 6.5
HIGH_CHLORIDE = 50.0
"""Chloride that worries people with hot stainless steel: common practice, no source."""

BLIND_US_CM, SURE_US_CM = 10.0, 50.0
"""Conductivity below which a level probe hardly sees water, and from which it surely does:
common practice, no source; the electronics of each machine differ."""


class Corrosion(NamedTuple):
    """How a water leans towards corrosion: ``side`` in words, and why."""

    side: str
    reasons: tuple[str, ...]


def ionic_balance_percent(
    *,
    calcium_mg_l: float = 0.0,
    magnesium_mg_l: float = 0.0,
    sodium_mg_l: float = 0.0,
    potassium_mg_l: float = 0.0,
    bicarbonate_mg_l: float = 0.0,
    chloride_mg_l: float = 0.0,
    sulphate_mg_l: float = 0.0,
    nitrate_mg_l: float = 0.0,
) -> float:
    """Return 100 (cations - anions) / (cations + anions), in equivalents; ions in mg/L.

    Standard Methods for the Examination of Water, 1030 (from memory). ComputeError when the
    two sides are more than 10 % apart: an ion is missing or a unit is wrong.
    """
    cations = (
        2.0 * _mol("Ca", calcium_mg_l)
        + 2.0 * _mol("Mg", magnesium_mg_l)
        + _mol("Na", sodium_mg_l)
        + _mol("K", potassium_mg_l)
    )
    anions = (
        _mol("HCO3", bicarbonate_mg_l)
        + _mol("Cl", chloride_mg_l)
        + 2.0 * _mol("SO4", sulphate_mg_l)
        + _mol("NO3", nitrate_mg_l)
    )
    if cations + anions <= 0.0:
        raise ComputeError("No ion was given, so there is nothing to balance: give the label's.")
    gap = 100.0 * (cations - anions) / (cations + anions)
    if abs(gap) > MOST_IMBALANCE_PERCENT:
        raise ComputeError(
            f"The cations sum to {1000 * cations:.2f} and the anions to {1000 * anions:.2f}"
            f" meq/L, {abs(gap):.0f} % apart; they must be equal, so an ion is missing or a"
            " unit is wrong."
        )
    return gap


def saturation_ph(
    temperature_c: float,
    calcium_mg_l_caco3: float,
    alkalinity_mg_l_caco3: float,
    tds_mg_l: float,
) -> float:
    """Return the pH at which the water would just be saturated with calcite (Langelier).

    pHs = (9.3 + A + B) - (C + D); A = (log TDS - 1)/10; B = -13.12 log(T + 273) + 34.55;
    C = log Ca - 0.4; D = log alkalinity: the usual fit to W. F. Langelier, J. AWWA 28 (1936)
    1500 (attribution from memory). Meant for 0 to about 90 °C. ComputeError for nought.
    """
    within("temperature", temperature_c, 0.0, HOTTEST_C, "°C")
    solids = (log10(positive("dissolved solids", tds_mg_l, "mg/L")) - 1.0) / 10.0
    warmth = -13.12 * log10(temperature_c + 273.0) + 34.55
    calcium = log10(positive("calcium hardness", calcium_mg_l_caco3, "mg/L")) - 0.4
    alkalinity = log10(positive("alkalinity", alkalinity_mg_l_caco3, "mg/L"))
    return (9.3 + solids + warmth) - (calcium + alkalinity)


def langelier_index(
    ph: float,
    temperature_c: float,
    calcium_mg_l_caco3: float,
    alkalinity_mg_l_caco3: float,
    tds_mg_l: float,
) -> float:
    """Return pH - pHs: above 0 the water lays down scale, below 0 it dissolves it.

    With a pH measured in the cold it rises too steeply with temperature, because the pH of
    heated water falls: a sign, not an amount. ComputeError as `saturation_ph`.
    """
    return _ph(ph) - saturation_ph(
        temperature_c, calcium_mg_l_caco3, alkalinity_mg_l_caco3, tds_mg_l
    )


def ryznar_index(
    ph: float,
    temperature_c: float,
    calcium_mg_l_caco3: float,
    alkalinity_mg_l_caco3: float,
    tds_mg_l: float,
) -> float:
    """Return 2 pHs - pH (J. W. Ryznar, J. AWWA 36 (1944) 472, from memory); low is scale."""
    return 2.0 * saturation_ph(
        temperature_c, calcium_mg_l_caco3, alkalinity_mg_l_caco3, tds_mg_l
    ) - _ph(ph)


def ryznar_name(index: float) -> str:
    """Return what a Ryznar index means, in words."""
    finite("Ryznar index", index)
    return next((word for edge, word in RYZNAR_BANDS if index < edge), "very aggressive")


def calcite_saturation_index(
    ph: float,
    temperature_c: float,
    calcium_mg_l_caco3: float,
    alkalinity_mg_l_caco3: float,
    magnesium_mg_l_caco3: float = 0.0,
    sodium_mg_l: float | None = None,
    sulphate_mg_l: float = 0.0,
    ph_temperature_c: float = 25.0,
) -> float:
    """Return log10 of how far calcite is over (above 0) or under saturation when heated closed.

    The pH is the one measured at ``ph_temperature_c``; it moves as the water is heated with
    no gas lost. Sodium or chloride fills the balance of charge. ComputeError as for the rest.
    """
    water = _solution(
        calcium_mg_l_caco3, alkalinity_mg_l_caco3, magnesium_mg_l_caco3, sodium_mg_l, sulphate_mg_l
    )
    cold = carbonate.at_ph(water, within("temperature of the pH", ph_temperature_c, 0, 60), _ph(ph))
    within("temperature", temperature_c, 0.0, HOTTEST_C, "°C")
    return carbonate.with_carbon(water, temperature_c, cold.carbon).saturation_index


def precipitation_potential_mg_l(
    ph: float,
    calcium_mg_l_caco3: float,
    alkalinity_mg_l_caco3: float,
    boiler_c: float,
    magnesium_mg_l_caco3: float = 0.0,
    sodium_mg_l: float | None = None,
    sulphate_mg_l: float = 0.0,
    ph_temperature_c: float = 25.0,
    vented: bool = False,
) -> float:
    """Return the calcite that must settle at ``boiler_c`` to reach saturation, mg/L.

    Closed (the default): nothing leaves, as in a brew boiler under pressure. ``vented``:
    carbon dioxide leaves down to that of open air, the worst a steam boiler can do, and
    hard water drops nearly all the scale it can. The truth of a machine lies between, and
    not all of it sticks. ComputeError for a pH outside 4 to 10.5 and impossible amounts.
    """
    water = _solution(
        calcium_mg_l_caco3, alkalinity_mg_l_caco3, magnesium_mg_l_caco3, sodium_mg_l, sulphate_mg_l
    )
    within("boiler temperature", boiler_c, 0.0, HOTTEST_C, "°C")
    if vented:
        return CACO3_MG_MOL * carbonate.settles_vented(water, boiler_c)
    cold = carbonate.at_ph(water, within("temperature of the pH", ph_temperature_c, 0, 60), _ph(ph))
    return CACO3_MG_MOL * carbonate.settles_closed(water, boiler_c, cold.carbon)


def calcite_solubility_mg_l(temperature_c: float, log_pco2: float) -> float:
    """Return the calcite pure water dissolves at 10**log_pco2 atmospheres, mg/L.

    At a FIXED carbon dioxide pressure, from that of open air (-3.4) up, hotter water holds
    less, to 90 °C and a little beyond. With hardly any carbon dioxide it turns round and
    holds more. ComputeError outside 0 to 140 °C and -5 to 0.
    """
    within("temperature", temperature_c, 0.0, HOTTEST_C, "°C")
    within("logarithm of the carbon dioxide pressure", log_pco2, -5.0, 0.0)
    return CACO3_MG_MOL * carbonate.solubility(temperature_c, log_pco2)


def larson_ratio(
    alkalinity_mg_l_caco3: float, chloride_mg_l: float, sulphate_mg_l: float = 0.0
) -> float:
    """Return (chloride + sulphate) / alkalinity in equivalents (Larson and Skold 1958).

    Found on mild steel in lake water; at low alkalinity it goes beyond its data.
    """
    held = 2.0 * positive("alkalinity", alkalinity_mg_l_caco3, "mg/L") / CACO3_MG_MOL
    return (_mol("Cl", chloride_mg_l) + 2.0 * _mol("SO4", sulphate_mg_l)) / held


def corrosion(
    alkalinity_mg_l_caco3: float,
    chloride_mg_l: float | None = None,
    sulphate_mg_l: float = 0.0,
    calcium_mg_l_caco3: float | None = None,
    ph: float | None = None,
) -> Corrosion:
    """Return how the water leans towards corrosion: "none seen", "watch" or "likely".

    Looks at too little buffer, too little calcium, a low pH, much chloride, and chloride and
    sulphate against alkalinity. One reason is worth watching, two make it likely. What is
    not given is not judged.
    """
    reasons = []
    not_negative("alkalinity", alkalinity_mg_l_caco3, "mg/L")
    if alkalinity_mg_l_caco3 < LOW_ALKALINITY:
        reasons.append(f"alkalinity {alkalinity_mg_l_caco3:g} mg/L: too little to hold the pH")
    if calcium_mg_l_caco3 is not None and calcium_mg_l_caco3 < LOW_CALCIUM:
        reasons.append(f"calcium {calcium_mg_l_caco3:g} mg/L: too soft for a protecting film")
    if ph is not None and _ph(ph) < LOW_PH:
        reasons.append(f"pH {ph:g}: sour water takes metal into solution")
    if chloride_mg_l is not None:
        reasons.extend(_chloride_reasons(alkalinity_mg_l_caco3, chloride_mg_l, sulphate_mg_l))
    return Corrosion(("none seen", "watch", "likely")[min(len(reasons), 2)], tuple(reasons))


def blend(a: float, b: float, target: float) -> float:
    """Return the fraction of water ``a`` that brings its mix with ``b`` to ``target``.

    For hardness, alkalinity, an ion or conductivity (nearly): they mix in proportion. The pH
    does NOT. ComputeError when the target does not lie between the two waters.
    """
    for which, value in (("first water", a), ("second water", b), ("target", target)):
        not_negative(which, value)
    if not min(a, b) <= target <= max(a, b):
        raise ComputeError(
            f"No mix of waters at {a:g} and {b:g} gives {target:g}: a mix lies between the two."
        )
    return 1.0 if a == b else (target - b) / (a - b)


def mixed(a: float, b: float, fraction: float) -> float:
    """Return what the mix holds when ``fraction`` of it is water ``a``; not for pH."""
    share = within("fraction of the first water", fraction, 0.0, 1.0)
    return share * not_negative("first water", a) + (1.0 - share) * not_negative("second water", b)


def tds_mg_l(conductivity_us_cm: float) -> Estimate:
    """Return dissolved solids guessed from conductivity: 0.65, between 0.55 and 0.7.

    Standard Methods for the Examination of Water, 2510 (from memory).
    """
    value = not_negative("conductivity", conductivity_us_cm, "uS/cm")
    return Estimate(0.65 * value, 0.55 * value, 0.7 * value, "mg/L", "from the conductivity")


def probe(conductivity_us_cm: float) -> str:
    """Return what an electrode level probe makes of the water: "sees", "doubtful", "blind".

    A probe passes a small current through the water; very pure water carries too little, and
    the machine may fill for ever or refuse to heat.
    """
    value = not_negative("conductivity", conductivity_us_cm, "uS/cm")
    return "blind" if value < BLIND_US_CM else "doubtful" if value < SURE_US_CM else "sees"


def probe_ok(conductivity_us_cm: float) -> bool:
    """Say whether an electrode level probe surely sees this water (see `probe`)."""
    return probe(conductivity_us_cm) == "sees"


def _chloride_reasons(alkalinity: float, chloride: float, sulphate: float) -> list[str]:
    reasons = []
    if not_negative("chloride", chloride, "mg/L") > HIGH_CHLORIDE:
        reasons.append(f"chloride {chloride:g} mg/L: pits stainless steel when hot")
    if (
        alkalinity > 0.0
        and (ratio := larson_ratio(alkalinity, chloride, sulphate)) > LARSON_BANDS[0]
    ):
        speed = "likely" if ratio > LARSON_BANDS[1] else "possible"
        reasons.append(
            f"chloride and sulphate are {ratio:.1f} times the alkalinity: faster corrosion {speed}"
        )
    return reasons


def _mol(ion: str, mg_l: float) -> float:
    return not_negative(ion, mg_l, "mg/L") / (1000.0 * MOLAR_MASS[ion])


def _ph(ph: float) -> float:
    return within("pH", ph, 4.0, 10.5)


def _solution(
    calcium: float, alkalinity: float, magnesium: float, sodium: float | None, sulphate: float
) -> carbonate.Solution:
    ca = not_negative("calcium hardness", calcium, "mg/L") / CACO3_MG_MOL
    mg = not_negative("magnesium hardness", magnesium, "mg/L") / CACO3_MG_MOL
    base = 2.0 * positive("alkalinity", alkalinity, "mg/L") / CACO3_MG_MOL
    acid = _mol("SO4", sulphate)
    na = _mol("Na", sodium or 0.0)
    filled = 2.0 * (ca + mg - acid) + na - base
    return carbonate.Solution(ca, mg, acid, base, (na + abs(filled)) / 2.0)
