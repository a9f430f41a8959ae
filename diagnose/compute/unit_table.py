"""The units people use around an espresso machine, as data.

Every unit belongs to one kind and is a straight line away from the base unit of its
kind: ``base = (value - zero) * factor``. A temperature and a temperature difference are
different kinds, because 10 F hotter is 5.6 K hotter while 10 F itself is -12 C.

Volumes in ``fl oz`` and ``cup`` are the US customary ones (29.57 ml and 236.6 ml); the
imperial fluid ounce is ``imp fl oz``. A month is a twelfth of 365.25 days. Hardness and
alkalinity are given as the equal amount of calcium carbonate.

Factors: the SI brochure and NIST Special Publication 811, appendix B (mass, volume,
pressure, length: exact definitions); hardness degrees from their definitions (German: 10 mg
of CaO in a litre; French: 10 mg of CaCO3; Clark and US: one grain in a gallon, imperial
and US) with IUPAC molar masses.
"""

from typing import NamedTuple

GRAIN_MG = 64.79891
POUND_G = 453.59237
US_GALLON_L = 3.785411784
IMPERIAL_GALLON_L = 4.54609
PSI_BAR = 0.0689475729316836
MONTH_S = 365.25 / 12 * 86400

MOLAR_MASS = {
    "CaCO3": 100.0869,
    "CaO": 56.0774,
    "Ca": 40.078,
    "Mg": 24.305,
    "HCO3": 61.0168,
    "Na": 22.98977,
    "K": 39.0983,
    "Cl": 35.453,
    "SO4": 96.0626,
    "NO3": 62.0049,
}
"""Grams in a mole: IUPAC standard atomic weights, abridged."""


class UnitError(ValueError):
    """A quantity that cannot be read or converted: what was read, why not, the mend."""


class Unit(NamedTuple):
    """One unit: its id, kind, straight line to the base unit, and how it is shown.

    ``one`` and ``many`` follow the number ("1 day", "3 days"); ``words`` are the other
    spellings that are understood.
    """

    id: str
    kind: str
    factor: float
    words: tuple[str, ...] = ()
    one: str = ""
    many: str = ""
    zero: float = 0.0

    def symbol(self, value: float) -> str:
        """Return what to write behind ``value``."""
        return (self.one if value == 1 else self.many) or self.one or self.id


def _words(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split("|"))


