"""Which way each thing one can change moves flow, strength and extraction.

Kept as a table: it is knowledge about directions, with the reason and the
source of each row, all else held the same.
"""

from __future__ import annotations

from typing import NamedTuple

from .errors import ComputeError


class Effect(NamedTuple):
    """What one change does.

    Each of the three is "up", "down", "same", "mostly up" or "mostly down";
    `note` says when "mostly" fails, `source` where the row comes from.
    """

    flow: str
    strength: str
    extraction: str
    note: str
    source: str


_UP = {
    "dose": Effect(
        "down",
        "up",
        "down",
        "At the same yield: a deeper bed flows slower, and each gram is rinsed by less water.",
        "Darcy's law; extraction = strength x yield / dose",
    ),
    "yield": Effect(
        "same",
        "down",
        "up",
        "At the same grind and dose: the later part of a shot is thin, but still dissolves coffee.",
        "Schmieder et al., Foods 12 (2023) 2871: beverage mass outweighs all else",
    ),
    "time": Effect(
        "same",
        "down",
        "up",
        "Letting the same shot run on; to lengthen the time at the same yield, grind finer.",
        "Schmieder et al., Foods 12 (2023) 2871",
    ),
    "grind": Effect(
        "down",
        "mostly up",
        "mostly up",
        "Finer extracts more only up to a point; beyond it the water finds channels and"
        " extraction falls.",
        "Cameron et al., Matter 2 (2020) 631-648",
    ),
    "temperature": Effect(
        "mostly up",
        "mostly up",
        "mostly up",
        "Small: 5 degrees thin the water by about 6 %, and tasters seldom tell.",
        "IAPWS viscosity; Klotz et al., Foods 9 (2020) 36",
    ),
    "pressure": Effect(
        "mostly up",
        "mostly down",
        "mostly down",
        "Less than in proportion, since pressure also squeezes the bed.",
        "Darcy's law; Corrochano et al., J. Food Eng. 150 (2015) 106-116 on bed consolidation",
    ),
}

_TURNED = {
    "up": "down",
    "down": "up",
    "same": "same",
    "mostly up": "mostly down",
    "mostly down": "mostly up",
}

_DIRECTIONS = {"up": True, "finer": True, "down": False, "coarser": False}


def effect(*, of: str, direction: str) -> Effect:
    """Return what raising or lowering one thing does, all else held the same.

    `of`: dose, yield, time, grind, temperature or pressure.  `direction`: "up"
    or "down"; for the grind "finer" or "coarser".  Raises `ComputeError` for
    anything else, or for "up" of a grind, which could mean either.
    """
    if of not in _UP:
        raise ComputeError(f"No effect is known of {of!r}: ask for one of {', '.join(_UP)}.")
    wanted = ("finer", "coarser") if of == "grind" else ("up", "down")
    if direction not in wanted:
        raise ComputeError(f"The {of} goes {' or '.join(wanted)}, not {direction!r}: choose one.")
    row = _UP[of]
    return row if _DIRECTIONS[direction] else _turned(row)


def _turned(row: Effect) -> Effect:
    return row._replace(
        flow=_TURNED[row.flow],
        strength=_TURNED[row.strength],
        extraction=_TURNED[row.extraction],
    )
