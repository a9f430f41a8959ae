"""Steaming milk against a heat balance made with a steam-table library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from diagnose.compute import boiler, milk, steam
from diagnose.compute.errors import ComputeError
from tests.compute.checks import MEMORY, VERIFIED_COMPUTED, VERIFIED_PAGE, Check, agrees, describe

BALANCE = "heat balance with IAPWS R7-97(2012) from iapws 1.5.5, milk 3.93 kJ/(kg K)"


def by_library(start: float, end: float, gauge: float, dryness: float = 1.0) -> float:
    """Return kg of steam for a kg of milk, from the library's own enthalpies."""
    pressure = (gauge + 1.01325) / 10
    liquid, vapour = IAPWS97(P=pressure, x=0).h, IAPWS97(P=pressure, x=1).h
    condensed = IAPWS97(T=end + 273.15, P=0.101325).h
    return 3.93 * (end - start) / (liquid + dryness * (vapour - liquid) - condensed)


CHECKS = [
    *(
        Check(
            f"steam{gauge}-{end}-{dryness}", f"steam for a kg of milk, 4 to {end} °C, {gauge} bar gauge, dryness {dryness}, kg",
            lambda gauge=gauge, end=end, dryness=dryness: milk.steam_needed_g(1000, 4, end, gauge, dryness=dryness) / 1000,
            by_library(4, end, gauge, dryness), 2e-5, BALANCE, VERIFIED_COMPUTED,
        )
        for gauge, end, dryness in ((0.8, 55, 1), (0.8, 65, 1), (1.0, 60, 1), (1.2, 60, 1), (1.2, 70, 1), (2.0, 60, 1), (1.2, 60, 0.95), (1.2, 65, 0.9))
    ),
    Check("dilution60", "dilution, 4 to 60 °C at 1.2 bar gauge, %", lambda: milk.dilution_percent(1000, milk.steam_needed_g(1000, 4, 60, 1.2)), 8.21, 0.02, BALANCE, VERIFIED_COMPUTED),
    Check("dilution-wet", "dilution with steam a tenth wet, 4 to 65 °C, %", lambda: milk.dilution_percent(1000, milk.steam_needed_g(1000, 4, 65, 1.2, dryness=0.9)), 9.75, 0.02, BALANCE, VERIFIED_COMPUTED),
    Check("gain150", "gain of 150 g from 4 to 60 °C, g", lambda: milk.steam_needed_g(150, 4, 60, 1.2), 13.42, 0.05, BALANCE, VERIFIED_COMPUTED),
    Check("gain200", "gain of 200 g from 4 to 65 °C, g", lambda: milk.steam_needed_g(200, 4, 65, 1.2), 19.66, 0.05, BALANCE, VERIFIED_COMPUTED),
    Check("gain20", "gain of 150 g from 20 to 60 °C, g", lambda: milk.steam_needed_g(150, 20, 60, 1.2), 9.59, 0.05, BALANCE, VERIFIED_COMPUTED),
    Check("heat", "heat for 150 g from 4 to 60 °C, kJ", lambda: milk.heat_needed_kj(150, 4, 60), 33.01, 0.05, "m c dT", VERIFIED_COMPUTED),
    Check("cp", "specific heat used, kJ/(kg K)", lambda: milk.SPECIFIC_HEAT_KJ_KG_K, 3.931, 0.01, "whole milk at 80 °C, Sherbon 1988 in Dairy Chemistry and Biochemistry, section 11.9", VERIFIED_PAGE),
    Check("cp-sum", "specific heat from composition, kJ/(kg K)", lambda: milk.SPECIFIC_HEAT_KJ_KG_K, 3.8479, 0.1, "Kessler 1981: 4.18 w + 1.4 c + 1.6 p + 1.7 f + 0.8 a", VERIFIED_COMPUTED),
    Check("overrun40", "overrun of 150 to 210 ml, %", lambda: milk.froth_percent(150, 210), 40.0, 1e-9, "definition of overrun", VERIFIED_COMPUTED),
    Check("overrun20", "overrun of 150 to 180 ml, %", lambda: milk.froth_percent(150, 180), 20.0, 1e-9, "definition of overrun", VERIFIED_COMPUTED),
    Check("density", "density of whole milk, g/ml", lambda: milk.DENSITY_G_ML, 1.03, 0.005, "dairy handbooks", MEMORY),
]  # fmt: skip

GRAMS = st.floats(50, 1000)
COLD = st.floats(1, 25)
HOT = st.floats(40, 75)
GAUGE = st.floats(0.5, 2.5)


@pytest.mark.parametrize("check", [check for check in CHECKS if check.hard], ids=lambda check: check.id)
def test_agrees_with_the_outside(check):
    assert agrees(check), describe(check)


@given(GRAMS, COLD, HOT, GAUGE, st.floats(0.8, 1.0))
def test_heat_and_mass_are_conserved(grams, cold, hot, gauge, dryness):
    """Heat into the jug is heat in the jug, counted from 0 °C on both sides."""
    added = milk.steam_needed_g(grams, cold, hot, gauge, dryness=dryness)
    brought = added * steam.steam_enthalpy_kj_kg(boiler.steam_temperature_c(gauge), dryness)
    kept = grams * milk.SPECIFIC_HEAT_KJ_KG_K * (hot - cold) + added * steam.water_enthalpy_kj_kg(hot)
    assert brought == pytest.approx(kept, rel=1e-9)
    water = (grams + added) * milk.dilution_percent(grams, added) / 100
    assert water == pytest.approx(added, rel=1e-9)


