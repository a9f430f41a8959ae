"""A screen as data: what is to be shown and what may be said to it, no word of layout.

Text that the book or the person wrote stands here; the program's own words do not: a
front end puts them in, by the kinds and codes below.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import msgspec
from msgspec import Meta

from diagnose.present.parts import CautionData, Chance, Choice, Data, HouseRule, one_of
from diagnose.present.screen_data import ComplaintData, ResumeData, ScreenData

__all__ = ["Choice", "Expects", "Kind", "Note", "Offer", "Screen", "Status", "Wanted", "complaint", "opening",
           "resume"]

if TYPE_CHECKING:
    OneShown = ScreenData
else:
    OneShown = one_of(ScreenData)
Kind = Literal["opening", "resume", "complaint", "understood", "browse", "besides", "question",
               "recheck", "remedy", "no_fix", "also", "left", "done_right", "stop", "done", "timer", "leave",
               "keep", "save", "explain", "answer"]
Expects = Literal["words", "one", "several", "quantity", "date", "enter"]


class Note(msgspec.Struct, frozen=True, omit_defaults=True):
    """Something to say once, by its code; the values go into the words."""

    code: str
    values: dict[str, str] = {}


class Wanted(Data, frozen=True):
    """What a screen takes."""

    expects: Annotated[Expects, Meta(
        description="words: free text; one: a choice; several: one choice or more, an empty line for a "
                    "leading `yes`; quantity: a number; date; enter: an empty line.")]
    unit: Annotated[str, Meta(description="Unit of the number; another may be typed with it.")] = ""
    low: Annotated[float | None, Meta(description="Least plausible number.")] = None
    high: Annotated[float | None, Meta(description="Largest plausible number.")] = None
    example: Annotated[str, Meta(description="How an answer is written.")] = ""
    start: Annotated[str, Meta(description="Text to begin with, for the person to change.")] = ""


class Status(Data, frozen=True):
    """Where the consult stands."""

    known: Annotated[int, Meta(ge=0, description="Answers given.")]
    leading: Annotated[str, Meta(description="The leading cause in plain words.")] = ""
    sure: Chance = 0.0
    left: Annotated[int | None, Meta(description="Questions likely left; null: nothing known.")] = None
    at_least: Annotated[bool, Meta(
        description="More may be left; looking further ahead would have taken too long.")] = False


class Screen(Data, frozen=True):
    """All that a front end needs to show and take one step."""

    kind: Annotated[Kind, Meta(description="What kind of screen.")]
    data: Annotated[OneShown | None, Meta(description="What is shown, by the kind of screen.")] = None
    choices: tuple[Choice, ...] = ()
    wanted: Wanted = Wanted("words")
    status: Status | None = None
    cautions: tuple[CautionData, ...] = ()
    notes: tuple[Note, ...] = ()
    broken: Annotated[tuple[str, ...], Meta(
        description="House files left out, each with why, on every screen until mended.")] = ()
    house: Annotated[tuple[HouseRule, ...], Meta(
        description="House rules that had a part in what is shown.")] = ()
    unkept: Annotated[str, Meta(description="Why answers are not being kept; absent while they are.")] = ""


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