UNITS = (
    Unit("g", "mass", 1.0, _words("gram|grams|gramme|grammes|gr|gm|gms")),
    Unit("kg", "mass", 1000.0, _words("kilo|kilos|kilogram|kilograms|kilogramme|kgs")),
    Unit("mg", "mass", 0.001, _words("milligram|milligrams")),
    Unit("oz", "mass", POUND_G / 16, _words("ounce|ounces")),
    Unit("lb", "mass", POUND_G, _words("lbs|pound|pounds")),
    Unit(
        "ml", "volume", 1.0, _words("millilitre|millilitres|milliliter|milliliters|cc|cm3|cm³|mls")
    ),
    Unit("cl", "volume", 10.0, _words("centilitre|centilitres|centiliter|centiliters")),
    Unit("dl", "volume", 100.0, _words("decilitre|decilitres|deciliter|deciliters")),
    Unit("l", "volume", 1000.0, _words("litre|litres|liter|liters|ltr")),
    Unit(
        "fl oz",
        "volume",
        US_GALLON_L * 1000 / 128,
        _words("floz|us fl oz|fluid ounce|fluid ounces|fl. oz|fl.oz"),
    ),
    Unit("imp fl oz", "volume", IMPERIAL_GALLON_L * 1000 / 160, _words("imperial fl oz|uk fl oz")),
    Unit("cup", "volume", US_GALLON_L * 1000 / 16, _words("cups|us cup|us cups"), "cup", "cups"),
    Unit("s", "time", 1.0, _words("sec|secs|second|seconds|″")),
    Unit("min", "time", 60.0, _words("m|mins|minute|minutes|′")),
    Unit("h", "time", 3600.0, _words("hr|hrs|hour|hours")),
    Unit("days", "time", 86400.0, _words("day|d"), "day", "days"),
    Unit("weeks", "time", 604800.0, _words("week|wk|wks|w"), "week", "weeks"),
    Unit("months", "time", MONTH_S, _words("month|mo|mos"), "month", "months"),
    Unit("years", "time", MONTH_S * 12, _words("year|yr|yrs|y"), "year", "years"),
    Unit(
        "C",
        "temperature",
        1.0,
        _words("°c|deg c|degc|degrees c|celsius|degrees celsius|°|deg|degree|degrees|℃|centigrade"),
        "°C",
    ),
    Unit(
        "F",
        "temperature",
        5 / 9,
        _words("°f|deg f|degf|degrees f|fahrenheit|degrees fahrenheit|℉"),
        "°F",
        zero=32.0,
    ),
    Unit(
        "K",
        "temperature difference",
        1.0,
        _words(
            "kelvin|kelvins|c|°c|deg c|degrees c|celsius|degrees celsius|°|deg|degree|degrees|℃"
        ),
        "°C",
    ),
    Unit(
        "F degrees",
        "temperature difference",
        5 / 9,
        _words("f|°f|deg f|degrees f|fahrenheit|degrees fahrenheit|℉"),
        "°F",
    ),
    Unit("bar", "pressure", 1.0, _words("bars|bar g|barg")),
    Unit("mbar", "pressure", 0.001, _words("millibar|millibars|hpa")),
    Unit("psi", "pressure", PSI_BAR, _words("psig|lb/in2|pounds/square inch")),
    Unit("kPa", "pressure", 0.01, _words("kilopascal|kilopascals")),
    Unit("MPa", "pressure", 10.0, _words("megapascal|megapascals")),
    Unit(
        "mg/L CaCO3",
        "hardness",
        1.0,
        _words("mg/l as caco3|mg caco3/l|ppm|ppm caco3|ppm as caco3"),
        "mg/L as CaCO3",
    ),
    Unit(
        "dH",
        "hardness",
        10 * MOLAR_MASS["CaCO3"] / MOLAR_MASS["CaO"],
        _words("°dh|°d|dgh|dkh|°dkh|german degrees|degrees german|german"),
        "°dH",
    ),
    Unit("fH", "hardness", 10.0, _words("°fh|°f|french degrees|degrees french|french"), "°fH"),
    Unit(
        "eH",
        "hardness",
        GRAIN_MG / IMPERIAL_GALLON_L,
        _words("°eh|°e|clark|degrees clark|clark degrees|english degrees"),
        "°eH",
    ),
    Unit(
        "gpg", "hardness", GRAIN_MG / US_GALLON_L, _words("grain|grains|grains/gallon|grain/gallon")
    ),
    Unit("mmol/L", "hardness", MOLAR_MASS["CaCO3"], _words("mmol|mol/m3|mol/m³")),
    Unit("meq/L", "hardness", MOLAR_MASS["CaCO3"] / 2, _words("meq|mval/l")),
    Unit(
        "mg/L Ca",
        "hardness",
        MOLAR_MASS["CaCO3"] / MOLAR_MASS["Ca"],
        _words("mg/l as ca|mg/l calcium|ppm ca"),
    ),
    Unit(
        "mg/L Mg",
        "hardness",
        MOLAR_MASS["CaCO3"] / MOLAR_MASS["Mg"],
        _words("mg/l as mg|mg/l magnesium|ppm mg"),
    ),
    Unit(
        "mg/L HCO3",
        "hardness",
        MOLAR_MASS["CaCO3"] / 2 / MOLAR_MASS["HCO3"],
        _words("mg/l as hco3|mg/l bicarbonate|ppm hco3"),
    ),
    Unit(
        "mg/L",
        "concentration",
        1.0,
        _words("ppm|mg/litre|mg/liter|milligrams/litre|milligrams/liter"),
    ),
    Unit("g/L", "concentration", 1000.0, _words("g/litre|g/liter")),
    Unit("uS/cm", "conductivity", 1.0, _words("us|microsiemens|microsiemens/cm")),
    Unit("mS/cm", "conductivity", 1000.0, _words("ms|millisiemens|millisiemens/cm")),
    Unit("mS/m", "conductivity", 10.0),
    Unit(
        "um",
        "length",
        0.001,
        _words("micron|microns|micrometre|micrometres|micrometer|micrometers"),
        "µm",
    ),
    Unit("mm", "length", 1.0, _words("millimetre|millimetres|millimeter|millimeters")),
    Unit("cm", "length", 10.0, _words("centimetre|centimetres|centimeter|centimeters")),
    Unit("in", "length", 25.4, _words('inch|inches|″|"')),
    Unit("ft", "length", 304.8, _words("foot|feet|′")),
    Unit("m", "length", 1000.0, _words("metre|metres|meter|meters")),
    Unit("percent", "share", 1.0, _words("%|per cent|pct"), "%"),
    Unit("W", "power", 1.0, _words("watt|watts")),
    Unit("kW", "power", 1000.0, _words("kilowatt|kilowatts")),
    Unit("V", "voltage", 1.0, _words("volt|volts|vac")),
    Unit("g/s", "mass flow", 1.0, _words("g/sec|g/second|gram/second|grams/second")),
    Unit("g/min", "mass flow", 1 / 60, _words("g/minute|grams/minute")),
    Unit(
        "ml/s", "volume flow", 1.0, _words("ml/sec|ml/second|millilitres/second|milliliters/second")
    ),
    Unit(
        "ml/min", "volume flow", 1 / 60, _words("ml/minute|millilitres/minute|milliliters/minute")
    ),
    Unit("l/h", "volume flow", 1000 / 3600, _words("l/hour|litres/hour|liters/hour")),
    Unit("ratio", "ratio", 1.0, _words("x|times")),
    Unit(
        "marks",
        "grinder setting",
        1.0,
        _words("mark|click|clicks|step|steps|notch|notches|number|numbers"),
        "mark",
        "marks",
    ),
    Unit(
        "count",
        "count",
        1.0,
        _words("x|times|shots|shot|drinks|drink|cups|cup|pieces|piece|uses|use"),
    ),
)

