"""The one error of this room, and the checks every number passes on its way in."""

from __future__ import annotations

import math

_AGAIN = "check it and give it again"


class ComputeError(ValueError):
    """A number, or a pair of numbers, that cannot be right.

    The message is one plain sentence: which numbers clash, and the mend.
    """


def finite(name: str, value: float) -> float:
    """Return `value` as a float; raise `ComputeError` if it is no finite number."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ComputeError(f"The {name} reads {value!r}, which is no number: {_AGAIN}.")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ComputeError(f"The {name} reads {number}, which is no number: {_AGAIN}.")
    return number


def positive(name: str, value: float, unit: str = "") -> float:
    """Return `value`; raise `ComputeError` unless it is finite and above nought."""
    number = finite(name, value)
    if number <= 0:
        raise ComputeError(f"The {name} reads {shown(number, unit)} but must be above 0: {_AGAIN}.")
    return number


def not_negative(name: str, value: float, unit: str = "") -> float:
    """Return `value`; raise `ComputeError` unless it is finite and not below nought."""
    number = finite(name, value)
    if number < 0:
        raise ComputeError(
            f"The {name} reads {shown(number, unit)} but cannot be below 0: {_AGAIN}."
        )
    return number


def within(name: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Return `value`; raise `ComputeError` unless `low` <= value <= `high`."""
    number = finite(name, value)
    if not low <= number <= high:
        raise ComputeError(
            f"The {name} reads {shown(number, unit)} but can only lie between"
            f" {low:g} and {shown(high, unit)}: {_AGAIN}."
        )
    return number


def shown(value: float, unit: str = "") -> str:
    """Return a number as a person would write it, with its unit."""
    return f"{value:.6g} {unit}".rstrip()
