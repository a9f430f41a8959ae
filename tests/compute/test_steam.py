"""The saturation line against the formulation's own verification points and two libraries."""

import CoolProp.CoolProp as cp
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97
from iapws.iapws97 import _PSat_T, _TSat_P

from diagnose.compute import steam
from diagnose.compute.errors import ComputeError
from tests.compute.checks import VERIFIED_COMPUTED, Check, agrees, describe

IF97 = "IAPWS R7-97(2012), Industrial Formulation 1997"
IAPWS95 = "IAPWS R6-95(2018), scientific formulation, as in CoolProp"


def state(celsius: float, quality: int) -> IAPWS97:
    return IAPWS97(T=celsius + 273.15, x=quality)


def heos(what: str, celsius: float, quality: int) -> float:
    return cp.PropsSI(what, "T", celsius + 273.15, "Q", quality, "Water")


def point(id_: str, what: str, call, reference: float, tolerance: float, source: str = IF97) -> Check:
    return Check(id_, what, call, reference, tolerance, source, VERIFIED_COMPUTED)


CHECKS = [
    point("p300K", "boiling pressure at 300 K, bar", lambda: steam.saturation_pressure_bar(26.85), 0.0353658941, 1e-10, IF97 + ", table 35"),
    point("T0.1MPa", "boiling point under 1 bar, °C", lambda: steam.saturation_temperature_c(1.0), 372.755919 - 273.15, 1e-6, IF97 + ", table 36"),
    point("T1MPa", "boiling point under 10 bar, °C", lambda: steam.saturation_temperature_c(10.0), 453.035632 - 273.15, 1e-6, IF97 + ", table 36"),
    *(
        point(f"p{c}", f"boiling pressure at {c} °C, bar", lambda c=c: steam.saturation_pressure_bar(c), _PSat_T(c + 273.15) * 10, 1e-9)
        for c in (88, 93, 96, 100, 110, 120, 130, 180)
    ),
    *(
        point(f"T{p}", f"boiling point under {p} bar, °C", lambda p=p: steam.saturation_temperature_c(p), _TSat_P(p / 10) - 273.15, 1e-8)
        for p in (0.795, 1.01325, 2.01325, 2.41325)
    ),
    *(
        point(f"hf{c}", f"heat in water at {c} °C, kJ/kg", lambda c=c: steam.water_enthalpy_kj_kg(c), state(c, 0).h, 0.2)
        for c in (20, 60, 93, 117.14, 125)
    ),
    *(
        point(f"hg{c}", f"heat in steam at {c} °C, kJ/kg", lambda c=c: steam.steam_enthalpy_kj_kg(c), state(c, 1).h, 0.2)
        for c in (117.14, 118.82, 120.42, 121.96, 123.44, 124.87, 126.25)
    ),
    *(
        point(f"hfg{c}", f"latent heat at {c} °C, kJ/kg", lambda c=c: steam.latent_heat_kj_kg(c), reference, 0.3, IF97 + ", iapws 1.5.5")
        for c, reference in ((20, 2453.5), (60, 2357.7), (93, 2274.8), (100, 2256.5), (120, 2202.1), (125, 2188.0))
    ),
    *(
        point(f"hg95-{c}", f"heat in steam at {c} °C, kJ/kg", lambda c=c: steam.steam_enthalpy_kj_kg(c), heos("H", c, 1) / 1000, 0.4, IAPWS95)
        for c in (100, 120, 150)
    ),
    *(
        point(f"rho{c}", f"density of water at {c} °C, kg/m3", lambda c=c: steam.water_density_kg_m3(c), heos("D", c, 0), 0.05, IAPWS95)
        for c in (20, 93, 123.44)
    ),
    *(
        point(f"rhog{c}", f"density of steam at {c} °C, kg/m3", lambda c=c: steam.steam_density_kg_m3(c), state(c, 1).rho, 0.002)
        for c in (117.14, 120.42, 126.25)
    ),
    *(
        point(f"flash{c}", f"share flashing to steam from {c} °C", lambda c=c: steam.flash_fraction(c, 99.97), reference, 0.0005, "isenthalpic flash, " + IF97)
        for c, reference in ((117.14, 0.0322), (120.42, 0.0384), (123.44, 0.0441))
    ),
    point("swell", "growth of water from 20 to 93 °C", lambda: steam.water_density_kg_m3(20) / steam.water_density_kg_m3(93), 1.03626, 0.0002),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.id)
def test_agrees_with_the_outside(check):
    assert agrees(check), describe(check)


@given(st.floats(0.0, 199.9))
def test_temperature_to_pressure_and_back(celsius):
    there = steam.saturation_pressure_bar(celsius)
    assert steam.saturation_temperature_c(max(there, steam.LOW_BAR)) == pytest.approx(celsius, abs=2e-4)


@given(st.floats(0.1, 199.0), st.floats(0.01, 0.9))
def test_hotter_means_more_pressure_more_heat_and_less_to_vaporise(celsius, step):
    hotter = celsius + step
    assert steam.saturation_pressure_bar(hotter) > steam.saturation_pressure_bar(celsius)
    assert steam.water_enthalpy_kj_kg(hotter) > steam.water_enthalpy_kj_kg(celsius)
    assert steam.latent_heat_kj_kg(hotter) < steam.latent_heat_kj_kg(celsius)


@given(st.floats(100.0, 150.0), st.floats(20.0, 100.0))
def test_letting_water_down_keeps_its_heat(hot, cool):
    share = steam.flash_fraction(hot, cool)
    after = (1 - share) * steam.water_enthalpy_kj_kg(cool) + share * steam.steam_enthalpy_kj_kg(cool)
    assert after == pytest.approx(steam.water_enthalpy_kj_kg(hot), rel=1e-9)


@given(st.floats(1.0, 199.0), st.floats(0.0, 1.0))
def test_wet_steam_lies_between_water_and_dry_steam(celsius, dryness):
    low, high = steam.water_enthalpy_kj_kg(celsius), steam.steam_enthalpy_kj_kg(celsius)
    assert low - 1e-9 <= steam.steam_enthalpy_kj_kg(celsius, dryness) <= high + 1e-9


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: steam.saturation_pressure_bar(-1), "temperature reads -1 °C"),
        (lambda: steam.saturation_pressure_bar(201), "temperature"),
        (lambda: steam.saturation_pressure_bar(float("nan")), "no number"),
        (lambda: steam.saturation_temperature_c(0), "absolute pressure"),
        (lambda: steam.saturation_temperature_c(float("inf")), "no number"),
        (lambda: steam.steam_enthalpy_kj_kg(120, 1.1), "dryness"),
    ],
)
def test_what_lies_off_the_line_is_refused(call, words):
    with pytest.raises(ComputeError, match=words):
        call()
