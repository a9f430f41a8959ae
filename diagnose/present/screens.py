"""A screen as data: what is to be shown and what may be said to it, no word of layout.

Text that the book or the person wrote stands here; the program's own words do not: a
front end puts them in, by the kinds and codes below.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from diagnose.present.parts import CautionData, Choice, HouseRule
from diagnose.present.screen_data import ComplaintData, ResumeData, ScreenData

__all__ = ["Choice", "Expects", "Kind", "Note", "Offer", "Screen", "Status", "Wanted", "complaint", "opening",
           "resume"]

Kind = Literal["opening", "resume", "complaint", "understood", "browse", "besides", "question",
               "recheck", "remedy", "no_fix", "also", "left", "done_right", "stop", "done", "timer", "leave",
               "keep", "save", "explain", "answer", "end"]
Expects = Literal["words", "one", "several", "quantity", "date", "enter"]


class Note(msgspec.Struct, frozen=True, omit_defaults=True):
    """Something to say once, by its code; the values go into the words."""

    code: str
    values: dict[str, str] = {}


class Wanted(msgspec.Struct, frozen=True, omit_defaults=True):
    """What a screen takes."""

    expects: Expects
    unit: str = ""
    low: float | None = None
    high: float | None = None
    example: str = ""
    start: str = ""
    """Text to begin with, for the person to change."""


class Status(msgspec.Struct, frozen=True, omit_defaults=True):
    """Where the consult stands."""

    known: int
    leading: str = ""
    sure: float = 0.0
    left: int | None = None
    """Questions likely left; None before anything is known."""
    at_least: bool = False
    """More may be left; looking further ahead would have taken too long."""


class Screen(msgspec.Struct, frozen=True, omit_defaults=True):
    """All that a front end needs to show and take one step."""

    kind: Kind
    data: ScreenData | None = None
    choices: tuple[Choice, ...] = ()
    wanted: Wanted = Wanted("words")
    status: Status | None = None
    cautions: tuple[CautionData, ...] = ()
    notes: tuple[Note, ...] = ()
    broken: tuple[str, ...] = ()
    """House files left out, to be named on every screen until mended."""
    house: tuple[HouseRule, ...] = ()
    """House rules that touched what is shown."""
    unkept: str = ""
    """Why answers are not being kept; empty while they are."""


def complaint(purpose: str = "first", start: str = "") -> Screen:
    """The screen that asks for a complaint, known before any book is."""
    return Screen("complaint", ComplaintData(purpose), wanted=Wanted("words", start=start),
                  status=Status(0) if purpose == "first" else None)


def opening() -> Screen:
    """A case on file is being opened."""
    return Screen("opening", wanted=Wanted("enter"), status=Status(0))


def resume(id: str, at: str, complaint: str, answers: int) -> Screen:
    """The screen that offers to go on with a case on file."""
    data = ResumeData(id, at, complaint, answers)
    return Screen("resume", data, (Choice("yes"), Choice("no")), Wanted("one"), Status(0))


class Offer(msgspec.Struct, frozen=True):
    """A way to finish what is being typed."""

    text: str
    more: str = ""
