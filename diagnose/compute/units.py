"""Units: convert between them, read what people type, show a number with its unit.

>>> read("1:05", "s")
65.0
>>> show(convert(200, "F", "C"), "C")
'93 °C'
"""

import math

from diagnose.compute.unit_reading import read
from diagnose.compute.unit_table import BY_ID, Unit, UnitError, unit

__all__ = ["UnitError", "convert", "kind", "known", "names", "read", "show", "span"]

_PLACES = {
    "temperature": 0,
    "hardness": 0,
    "concentration": 0,
    "conductivity": 0,
    "power": 0,
    "voltage": 0,
}
"""Decimals always used for a kind; the others go by the size of the number."""


def names() -> tuple[str, ...]:
    """Return the id of every unit, in table order."""
    return tuple(BY_ID)


def known(unit_id: str) -> bool:
    """Say whether ``unit_id`` is the id of a unit."""
    return unit_id in BY_ID


def kind(unit_id: str) -> str:
    """Return the kind of a unit, such as "mass"; UnitError if there is no such unit."""
    return unit(unit_id).kind


def convert(value: float, source: str, target: str) -> float:
    """Return ``value``, given in the unit ``source``, in the unit ``target``.

    Raises UnitError for an unknown unit, for units of two kinds (a temperature is not a
    temperature difference) and for a value that is not finite.
    """
    old, new = unit(source), unit(target)
    if old.kind != new.kind:
        raise UnitError(
            f'"{source}" is a {old.kind} and "{target}" is a {new.kind}; '
            "convert only between units of one kind."
        )
    _finite(value, old)
    if old is new:
        return float(value)
    return _finite((value - old.zero) * old.factor / new.factor + new.zero, new)


def show(value: float, unit_id: str, digits: int | None = None) -> str:
    """Return ``value`` with its unit, rounded as far as a person can use it.

    ``digits`` sets the decimals instead. Seconds from a minute up become minutes and
    hours; a ratio is shown as "1:2.1". Raises UnitError for a value that is not finite.
    """
    shown = unit(unit_id)
    _finite(value, shown)
    if shown.id == "s":
        return _duration(value, digits)
    figures = _figures(value, shown.kind, digits)
    if shown.id == "ratio":
        return f"1:{figures}"
    if shown.id == "count":
        return figures
    return f"{figures} {shown.symbol(abs(float(figures)))}"


def span(low: float, high: float, unit_id: str) -> str:
    """Return "26 to 32 s": a span with its unit said once, or one value where both show alike."""
    first, last = show(low, unit_id), show(high, unit_id)
    if first == last:
        return last
    figures, _, symbol = first.partition(" ")
    return f"{figures if last.partition(' ')[2] == symbol else first} to {last}"


def _finite(value: float, stated: Unit) -> float:
    if not math.isfinite(value):
        raise UnitError(
            f"{value} {stated.id} is not a number that can be measured; give a finite one."
        )
    return float(value)


def _figures(value: float, kind_: str, digits: int | None) -> str:
    if digits is not None:
        return _unsigned_zero(f"{value:.{digits}f}")
    size = abs(value)
    whole = 10 if kind_ == "time" else 100
    places = _PLACES.get(kind_, 0 if size >= whole else 1 if size >= 1 else 2)
    text = f"{value:.{places}f}"
    return _unsigned_zero(text.rstrip("0").rstrip(".") if "." in text else text)


def _unsigned_zero(text: str) -> str:
    return text.lstrip("-") if float(text) == 0 else text


def _duration(seconds: float, digits: int | None) -> str:
    places = digits if digits is not None else 0 if abs(seconds) >= 9.95 else 1
    whole = round(abs(seconds), places)
    sign = "-" if seconds < 0 and whole else ""
    minutes, rest = divmod(whole, 60)
    if whole < 60:
        return f"{sign}{_figures(rest, 'time', places) if digits is not None else f'{rest:g}'} s"
    if minutes < 60:
        tail = f" {rest:.{places}f} s" if rest else ""
        return f"{sign}{minutes:.0f} min{tail}"
    hours, minutes = divmod(round(whole / 60), 60)
    return f"{sign}{hours:.0f} h" + (f" {minutes:.0f} min" if minutes else "")
