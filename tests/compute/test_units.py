"""Units against Pint's own table, published definitions, and what people type."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute import units
from diagnose.compute.unit_table import EXAMPLES, UNITS, kinds_spelled, spelled
from diagnose.compute.units import UnitError, convert, read, show

PINT = {
    "g": "gram", "kg": "kilogram", "mg": "milligram", "oz": "ounce", "lb": "pound",
    "ml": "milliliter", "cl": "centiliter", "dl": "deciliter", "l": "liter",
    "fl oz": "fluid_ounce", "imp fl oz": "imperial_fluid_ounce", "cup": "cup",
    "s": "second", "min": "minute", "h": "hour", "days": "day", "weeks": "week",
    "months": "month", "years": "year",
    "C": "degC", "F": "degF", "K": "kelvin", "F degrees": "delta_degF",
    "bar": "bar", "mbar": "millibar", "psi": "psi", "kPa": "kilopascal", "MPa": "megapascal",
    "mg/L": "mg/liter", "g/L": "g/liter",
    "uS/cm": "microsiemens/cm", "mS/cm": "millisiemens/cm", "mS/m": "millisiemens/m",
    "um": "micrometer", "mm": "millimeter", "cm": "centimeter", "in": "inch", "ft": "foot", "m": "meter",
    "percent": "percent", "W": "watt", "kW": "kilowatt", "V": "volt",
    "g/s": "g/s", "g/min": "g/minute", "ml/s": "ml/s", "ml/min": "ml/minute", "l/h": "liter/hour",
}  # fmt: skip
"""Our unit ids in the words of Pint, a general-purpose units library."""

REGISTRY = pint.UnitRegistry()


def base_of(kind):
    return next(u.id for u in UNITS if u.kind == kind)


@pytest.mark.parametrize("unit_id", PINT)
def test_each_unit_agrees_with_pint(unit_id):
    base = base_of(units.kind(unit_id))
    # 40 and 7: two points fix a straight line, offset included.
    for value in (7.0, 40.0):
        theirs = REGISTRY.Quantity(value, PINT[unit_id]).to(PINT[base]).magnitude
        assert convert(value, unit_id, base) == pytest.approx(theirs, rel=1e-12)


HARDNESS = {
    # unit: (published factor to mg/L as CaCO3, relative tolerance, source)
    "gpg": (REGISTRY.Quantity(1, "grain/gallon").to("mg/l").magnitude, 1e-9, "grain in a US gallon, Pint"),
    "eH": (REGISTRY.Quantity(1, "grain/imperial_gallon").to("mg/l").magnitude, 1e-9, "grain in an imperial gallon, Pint"),
    "dH": (17.848, 2e-4, "10 mg CaO in a litre, IUPAC molar masses"),
    "fH": (10.0, 1e-12, "definition: 10 mg CaCO3 in a litre"),
    "mmol/L": (100.0869, 1e-9, "IUPAC molar mass of CaCO3"),
    "meq/L": (50.0434, 2e-4, "half the molar mass"),
    "mg/L Ca": (2.4973, 2e-4, "IUPAC molar masses; a stored conversion table prints 2.497"),
    "mg/L Mg": (4.118, 2e-4, "IUPAC molar masses; a stored conversion table prints 4.115"),
    "mg/L HCO3": (0.8202, 2e-4, "IUPAC molar masses"),
}


@pytest.mark.parametrize("unit_id", HARDNESS)
def test_each_hardness_unit_has_its_published_factor(unit_id):
    factor, tolerance, _source = HARDNESS[unit_id]
    assert convert(1, unit_id, "mg/L CaCO3") == pytest.approx(factor, rel=tolerance)


def test_every_unit_is_checked_against_something():
    unchecked = set(units.names()) - set(PINT) - set(HARDNESS)
    assert unchecked == {"mg/L CaCO3", "ratio", "marks", "count"}, "base units with no other of their kind"


def test_no_spelling_means_two_units_of_one_kind():
    for u in UNITS:
        for word in (u.id, *u.words):
            assert spelled(word, u.kind) is u, f"{word} as {u.kind}"


def test_every_kind_has_an_example_that_can_be_read():
    for kind, example in EXAMPLES.items():
        for text in example.replace(", ", " or ").split(" or "):
            assert math.isfinite(read(text, base_of(kind)))


@pytest.mark.parametrize(
    ("text", "unit_id", "value"),
    [
        ("19", "s", 19), ("19s", "s", 19), ("19 sec", "s", 19), ("19 seconds", "s", 19),
        ("0:19", "s", 19), ("1:05", "s", 65), ("1:02:03", "s", 3723), ("0:19,5", "s", 19.5),
        ("1:30", "min", 1.5), ("1:05 min", "s", 65),
        ("1 min 5 s", "s", 65), ("1m5s", "s", 65), ("1 h 30 min", "min", 90), ("1 minute and 5 seconds", "s", 65),
        ("~30", "s", 30), ("about 30 s", "s", 30), ("approx. 30 s", "s", 30), ("30 s or so", "s", 30), ("30ish", "s", 30),
        ("18,5 g", "g", 18.5), ("18.5", "g", 18.5), (".5 g", "g", 0.5), ("1e-3 kg", "g", 1), ("−1.5 °C", "C", -1.5),
        ("200F", "C", 280 / 3), ("200 °F", "C", 280 / 3), ("93º", "C", 93), ("200°", "F", 200), ("93 degrees C", "C", 93),
        ("5 degrees", "K", 5), ("9 F", "K", 5), ("9 F degrees", "K", 5),
        ("9 bar", "bar", 9), ("130 psi", "bar", 8.96318448), ("0.9 MPa", "bar", 9),
        ("1:2", "ratio", 2), ("18:36", "ratio", 2), ("1 : 2,5", "ratio", 2.5), ("1 to 2", "ratio", 2), ("2", "ratio", 2),
        ("10 dH", "mg/L CaCO3", 178.4799), ("10 °fH", "mg/L CaCO3", 100), ("180 ppm", "mg/L CaCO3", 180),
        ("5 eH", "mg/L CaCO3", 71.26884), ("40 mg/L Ca", "mg/L CaCO3", 99.8922), ("20 ppm", "mg/L", 20),
        ("350 µS/cm", "uS/cm", 350), ("0.35 mS/cm", "uS/cm", 350),
        ("2 clicks", "marks", 2), ("20%", "percent", 20), ("12 shots", "count", 12),
        ("6 ft", "m", 1.8288), ("5 m", "m", 5), ("5 m", "min", 5), ("2 weeks", "days", 14), ("2 grams per second", "g/s", 2),
    ],
)  # fmt: skip
def test_what_people_type_is_read(text, unit_id, value):
    assert read(text, unit_id) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "unit_id", "words"),
    [
        ("19 g", "s", ["mass", "time"]),
        ("27 s", "g", ["time", "mass"]),
        ("300 K", "C", ["temperature difference"]),
        ("2 oz", "ml", ["weight", "fl oz"]),
        ("120 mg/L", "mg/L CaCO3", ["CaCO3, Ca or HCO3"]),
        ("half a minute", "s", ["number in figures"]),
        ("nan", "s", ["number in figures"]),
        ("inf", "g", ["number in figures"]),
        ("1e400", "g", ["too large"]),
        ("1e308 kg", "g", ["too large"]),
        ("0x12", "g", ["x12"]),
        ("", "g", ["Nothing was given"]),
        (" \n ", "g", ["Nothing was given"]),
        ("1.234,5", "g", ["two numbers"]),
        ("1,234.5", "g", ["two numbers"]),
        ("1,234", "g", ["two numbers"]),
        ("1 234", "g", ["more than one number"]),
        ("1/2", "g", ["more than one number"]),
        ("26-32 s", "s", ["range"]),
        ("26 s to 32 s", "s", ["range"]),
        ("1:75", "s", ["59"]),
        ("1:05", "days", ["colon"]),
        ("0:2", "ratio", ["left side"]),
        ("1:2", "g", ["colon"]),
        ("5 s 1 min", "s", ["no unit of time"]),
        ("18 gg", "g", ['"gg"']),
        ("1.5 turns of a step", "marks", ["no unit of grinder setting"]),
        ("> 30", "s", ["number in figures"]),
        ("１８", "g", ["number in figures"]),
        ("9" * 500, "g", ["too long"]),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_plain_line(text, unit_id, words):
    with pytest.raises(UnitError) as refused:
        read(text, unit_id)
    line = str(refused.value)
    assert "\n" not in line and len(line) < 250
    assert all(word in line for word in words), line
    assert EXAMPLES[units.kind(unit_id)] in line


@given(st.text(max_size=80), st.sampled_from(units.names()))
def test_any_text_gives_a_finite_number_or_a_unit_error(text, unit_id):
    try:
        assert math.isfinite(read(text, unit_id))
    except UnitError as error:
        assert "\n" not in str(error)


def test_a_value_that_is_not_text_is_refused():
    with pytest.raises(UnitError, match="not text"):
        read(19, "s")


@given(st.sampled_from(UNITS), st.data(), st.floats(-1e6, 1e6))
def test_converting_there_and_back_changes_nothing(source, data, value):
    target = data.draw(st.sampled_from([u for u in UNITS if u.kind == source.kind]))
    there = convert(value, source.id, target.id)
    assert convert(there, target.id, source.id) == pytest.approx(value, rel=1e-9, abs=1e-6 * source.factor or 1e-9)


@given(st.sampled_from(units.names()), st.floats(0, 1e5))
def test_what_is_shown_can_be_read_back(unit_id, value):
    shown = show(value, unit_id)
    # Seconds shown as hours are rounded to a minute, the rest to a unit or better.
    coarse = 31 if unit_id == "s" and value >= 3600 else 0.51
    assert read(shown, unit_id) == pytest.approx(value, abs=coarse)


@pytest.mark.parametrize(
    ("value", "unit_id", "shown"),
    [
        (19, "s", "19 s"), (3.25, "s", "3.2 s"), (9.96, "s", "10 s"), (59.7, "s", "1 min"), (65, "s", "1 min 5 s"),
        (3599.9, "s", "1 h"), (5400, "s", "1 h 30 min"), (-65, "s", "-1 min 5 s"), (0, "s", "0 s"), (-0.04, "s", "0 s"),
        (18.5, "g", "18.5 g"), (18.04, "g", "18 g"), (140.4, "g", "140 g"), (0.25, "g", "0.25 g"), (-0.001, "g", "0 g"),
        (93.2, "C", "93 °C"), (2.08, "ratio", "1:2.1"), (2, "ratio", "1:2"), (9, "bar", "9 bar"), (1.15, "bar", "1.1 bar"),
        (1, "days", "1 day"), (3, "days", "3 days"), (1, "marks", "1 mark"), (1.5, "marks", "1.5 marks"), (3, "count", "3"),
        (178.48, "mg/L CaCO3", "178 mg/L as CaCO3"), (20, "percent", "20 %"), (200, "F", "200 °F"),
        (2, "K", "2 °C"), (0.5, "K", "0.5 °C"),
    ],
)  # fmt: skip
def test_numbers_are_shown_as_far_as_a_person_can_use_them(value, unit_id, shown):
    assert show(value, unit_id) == shown


def test_the_caller_can_set_the_decimals():
    assert show(18, "g", 1) == "18.0 g"
    assert show(65, "s", 1) == "1 min 5.0 s"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_neither_shown_nor_converted(value):
    with pytest.raises(UnitError):
        show(value, "g")
    with pytest.raises(UnitError):
        convert(value, "g", "kg")


def test_a_temperature_is_not_a_difference():
    with pytest.raises(UnitError, match="temperature difference"):
        convert(93, "C", "K")


def test_an_unknown_unit_names_the_nearest():
    with pytest.raises(UnitError, match='did you mean "kPa"'):
        convert(1, "kPaa", "bar")
    assert not units.known("kPaa") and units.known("kPa")


def test_one_spelling_may_serve_several_kinds():
    assert kinds_spelled("m") == ["time", "length"]
