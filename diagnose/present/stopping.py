"""A stop in words: every screen, page, letter and hand-over takes its lines from here.

The signs of danger told come first, each once, those of somebody hurt before all others; then what
is to be done, who helps, and whether the machine may go on being used.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from diagnose.book.book import Book
from diagnose.case.case import Case
from diagnose.present import cautions
from diagnose.present.parts import CautionData, HazardData, SignData, more
from diagnose.present.report_data import CaseReport, NextHazard

TITLE = "Stop. Do not go on."
TOLD = "What was told: {names}."
FIRST = "First: {text}"
AID = "First aid: {text}"
DANGER = "{signal}: {text}"
AVOID = "What to do: {text}"
MAY_USE = "May you go on using it? {text}."
GO_ON = "Go on only if this is true: {text}"
ENDS = "This consult ends here."
END = f"{ENDS} Hand it to a technician or the maker's service."
END_HURT = (f"{ENDS} Whoever is or may be hurt comes first; it stays switched off until "
            "somebody qualified has seen to it.")
BRIEF = "STOP. {signal}: {avoid}"
HANDOVER = "Stop: this is work for a technician or the maker's service."
HANDOVER_WHAT = "What they would do: {name}."
MAKER_FIRST = ("The maker's instructions and the law where the machine stands come before anything "
               "written here.")
HELP_FIRST = ("What the doctor, the poison advice line or the emergency service says comes before "
              "anything written here.")
CLOSINGS = (MAKER_FIRST, HELP_FIRST)


Code = Literal["title", "told", "first", "aid", "danger", "avoid", "use", "go_on", "end"]


class Line(NamedTuple):
    """One line of a stop, and what it says."""

    code: Code
    text: str


def signs(case: Case) -> list[SignData]:
    """The signs of danger told and not dealt with, as data, in the order to show them."""
    found = [(name, case.book.hazards[name]) for name in case.signs]
    return [SignData(name, h.name, h.signal, h.means, h.hurt == "yes", h.first, h.first_aid)
            for name, h in found]


def hazard(case: Case, caution: str) -> HazardData:
    """A hazard that stops, as data."""
    return more(HazardData, cautions.one(case.book, caution), reason="hazard",
                go_on=case.book.cautions[caution].go_on, signs=signs(case), use=case.use.text)


def brief(book: Book, caution: str) -> str:
    """A caution that stops, where there is room for no more than what to do."""
    stated = book.cautions[caution]
    return BRIEF.format(signal=stated.signal, avoid=stated.avoid)


def lines(data: HazardData) -> Iterator[Line]:
    """A hazard that stops, from its data, in the order in which it must be read."""
    yield Line("title", TITLE)
    yield from told(data.signs, said=data.avoid)
    yield Line("danger", DANGER.format(signal=data.signal, text=data.text))
    yield Line("avoid", AVOID.format(text=data.avoid))
    yield Line("use", may_use(data.use))
    if data.go_on:
        yield Line("go_on", GO_ON.format(text=data.go_on))
    else:
        yield Line("end", END_HURT if any(s.hurt for s in data.signs) else END)


def besides(data: CaseReport) -> list[CautionData]:
    """The cautions of a case's report, less the one that it stops at and has said above."""
    said = data.next.id if isinstance(data.next, NextHazard) else ""
    return [c for c in data.cautions if c.id != said]


def told(given: Iterable[SignData], said: str = "") -> Iterator[Line]:
    """The signs told, with what comes first of each that `said` does not say already."""
    found = list(given)
    if found:
        yield Line("told", TOLD.format(names="; ".join(s.name for s in found)))
    yield from _each("first", FIRST, (s.first for s in found if s.first not in said))
    yield from _each("aid", AID, (s.first_aid for s in found if s.first_aid not in said))


def _each(code: Code, text: str, given: Iterable[str]) -> Iterator[Line]:
    """A line for each thing that is said, once."""
    return (Line(code, text.format(text=one)) for one in dict.fromkeys(given) if one)


def may_use(text: str) -> str:
    """May one go on using it? In one line."""
    return MAY_USE.format(text=text[:1].upper() + text[1:])


def closing(case: Case) -> str:
    """Whose word comes before all that was said."""
    return HELP_FIRST if any(s.hurt for s in signs(case)) else MAKER_FIRST
