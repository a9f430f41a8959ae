"""Reading a quantity as people type it: "19s", "0:19", "18,5 g", "about 30 s", "1:2"."""

import math
import re
from typing import NoReturn

from diagnose.compute.unit_table import (
    EXAMPLES,
    Unit,
    UnitError,
    kinds_spelled,
    spelled,
    tidy,
    unit,
)
from diagnose.errors import short

_LONGEST = 60
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?")
_PART = re.compile(r"\s*(?:,|and\b)?\s*([0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z]+)")
_ROUGHLY = re.compile(
    r"(?:~|≈|(?:about|around|roughly|approximately|approx\.?|circa|ca\.?)\s)\s*", re.I
)
_OR_SO = re.compile(r"\s*(?:or so|-?ish)$", re.I)
_CLOCK = re.compile(
    r"(?:([0-9]{1,3}):)?([0-9]{1,4}):([0-9]{2}(?:[.,][0-9]+)?)\s*(?:min|mins|minutes|m)?", re.I
)
_RATIO = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(?::|to)\s*([0-9]+(?:[.,][0-9]+)?)", re.I)
_RANGE = re.compile(r"[^0-9]{0,12}?\s*(?:-|–|—|\.\.+|\bto\b)\s*[0-9]", re.I)
_BARE_DEGREES = ("°", "deg", "degree", "degrees")
_GROUPED = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")


def read(text: str, unit_id: str) -> float:
    """Return the quantity that ``text`` states, in the unit ``unit_id``.

    A missing unit means the unit asked for. Decimal comma and point are both read;
    rounding words ("about", "~", "or so") are dropped; a time may be a clock reading
    ("1:05" is one minute five) or a sum ("1 min 5 s"); a brew ratio may be "1:2".

    Raises UnitError, one plain line with the text, the reason and how to write it, for
    anything else: no figure, a range, two numbers, thousands marks that could be decimal
    marks, a unit of another kind, an unknown unit, and numbers that are not finite.
    """
    asked = unit(unit_id)
    plain = _plain(text, asked)
    if ":" in plain or (asked.kind == "ratio" and _RATIO.fullmatch(plain)):
        return _colon(plain, text, asked)
    found = _NUMBER.match(plain)
    if not found:
        _refuse(text, asked, "does not start with a number in figures")
    rest = plain[found.end() :].strip()
    value = _number(found.group(), text, asked)
    _refuse_doubtful(found.group(), rest, text, asked)
    if not rest:
        return value
    stated = spelled(rest, asked.kind)
    if stated:
        # A bare degree sign means the degree that was asked for.
        bare = asked.kind.startswith("temperature") and rest.rstrip(".").lower() in _BARE_DEGREES
        return value if bare else _in_unit(value, stated, asked, text)
    if asked.kind == "time" and (total := _sum_of_times(plain)) is not None:
        return total / asked.factor
    _refuse_unit(text, rest, asked)


def _plain(text: str, asked: Unit) -> str:
    if not isinstance(text, str):
        raise UnitError(f"{text!r} is not text; {_write(asked)}")
    plain = tidy(text)
    if not plain:
        raise UnitError(f"Nothing was given; {_write(asked)}")
    if len(plain) > _LONGEST:
        _refuse(text, asked, "is too long for one quantity")
    return _OR_SO.sub("", _ROUGHLY.sub("", plain, count=1) if _ROUGHLY.match(plain) else plain)


def _number(figures: str, text: str, asked: Unit) -> float:
    value = float(figures.replace(",", "."))
    if not math.isfinite(value):
        _refuse(text, asked, "is too large a number")
    return value


def _refuse_doubtful(figures: str, rest: str, text: str, asked: Unit) -> None:
    """Refuse what could be read in two ways."""
    if re.match(r"[.,][0-9]", rest) or _GROUPED.fullmatch(figures):
        _refuse(
            text, asked, "could mean two numbers: leave out thousands marks and use a decimal point"
        )
    if _RANGE.match(rest):
        _refuse(text, asked, "is a range; give one number")
    if re.match(r"[0-9/]", rest):
        _refuse(text, asked, "holds more than one number")


def _in_unit(value: float, stated: Unit, asked: Unit, text: str) -> float:
    if stated is asked:
        return value
    result = (value - stated.zero) * stated.factor / asked.factor + asked.zero
    if not math.isfinite(result):
        _refuse(text, asked, "is too large a number")
    return result


def _colon(plain: str, text: str, asked: Unit) -> float:
    if asked.kind == "ratio" and (pair := _RATIO.fullmatch(plain)):
        part, whole = (_number(side, text, asked) for side in pair.groups())
        if part > 0 and math.isfinite(whole / part):
            return whole / part
        _refuse(text, asked, "has nothing on its left side")
    if asked.id in ("s", "min") and (clock := _CLOCK.fullmatch(plain)):
        hours, minutes, seconds = (_number(part or "0", text, asked) for part in clock.groups())
        if seconds < 60 and (not clock.group(1) or minutes < 60):
            return (hours * 3600 + minutes * 60 + seconds) / asked.factor
        _refuse(text, asked, "is no clock reading: seconds and minutes end at 59")
    _refuse(text, asked, "with a colon cannot be read here")


def _sum_of_times(plain: str) -> float | None:
    """Return the seconds in "1 min 5 s", largest unit first; None if it is not that."""
    total, largest, at = 0.0, math.inf, 0
    while at < len(plain):
        part = _PART.match(plain, at)
        step = spelled(part.group(2), "time") if part else None
        if part is None or step is None or step.factor >= largest:
            return None
        total += float(part.group(1).replace(",", ".")) * step.factor
        largest, at = step.factor, part.end()
    return total if math.isfinite(total) else None


def _refuse_unit(text: str, rest: str, asked: Unit) -> NoReturn:
    if asked.kind == "hardness" and spelled(rest, "concentration"):
        _refuse(text, asked, "does not say mg/L of what (CaCO3, Ca or HCO3)")
    if asked.kind == "volume" and spelled(rest, "mass") and rest.lower().startswith("o"):
        _refuse(
            text, asked, 'is a weight (write "fl oz" for the volume), but a volume is asked for'
        )
    kinds = " or ".join(kinds_spelled(rest))
    if kinds:
        _refuse(text, asked, f"is a {kinds}, but a {asked.kind} is asked for")
    _refuse(text, asked, f'ends in "{short(rest)}", which is no unit of {asked.kind} known here')


def _refuse(text: str, asked: Unit, why: str) -> NoReturn:
    raise UnitError(f'"{short(text)}" {why}; {_write(asked)}') from None


def _write(asked: Unit) -> str:
    return f'write it like "{EXAMPLES[asked.kind]}".'