EXAMPLES = {
    "mass": "18.5 g",
    "volume": "200 ml",
    "time": "27 s or 1:05",
    "temperature": "93 C or 200 F",
    "temperature difference": "2 K",
    "pressure": "9 bar or 130 psi",
    "hardness": "180 mg/L CaCO3, 10 dH, 18 fH or 10 gpg",
    "concentration": "20 mg/L",
    "conductivity": "350 uS/cm",
    "length": "58 mm",
    "share": "20 %",
    "power": "1200 W",
    "voltage": "230 V",
    "mass flow": "1.2 g/s",
    "volume flow": "2 ml/s",
    "ratio": "1:2",
    "grinder setting": "2 marks",
    "count": "3",
}
"""How to write a quantity of each kind, for error lines."""

BY_ID = {unit.id: unit for unit in UNITS}


def _index() -> dict[tuple[str, str], Unit]:
    """Map (kind, lower-case spelling) to a unit; an id wins over a spelling."""
    index = {(u.kind, word): u for u in UNITS for word in u.words}
    index.update({(u.kind, u.id.lower()): u for u in UNITS})
    return index


_SPELLINGS = _index()
_TIDY = str.maketrans(
    {"µ": "u", "μ": "u", "º": "°", "˚": "°", "\u00a0": " ", "\u202f": " ", "−": "-", "₃": "3"}
)


def tidy(text: str) -> str:
    """Return ``text`` with look-alike signs made one and runs of spaces closed up."""
    return " ".join(text.translate(_TIDY).split())


def spelled(text: str, kind: str) -> Unit | None:
    """Return the unit of ``kind`` that ``text`` spells, or None."""
    word = tidy(text).lower().replace(" per ", "/").replace(" / ", "/").rstrip(".")
    return _SPELLINGS.get((kind, word))


def kinds_spelled(text: str) -> list[str]:
    """Return every kind in which ``text`` spells a unit, in table order."""
    return [kind for kind in EXAMPLES if spelled(text, kind)]


def unit(name: str) -> Unit:
    """Return the unit with the id ``name``; UnitError with the nearest id otherwise."""
    try:
        return BY_ID[name]
    except (KeyError, TypeError):
        from difflib import get_close_matches

        near = get_close_matches(str(name), BY_ID, n=1, cutoff=0.4)
        hint = f'did you mean "{near[0]}"?' if near else "see the list of units."
        raise UnitError(f'There is no unit "{name}"; {hint}') from None
