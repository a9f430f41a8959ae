"""Water against PHREEQC, published worked examples and unit definitions."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from phreeqpython import PhreeqPython

from diagnose.compute import carbonate, hardness, water
from diagnose.compute.errors import ComputeError
from diagnose.compute.units import UnitError
from tests.compute.checks import (
    COMMON_PRACTICE,
    MEMORY,
    VERIFIED_COMPUTED,
    VERIFIED_PAGE,
    Check,
    agrees,
    describe,
)

PHREEQC = "PHREEQC aqueous model, phreeqpython 1.6.2, database phreeqc.dat"
WORKED = "corrosion reference site, Langelier index worked example (pH 7.5, TDS 320, Ca 150, alkalinity 34)"
PLUMMER = "Plummer and Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011"
POOL = "pool operator training material, factor-table form of the Langelier index"
FACTORS = "unit definitions and IUPAC molar masses"

# ph, calcium, alkalinity, magnesium (mg/L as CaCO3), sodium, sulphate (mg/L)
WATERS = {
    "soft": (7.0, 68, 40, 0, 10, 0),
    "hard": (7.6, 140, 150, 40, 20, 30),
    "very hard": (7.4, 250, 260, 60, 25, 60),
    "very soft": (7.2, 20, 20, 5, 8, 0),
}
TEMPERATURES = (25, 60, 93, 120)
ENGINE = PhreeqPython(database="phreeqc.dat")


def phreeqc(name: str):
    ph, calcium, alkalinity, magnesium, sodium, sulphate = WATERS[name]
    made = {
        "temp": 25, "pH": ph, "units": "mg/l", "density": 1, "Ca": f"{calcium} as CaCO3",
        "Alkalinity": f"{alkalinity} as CaCO3", "Na": str(sodium), "Cl": "20 charge",
    }  # fmt: skip
    if magnesium:
        made["Mg"] = f"{magnesium} as CaCO3"
    if sulphate:
        made["S(6)"] = f"{sulphate} as SO4"
    return ENGINE.add_solution(made)


def phreeqc_index(name: str, celsius: float) -> float:
    solution = phreeqc(name)
    solution.change_temperature(celsius)
    return solution.si("Calcite")


def phreeqc_settles(name: str, celsius: float, vented: bool = False) -> float:
    solution = phreeqc(name)
    solution.change_temperature(celsius)
    before = solution.total("Ca", units="mmol")
    if vented:
        solution.equalize(["Calcite", "CO2(g)"], [0, -3.4], [0, 10])
    else:
        solution.desaturate("Calcite", 0)
    return max(0.0, (before - solution.total("Ca", units="mmol")) * 100.0869)


def ours(name: str) -> dict[str, float]:
    ph, calcium, alkalinity, magnesium, sodium, sulphate = WATERS[name]
    return {
        "ph": ph, "calcium_mg_l_caco3": calcium, "alkalinity_mg_l_caco3": alkalinity,
        "magnesium_mg_l_caco3": magnesium, "sodium_mg_l": sodium, "sulphate_mg_l": sulphate,
    }  # fmt: skip


def check(id_, what, call, reference, tolerance, source, status=VERIFIED_COMPUTED):
    return Check(id_, what, call, reference, tolerance, source, status)


def mass_tolerance(reference: float) -> float:
    return max(0.5, 0.02 * reference)


def phreeqc_checks():
    for name in WATERS:
        for c in TEMPERATURES:
            yield check(
                f"index-{name}-{c}", f"calcite saturation index, {name} water at {c} °C",
                lambda name=name, c=c: water.calcite_saturation_index(temperature_c=c, **ours(name)),
                phreeqc_index(name, c), 0.02, PHREEQC,
            )  # fmt: skip
            reference = phreeqc_settles(name, c)
            yield check(
                f"mass-{name}-{c}", f"calcite settling closed, {name} water at {c} °C, mg/L",
                lambda name=name, c=c: water.precipitation_potential_mg_l(boiler_c=c, **ours(name)),
                reference, mass_tolerance(reference), PHREEQC,
            )  # fmt: skip
        reference = phreeqc_settles(name, 93, vented=True)
        yield check(
            f"vented-{name}", f"calcite settling vented, {name} water at 93 °C, mg/L",
            lambda name=name: water.precipitation_potential_mg_l(boiler_c=93, vented=True, **ours(name)),
            reference, mass_tolerance(reference), PHREEQC,
        )  # fmt: skip


HARDNESS = {
    "dH": (17.848, 3.81, 10.0852), "fH": (10.0, 6.8, 18.0), "eH": (14.2538, 4.7707, 12.6282),
    "gpg": (17.1181, 3.9724, 10.5152), "mmol/L": (100.0869, 0.6794, 1.7984),
}  # fmt: skip
"""unit: mg/L as CaCO3 in one, and what 68 and 180 mg/L as CaCO3 are in it."""

CHECKS = [
    *phreeqc_checks(),
    *(
        check(f"calcite{c}", f"log10 K of calcite at {c} °C", lambda c=c: carbonate.log_k("calcite", c), k, 0.0005, PLUMMER)
        for c, k in ((0, -8.3814), (10, -8.4105), (25, -8.4798), (60, -8.7588), (80, -8.9886), (90, -9.1217))
    ),
    check("calcite-page", "log10 K of calcite at 25 °C, as printed", lambda: carbonate.log_k("calcite", 25), -8.480, 0.020, PLUMMER, VERIFIED_PAGE),
    *(
        check(f"calcite{c}", f"log10 K of calcite extrapolated to {c} °C", lambda c=c: carbonate.log_k("calcite", c), k, 0.0005, PLUMMER + ", beyond its range")
        for c, k in ((93, -9.1639), (120, -9.5901))
    ),
    *(
        check(f"held{p}-{c}", f"calcite held at {c} °C, log pCO2 {p}, mg/L", lambda p=p, c=c: water.calcite_solubility_mg_l(c, p), mg, 0.01 * mg, PHREEQC)
        for p, c, mg in ((-3.4, 10, 68.05), (-3.4, 25, 53.35), (-3.4, 60, 31.4), (-3.4, 90, 21.82), (-2, 25, 164.7), (-2, 60, 92.72), (-2, 90, 57.14))
    ),
    *(
        check(f"scant{c}", f"calcite held at {c} °C with scant carbon dioxide, log pCO2 -4.5, mg/L", lambda c=c: water.calcite_solubility_mg_l(c, -4.5), mg, 0.01 * mg, PHREEQC)
        for c, mg in ((60, 16.96), (80, 17.71), (90, 19.5))
    ),
    check("lsi25", "Langelier index at 25 °C", lambda: water.langelier_index(7.5, 25, 150, 34, 320), -0.7, 0.05, WORKED, VERIFIED_PAGE),
    check("lsi82", "Langelier index at 82 °C", lambda: water.langelier_index(7.5, 82, 150, 34, 320), 0.3, 0.05, WORKED, VERIFIED_PAGE),
    check("phs25", "saturation pH at 25 °C", lambda: water.saturation_ph(25, 150, 34, 320), 8.2, 0.05, WORKED, VERIFIED_PAGE),
    check("phs82", "saturation pH at 82 °C", lambda: water.saturation_ph(82, 150, 34, 320), 7.2, 0.05, WORKED, VERIFIED_PAGE),
    check("rsi25", "Ryznar index at 25 °C", lambda: water.ryznar_index(7.5, 25, 150, 34, 320), 8.9625, 0.001, "2 pHs - pH, Ryznar, with " + WORKED),
    check("rsi82", "Ryznar index at 82 °C", lambda: water.ryznar_index(7.5, 82, 150, 34, 320), 6.9679, 0.001, "2 pHs - pH, Ryznar, with " + WORKED),
    # The factor table is coarse (one decimal): an order check of the formula, with TDS 1000 assumed.
    *(
        check(f"pool{i}", "saturation index of a pool, coarse table", lambda f=f, ph=ph, ca=ca, alk=alk: water.langelier_index(ph, (f - 32) / 1.8, ca, alk, 1000), index, 0.25, POOL, VERIFIED_PAGE)
        for i, (ph, f, ca, alk, index) in enumerate(((7.0, 76, 200, 50, -0.9), (7.6, 84, 300, 75, 0.2), (8.0, 94, 400, 150, 1.1)))
    ),
    *(
        check(f"{unit}-{mg}", f"{mg} mg/L as CaCO3 in {unit}", lambda mg=mg, unit=unit: hardness.from_caco3(mg, unit), value, 0.002, FACTORS)
        for unit, (_, at_68, at_180) in HARDNESS.items()
        for mg, value in ((68, at_68), (180, at_180))
    ),
    *(
        check(f"one-{unit}", f"1 {unit} in mg/L as CaCO3", lambda unit=unit: hardness.to_caco3(1, unit), factor, 2e-4 * factor, FACTORS)
        for unit, (factor, _, _) in HARDNESS.items()
    ),
    check("blend", "share of water at alkalinity 260 in pure water for 40", lambda: water.blend(260, 0, 40), 0.1538, 0.001, "linear mixing"),
    check("blend-ca", "calcium 250 of that blend, mg/L", lambda: water.mixed(250, 0, water.blend(260, 0, 40)), 38.46, 0.01, "linear mixing"),
    check("tds", "TDS of the trade standard's target, mg/L at 231 uS/cm", lambda: water.tds_mg_l(231).value, 150, 15, "Standard Methods 2510", MEMORY),
    check("probe", "conductivity a level probe needs, uS/cm", lambda: water.SURE_US_CM, 50, 40, "common practice, no source", COMMON_PRACTICE),
]  # fmt: skip

PH = st.floats(6.5, 8.5)
MG = st.floats(10, 350)


@pytest.mark.parametrize("row", [row for row in CHECKS if row.hard], ids=lambda row: row.id)
def test_agrees_with_the_outside(row):
    assert agrees(row), describe(row)


@given(st.floats(0, 89), st.floats(0.1, 1.0), st.floats(-3.4, -1.0))
@settings(max_examples=20, deadline=None)
def test_hotter_water_holds_less_calcite_at_a_fixed_carbon_dioxide_pressure(c, step, log_pco2):
    """From the pressure of open air up; far below it the law turns round, as PHREEQC says too."""
    assert water.calcite_solubility_mg_l(c + step, log_pco2) < water.calcite_solubility_mg_l(c, log_pco2)
    assert carbonate.log_k("calcite", c + step) < carbonate.log_k("calcite", c)


@given(st.floats(6.5, 8.2), MG, st.floats(20, 350), st.floats(20, 138), st.floats(1, 2))
@settings(max_examples=30, deadline=None)
def test_a_hotter_boiler_never_lays_down_less(ph, calcium, alkalinity, c, step):
    """But for weak water of high pH, where warming lowers the pH first; PHREEQC says so too."""
    cool = water.precipitation_potential_mg_l(ph, calcium, alkalinity, c)
    assert water.precipitation_potential_mg_l(ph, calcium, alkalinity, c + step) >= cool - 1e-6


@given(PH, MG, MG, st.floats(20, 139))
@settings(max_examples=30, deadline=None)
def test_what_settles_and_what_stays_add_up_and_end_saturated(ph, calcium, alkalinity, c):
    full = carbonate.Solution(calcium / 100086.9, 0.0, 0.0, alkalinity / 50043.45, 0.001)
    carbon = carbonate.at_ph(full, 25, ph).carbon
    settled = carbonate.settles_closed(full, c, carbon)
    left = full.less_calcite(settled)
    assert left.calcium + settled == pytest.approx(full.calcium, rel=1e-9)
    assert left.alkalinity + 2 * settled == pytest.approx(full.alkalinity, rel=1e-9)
    state = carbonate.with_carbon(left, c, carbon - settled)
    assert state.carbon == pytest.approx(carbon - settled, rel=1e-9)
    if settled > 0:
        assert state.saturation_index == pytest.approx(0, abs=1e-5)


@given(PH, MG, MG, st.floats(20, 139), st.booleans())
@settings(max_examples=30, deadline=None)
def test_no_more_settles_than_calcium_and_alkalinity_allow(ph, calcium, alkalinity, c, vented):
    settled = water.precipitation_potential_mg_l(ph, calcium, alkalinity, c, vented=vented)
    assert 0 <= settled <= min(calcium, alkalinity)


def test_pure_water_without_carbon_dioxide_is_the_exception():
    """Published by PHREEQC as 12.31 mg/L at 25 °C and 18.36 at 93 °C: it rises."""
    held = []
    for c in (25, 93):
        low, high = 1e-5, 1e-3
        for _ in range(60):
            mid = (low + high) / 2
            made = carbonate.Solution(mid, 0.0, 0.0, 2 * mid)
            over = carbonate.with_carbon(made, c, mid).saturation_index > 0
            low, high = (low, mid) if over else (mid, high)
        held.append(low * 100086.9)
    assert held == pytest.approx([12.31, 18.36], rel=0.02)


@given(PH, st.floats(0, 89), st.floats(0.1, 1), MG, MG, st.floats(50, 1000))
def test_langelier_rises_and_ryznar_falls_with_temperature(ph, c, step, calcium, alkalinity, tds):
    rest = (calcium, alkalinity, tds)
    assert water.langelier_index(ph, c + step, *rest) > water.langelier_index(ph, c, *rest)
    assert water.ryznar_index(ph, c + step, *rest) < water.ryznar_index(ph, c, *rest)


def test_the_cold_ph_makes_langelier_steeper_than_the_equilibria():
    quick = water.langelier_index(7.6, 93, 140, 150, 328.7) - water.langelier_index(7.6, 25, 140, 150, 328.7)
    true = water.calcite_saturation_index(temperature_c=93, **ours("hard")) - water.calcite_saturation_index(temperature_c=25, **ours("hard"))
    assert quick > 1.5 * true


@given(st.floats(0.1, 1000), st.sampled_from(hardness.UNITS))
def test_hardness_goes_there_and_back(value, unit):
    assert hardness.from_caco3(hardness.to_caco3(value, unit), unit) == pytest.approx(value, rel=1e-9)


@given(st.floats(0, 500), st.floats(0, 500), st.floats(0, 1))
def test_a_blend_gives_its_target_and_keeps_the_mass(a, b, share):
    target = water.mixed(a, b, share)
    assert target == pytest.approx(share * a + (1 - share) * b, rel=1e-9)
    target = min(max(target, min(a, b)), max(a, b))
    assert water.mixed(a, b, water.blend(a, b, target)) == pytest.approx(target, rel=1e-9, abs=1e-9)


@given(st.floats(10, 300), st.floats(0, 100))
def test_a_salt_is_balanced(calcium, sodium):
    chloride = 35.453 * (2 * calcium / 40.078 + sodium / 22.98977)
    assert water.ionic_balance_percent(calcium_mg_l=calcium, sodium_mg_l=sodium, chloride_mg_l=chloride) == pytest.approx(0, abs=1e-9)


def test_an_unbalanced_water_names_both_sums():
    with pytest.raises(ComputeError, match=r"3\.99 and the anions to 1\.64") as refused:
        water.ionic_balance_percent(calcium_mg_l=80, bicarbonate_mg_l=100)
    assert "missing" in str(refused.value)


def test_hardness_below_its_calcium_is_refused():
    with pytest.raises(ComputeError, match="180 and a calcium hardness of 200"):
        hardness.magnesium(180, 200)
    assert hardness.magnesium(180, 140) == 40
    assert hardness.total(40, 10) == pytest.approx(99.89 + 41.18, abs=0.01)


@pytest.mark.parametrize(
    ("mg", "name"),
    [(30, "soft"), (100, "moderately hard"), (150, "hard"), (300, "very hard")],
)
def test_hardness_has_the_classes_of_the_geological_survey(mg, name):
    assert hardness.name(mg) == name


@pytest.mark.parametrize(
    ("index", "name"),
    [(5, "heavy scale"), (6, "scale"), (6.5, "neither scale nor corrosion"), (8, "aggressive"), (9, "very aggressive")],
)
def test_ryznar_has_its_published_bands(index, name):
    assert water.ryznar_name(index) == name


def test_corrosion_names_its_reasons():
    assert water.corrosion(40, 10) == water.Corrosion("none seen", ())
    assert water.corrosion(10).side == "watch"
    sour = water.corrosion(10, 80, 30, calcium_mg_l_caco3=10, ph=6.2)
    assert sour.side == "likely"
    assert [reason.split()[0] for reason in sour.reasons] == ["alkalinity", "calcium", "pH", "chloride", "chloride"]


def test_much_chloride_against_little_alkalinity_is_the_larson_ratio():
    # 35.453 mg/L of chloride is 1 meq/L, 50.0434 mg/L of alkalinity too.
    assert water.larson_ratio(50.0434, 35.453) == pytest.approx(1.0, rel=1e-4)
    assert "possible" in water.corrosion(50.0434, 35.453).reasons[0]
    assert "likely" in water.corrosion(30, 40).reasons[0]


@pytest.mark.parametrize(("us_cm", "seen"), [(2, "blind"), (30, "doubtful"), (200, "sees")])
def test_a_level_probe_needs_salts_in_the_water(us_cm, seen):
    assert water.probe(us_cm) == seen
    assert water.probe_ok(us_cm) == (seen == "sees")


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: water.langelier_index(7, 25, 0, 40, 100), "calcium hardness"),
        (lambda: water.langelier_index(15, 25, 68, 40, 100), "pH"),
        (lambda: water.langelier_index(7, 25, 68, float("nan"), 100), "no number"),
        (lambda: water.precipitation_potential_mg_l(7, -1, 40, 93), "calcium hardness"),
        (lambda: water.precipitation_potential_mg_l(7, 68, 40, 200), "boiler temperature"),
        (lambda: water.blend(50, 100, 20), "between the two"),
        (lambda: water.ionic_balance_percent(), "nothing to balance"),
        (lambda: water.probe(float("inf")), "no number"),
        (lambda: hardness.name(-1), "below 0"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ComputeError, match=words):
        call()


def test_a_mass_is_no_hardness():
    with pytest.raises(UnitError, match="mass"):
        hardness.to_caco3(10, "g")
