"""Several complaints: which a fix is for, and when the others come."""

from __future__ import annotations

from diagnose.case.case import FAIR_FIX, Case
from diagnose.present.parts import ThenData, WaitsData
from diagnose.reason.plan import Option


def data(case: Case, option: Option) -> WaitsData | None:
    """What waits while this fix is tried, each with what comes for it; why this one is first.

    None where nothing waits.
    """
    chief = case.book.causes[option.causes[0][0]].shows
    left = [s for s in case.complaints if s not in chief]
    if not left or len(left) == len(case.complaints):
        return None
    then = [(s, _then(case, option, s)) for s in left]
    first = [case.book.symptoms[s].name for s in case.complaints if s in chief]
    likelier = all(o is None or option.chance >= o.chance for _, o in then)
    return WaitsData(first, "likelier" if likelier else "quicker",
                     [ThenData(case.book.symptoms[s].name, case.book.remedies[o.remedy].name if o else "")
                      for s, o in then])


def _then(case: Case, option: Option, symptom: str) -> Option | None:
    """The first fix after this one that has a fair chance with a cause which shows the complaint."""
    return next((o for o in case.options if o.remedy != option.remedy
                 and _for(case, o, symptom) >= FAIR_FIX), None)


def _for(case: Case, option: Option, symptom: str) -> float:
    """The chance that a fix cures what shows a complaint."""
    return sum(part for cause, part in option.causes if symptom in case.book.causes[cause].shows)