@given(GRAMS, COLD, HOT, GAUGE, st.floats(0.85, 1.0))
def test_the_weight_gained_tells_how_dry_the_steam_was(grams, cold, hot, gauge, dryness):
    gained = milk.steam_needed_g(grams, cold, hot, gauge, dryness=dryness)
    assert milk.dryness_of_steam(grams, cold, hot, gained, gauge) == pytest.approx(dryness, rel=1e-9)


@given(GRAMS, st.floats(0, 100), st.floats(0.001, 100))
def test_more_steam_more_dilution(grams, less, more):
    assert milk.dilution_percent(grams, less + more) > milk.dilution_percent(grams, less)


@given(GRAMS, COLD, HOT, st.floats(0.1, 10))
def test_hotter_milk_and_wetter_steam_take_more_of_it(grams, cold, hot, step):
    plain = milk.steam_needed_g(grams, cold, hot)
    assert milk.steam_needed_g(grams, cold, hot + step) > plain
    assert milk.steam_needed_g(grams, cold, hot, dryness=0.9) > plain


@given(st.floats(50, 500), st.floats(0, 200), st.floats(0, 50))
def test_froth_and_volume_go_there_and_back(ml, froth, steam_g):
    whole = milk.final_volume_ml(ml, froth, steam_g)
    assert milk.froth_percent(ml + steam_g, whole) == pytest.approx(froth, abs=1e-9)


def test_boiler_pressure_hardly_matters():
    low, high = (milk.steam_needed_g(1000, 4, 60, gauge) for gauge in (0.8, 2.0))
    assert high == pytest.approx(low, rel=0.01)


def test_a_given_steam_heat_replaces_the_boiler():
    dry = steam.steam_enthalpy_kj_kg(boiler.steam_temperature_c(1.2))
    assert milk.steam_needed_g(150, 4, 60, steam_enthalpy_kj_kg=dry) == milk.steam_needed_g(150, 4, 60, 1.2)


def test_time_on_the_wand_from_power_carries_its_doubt():
    time = milk.wand_time_s(150, 4, 60, power_w=1000)
    # 33 kJ at 1000 W; boiling needs less than the steam gives, as it cools in the milk too.
    assert 28 < time.value < 33.01
    assert time.low < 20 and time.high > 38


def test_time_on_the_wand_from_a_measured_rate_is_surer():
    time = milk.wand_time_s(150, 4, 60, rate_g_s=0.5, boiler_pressure_bar_g=1.2)
    assert time.value == pytest.approx(26.8, abs=0.1)
    assert time.high / time.low < 1.3


@given(COLD, HOT, st.floats(10, 120))
def test_slower_steaming_overshoots_less(cold, hot, seconds):
    quick, slow = (milk.overshoot_c(cold, hot, s) for s in (seconds, 2 * seconds))
    assert slow.value == pytest.approx(quick.value / 2)
    assert milk.stop_at_c(hot, slow.value) + slow.value == pytest.approx(hot) or slow.value > hot - 20


def test_a_measured_lag_replaces_the_default():
    assert milk.overshoot_c(4, 60, 28, lag_s=2).value == pytest.approx(4.0)
    assert milk.stop_at_c(60, 4.0) == 56.0


@given(st.floats(1, 15), st.floats(60, 100))
def test_deeper_froth_in_a_wider_cup_needs_more_air(depth, width):
    base = milk.air_for(300, depth, width)
    assert milk.air_for(300, depth * 1.1, width).value > base.value
    assert milk.air_for(300, depth, width * 1.1).value > base.value
    assert base.low < base.value < base.high


def test_a_jug_is_filled_from_a_third_to_a_half():
    assert milk.jug_fill(600) == milk.Fill(200, 300)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: milk.steam_needed_g(150, 60, 4), "cannot cool"),
        (lambda: milk.steam_needed_g(0, 4, 60), "above 0"),
        (lambda: milk.steam_needed_g(150, 4, 99), "end of the milk"),
        (lambda: milk.steam_needed_g(150, 4, 60, -1.5), "vacuum"),
        (lambda: milk.steam_needed_g(150, 4, 60, steam_enthalpy_kj_kg=100), "no hotter"),
        (lambda: milk.steam_needed_g(float("nan"), 4, 60), "no number"),
        (lambda: milk.dilution_percent(150, -1), "below 0"),
        (lambda: milk.froth_percent(200, 180), "froth only adds"),
        (lambda: milk.wand_time_s(150, 4, 60), "not both"),
        (lambda: milk.wand_time_s(150, 4, 60, power_w=1000, rate_g_s=1), "not both"),
        (lambda: milk.wand_time_s(150, 4, 60, power_w=0), "above 0"),
        (lambda: milk.overshoot_c(60, 4, 30), "cannot cool"),
        (lambda: milk.stop_at_c(60, 45), "overshoot"),
        (lambda: milk.air_for(100, 40, 80), "more than the whole drink"),
        (lambda: milk.dryness_of_steam(150, 4, 60, 5), "cannot both be right"),
        (lambda: milk.jug_fill(0), "above 0"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ComputeError, match=words):
        call()
