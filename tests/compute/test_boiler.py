"""Gauge, altitude and brew temperature, against the steam tables and the standard atmosphere."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws.iapws97 import _PSat_T, _TSat_P

from diagnose.compute import boiler
from diagnose.compute.errors import ComputeError
from tests.compute.checks import COMMON_PRACTICE, VERIFIED_COMPUTED, Check, agrees, describe

IF97 = "IAPWS R7-97(2012), Industrial Formulation 1997"
ATMOSPHERE = "ISO 2533 standard atmosphere with " + IF97


def by_library(gauge: float) -> float:
    return _TSat_P((gauge + 1.01325) / 10) - 273.15


CHECKS = [
    *(
        Check(f"gauge{g}", f"steam boiler at {g} bar gauge, °C", lambda g=g: boiler.steam_temperature_c(g), by_library(g), 1e-6, IF97, VERIFIED_COMPUTED)
        for g in (0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 2.0)
    ),
    Check("gauge1", "steam boiler at 1.0 bar gauge, °C", lambda: boiler.steam_temperature_c(1.0), 120.42, 0.02, IF97, VERIFIED_COMPUTED),
    Check("absolute1", "1.0 bar absolute is 0 gauge less the air, °C", lambda: boiler.steam_temperature_c(1.0 - 1.01325), 99.61, 0.02, IF97, VERIFIED_COMPUTED),
    *(
        Check(f"boil{m}", f"boiling point at {m} m, °C", lambda m=m: boiler.boiling_point_c(m), c, 0.05, ATMOSPHERE, VERIFIED_COMPUTED)
        for m, c in ((0, 99.97), (500, 98.31), (1000, 96.65), (1500, 94.98), (2000, 93.32), (2240, 92.51), (2500, 91.65), (3000, 89.97), (3500, 88.3))
    ),
    *(
        Check(f"air{m}", f"air pressure at {m} m, bar", lambda m=m: boiler.air_pressure_bar(m), bar, 0.0005, "ISO 2533 standard atmosphere", VERIFIED_COMPUTED)
        for m, bar in ((0, 1.0133), (1000, 0.8987), (2000, 0.795), (3000, 0.7011))
    ),
    *(
        Check(f"high{m}", f"1.2 bar gauge at {m} m, °C", lambda m=m: boiler.steam_temperature_c(1.2, m), c, 0.05, ATMOSPHERE, VERIFIED_COMPUTED)
        for m, c in ((500, 122.58), (1000, 121.74), (2000, 120.13), (3000, 118.62))
    ),
    *(
        Check(f"back{c}", f"gauge of a steam boiler at {c} °C, bar", lambda c=c: boiler.gauge_pressure_bar(c), _PSat_T(c + 273.15) * 10 - 1.01325, 1e-9, IF97, VERIFIED_COMPUTED)
        for c in (93, 115, 120, 125)
    ),
    Check("exchanger", "exchanger machine at 1.1 bar after a flush, °C", lambda: boiler.brew_temperature(1.1, "heat exchanger").value, 93, 2, "trade usage", COMMON_PRACTICE),
]  # fmt: skip


@pytest.mark.parametrize("check", [check for check in CHECKS if check.hard], ids=lambda check: check.id)
def test_agrees_with_the_outside(check):
    assert agrees(check), describe(check)


@given(st.floats(-0.3, 5.0), st.floats(-500, 4000))
def test_gauge_to_temperature_and_back(gauge, altitude):
    celsius = boiler.steam_temperature_c(gauge, altitude)
    assert boiler.gauge_pressure_bar(celsius, altitude) == pytest.approx(gauge, abs=1e-9)


@given(st.floats(0.0, 4.0), st.floats(0.001, 1.0), st.floats(-500, 4500), st.floats(1.0, 500.0))
def test_more_pressure_is_hotter_and_more_altitude_cooler(gauge, step, altitude, climb):
    here = boiler.steam_temperature_c(gauge, altitude)
    assert boiler.steam_temperature_c(gauge + step, altitude) > here
    assert boiler.steam_temperature_c(gauge, altitude + climb) < here
    assert boiler.boiling_point_c(altitude + climb) < boiler.boiling_point_c(altitude)


def test_a_brew_boiler_at_93_is_below_the_pressure_of_the_air():
    assert boiler.gauge_pressure_bar(93) < 0


@pytest.mark.parametrize("kind", ["single boiler", "double boiler"])
def test_only_the_exchanger_machine_reads_its_gauge_as_brew_temperature(kind):
    assert boiler.brew_temperature(1.0, kind) == boiler.brew_temperature(1.4, kind)
    assert "not the brew water" in boiler.brew_temperature(9.0, kind).basis
    low, high = (boiler.brew_temperature(g, "heat exchanger").value for g in (1.0, 1.4))
    assert low < high


@given(st.floats(0.5, 2.0), st.sampled_from(boiler.KINDS), st.floats(-500, 4000))
def test_water_leaves_the_group_no_hotter_than_it_boils_there(gauge, kind, altitude):
    guess = boiler.brew_temperature(gauge, kind, altitude)
    assert guess.high <= boiler.boiling_point_c(altitude)
    assert guess.low <= guess.value <= guess.high


def test_the_guess_from_an_exchangers_gauge_is_wide():
    guess = boiler.brew_temperature(1.1, "heat exchanger")
    assert guess.high - guess.low > 10


@given(st.floats(0.5, 1.5), st.floats(0, 60), st.floats(0, 60))
def test_standing_longer_never_needs_less_flushing(gauge, first, second):
    short, long = sorted((first, second))
    a, b = boiler.flush_ml(short, gauge), boiler.flush_ml(long, gauge)
    assert (a.low, a.value, a.high) <= (b.low, b.value, b.high)


def test_a_machine_that_did_not_stand_needs_no_flush():
    assert boiler.flush_ml(0, 1.0).high == 0


def test_a_measured_exchanger_sets_the_flush():
    flush = boiler.flush_ml(30, 1.0, exchanger_ml=120)
    assert (flush.low, flush.value, flush.high) == (120, 120, 180)


def test_a_flush_that_cannot_reach_the_target_says_so():
    assert "no flush will reach it" in boiler.flush_ml(30, 1.5, target_c=90).basis
    assert "no flush" not in boiler.flush_ml(30, 1.0, target_c=93).basis


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: boiler.steam_temperature_c(-1.2), "vacuum"),
        (lambda: boiler.steam_temperature_c(-0.8, 3000), "vacuum"),
        (lambda: boiler.steam_temperature_c(40), "gauge pressure"),
        (lambda: boiler.steam_temperature_c(float("nan")), "no number"),
        (lambda: boiler.boiling_point_c(9000), "altitude"),
        (lambda: boiler.brew_temperature(1.0, "kettle"), "heat exchanger"),
        (lambda: boiler.brew_temperature(float("inf"), "double boiler"), "no number"),
        (lambda: boiler.flush_ml(-1, 1.0), "cannot be below 0"),
        (lambda: boiler.flush_ml(10, 1.0, target_c=60), "aimed at"),
        (lambda: boiler.flush_ml(10, 1.0, exchanger_ml=0), "above 0"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ComputeError, match=words):
        call()
