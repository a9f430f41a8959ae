"""Questions asked inside a trouble: what the case itself says to them, in one line.

"Finer or coarser?", "is it the grinder or me?", "did I break it?", "can I go on till Friday?" and
"can I drink it?" hang on the case. The line is empty where the case does not decide; the book's
general answer then stands alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from diagnose.book.model import SIGNALS
from diagnose.case.case import HOPELESS, Case
from diagnose.reason.plan import Option

_WAY = re.compile(r"\b(finer|coarser)\b")
_OWN_HANDS = ("recipe", "preparation", "setting", "dose", "grind", "steaming", "pouring", "tasting",
              "measuring", "expectation", "warm-up", "upkeep", "serving")
_BEANS = ("beans", "ground coffee", "grounds", "water", "milk", "filter")
_DRUNK = re.compile(r"\b(?:drink|drunk|swallow\w*|ill|poison\w*|germs)\b")
GRAVE = SIGNALS[:2]
HARMLESS = ("amount", "beans", "drinks", "flow", "grinder", "look", "measuring", "milk", "nothing wrong",
            "preparation", "puck", "taste")
"""Areas of complaints with which a machine can be used on."""
CLEAR = 0.5
"""Chance of one side from which "the grinder or me?" is answered by name."""


def first_line(case: Case, within: str) -> str:
    """What the case says to a question of this kind; empty where it says nothing."""
    said = _SAID.get(within)
    return said(case) if said and case.complaints else ""


def _option(case: Case) -> Option | None:
    """The fix that would be tried now."""
    return case.options[0] if case.options and case.options[0].chance >= HOPELESS else None


def _direction(case: Case) -> str:
    option = _option(case)
    name = case.book.remedies[option.remedy].name if option and not case.hazard else ""
    found = _WAY.search(name)
    return f"{found[1].capitalize()}: {name}." if found else ""


def _whose(case: Case) -> str:
    if case.hazard:
        return ""
    shares: dict[str, float] = {}
    for ranked in case.ranked:
        if ranked.cause:
            side = _side(case.book.causes[ranked.cause].part)
            shares[side] = shares.get(side, 0.0) + ranked.probability
    side, share = max(shares.items(), key=lambda s: s[1], default=("", 0.0))
    if share < CLEAR:
        return ""
    first = next(r for r in case.ranked if r.cause and _side(case.book.causes[r.cause].part) == side)
    return f"From what you say more likely {side}: {case.book.causes[first.cause].name}."


def _side(part: str) -> str:
    """Whose a part of the equipment or of the work is, in words."""
    first = re.split(r",| and ", part)[0].strip()
    if "grinder" in first:
        return "the grinder"
    if first in _OWN_HANDS:
        return "the way it is done than the equipment"
    return f"the {first}" if first in _BEANS else "the machine"


def _broken(case: Case) -> str:
    option = _option(case)
    if case.hazard:
        return "Something may be broken: leave it off and do not try it again."
    if option is None:
        return ""
    if option.who in case.refused:
        return "It may well be broken: what it most likely needs is a technician's work."
    cause = case.book.causes[option.causes[0][0]].name
    return f"Most likely not: what fits best can be put right by you ({cause})."


def _going_on(case: Case) -> str:
    """May it be used till then?"""
    if case.hazard:
        return f"No, leave it off: {case.book.cautions[case.hazard].avoid}"
    grave = [c for c in case.cautions if case.book.cautions[c].signal in GRAVE]
    if grave:
        return f"Not before this is heeded: {case.book.cautions[grave[0]].avoid}"
    option = _option(case)
    if option is not None and option.who in case.refused:
        return ("Better not: what it most likely needs is a technician's work, so leave it off and "
                "unplugged until it has been seen to.")
    if any(case.book.symptoms[s].area not in HARMLESS for s in case.complaints):
        return ""
    return ("Yes: what you tell of spoils the coffee and nothing else. Switch it off at the wall if it "
            "leaks, trips, smells burnt or hisses where it did not before.")


def _drinking(case: Case) -> str:
    names = (case.hazard, *case.cautions) if case.hazard else case.cautions
    for name in names:
        stated = case.book.cautions[name]
        if _DRUNK.search(f"{stated.text} {stated.avoid}"):
            return f"No: {stated.avoid}"
    return ""


_SAID: dict[str, Callable[[Case], str]] = {
    "direction": _direction, "whose": _whose, "broken": _broken, "going on": _going_on,
    "drinking": _drinking,
}
