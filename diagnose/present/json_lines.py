"""The lines that the JSON consult writes."""

from __future__ import annotations

from typing import Annotated, Any

from msgspec import Meta

from diagnose.present.parts import Data, Name
from diagnose.present.report_data import CaseReport


class NoteSaid(Data, frozen=True):
    """Said once."""

    code: Annotated[str, Meta(description="Stable code.")]
    text: Name


class ScreenLine(Data, frozen=True):
    """What to show now."""

    screen: dict[str, Any]
    """A `Screen` with its choices and notes in words."""
    text: Annotated[str, Meta(description="The same as plain text.")]
    number: Annotated[int, Meta(ge=1, description="Which screen this is.")]


class ReportLine(Data, frozen=True):
    """The case as it stands."""

    report: CaseReport


class ErrorLine(Data, frozen=True):
    """The line read was no such line; nothing happened."""

    error: Annotated[str, Meta(description="What to do.")]


class TakenLine(Data, frozen=True):
    """The line was taken and the consult has ended."""

    taken: Annotated[bool, Meta(extra_json_schema={"const": True})]


class EndedLine(Data, frozen=True):
    """The last line."""

    ended: Annotated[str, Meta(description="How.", extra_json_schema={
        "enum": ["left", "solved", "not_in_book"]})]
    case: Annotated[str, Meta(description="The case's id, for --resume.")]
    unkept: Annotated[str, Meta(description="Why answers could not be kept; empty where they were.")]


Answered = ScreenLine | ReportLine | ErrorLine | TakenLine
Line = Answered | EndedLine
