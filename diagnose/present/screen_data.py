"""What each kind of screen shows, as a struct; see `screens.Kind`.

What leads to the case's next step may say `others_aside`: that fixes were put aside before it; and
`asks`: that it was wanted before the questions were through, and which would help most.
"""

from __future__ import annotations

from typing import Literal

from msgspec import field

from diagnose.present.parts import (
    CauseData,
    Choice,
    Data,
    FixData,
    FixNamed,
    HazardData,
    LossData,
    PracticeAnswer,
    QuestionStated,
    SignData,
    WaitsData,
)
from diagnose.present.told_data import Told

# Before there is a case, and beside its next step.


class ResumeData(Data, frozen=True):
    """A case on file to go on with."""

    id: str
    at: str
    complaint: str
    answers: int


class ComplaintData(Data, frozen=True):
    """Someone's own words are wanted."""

    purpose: str
    """first, answered (first, after a question of practice), again or new."""
    kept: list[Choice] = field(default_factory=list)


class UnderstoodData(Data, frozen=True):
    """What was understood of someone's words."""

    text: str
    remarks: list[str]
    sure: list[Choice]
    maybe: list[str]
    """Ids of the choices that the words may perhaps mean."""
    kept: list[Choice]


class BrowseData(Data, frozen=True):
    """A list to choose from."""

    area: str
    """Of complaints; `known` for the answers given, empty for the list of areas."""


class BesidesData(Data, frozen=True):
    """What else is known?"""

    brief: bool


class TimerData(Data, frozen=True):
    """The clock for an answer."""

    phase: Literal["ready", "running", "taken"]
    ask: str


class LeaveData(Data, frozen=True):
    """Really?"""

    what: str
    """leave or restart."""


class KeepData(Data, frozen=True):
    """What a case told, offered to the notebook."""

    phase: Literal["offer", "mark"]
    offered: list[str] = field(default_factory=list)


# The case's next step.


class QuestionData(QuestionStated, frozen=True, tag_field="kind", tag="question"):
    """A question, with what was answered to it before."""

    given: str | None = None
    signs: list[SignData] = field(default_factory=list)
    use: str = ""
    others_aside: bool = False


class RecheckData(Data, frozen=True):
    """Answers that can't all hold."""

    id: str
    text: str
    signs: list[SignData] = field(default_factory=list)
    use: str = ""
    others_aside: bool = False


class AimedFix(FixData, frozen=True, kw_only=True):
    """A fix, and what is thought to be wrong."""

    cause: CauseData
    """The likeliest that it is for."""
    leading: CauseData
    """The likeliest of all."""
    second: float | None = None
    """How likely its cause is as a second fault, where it may be one."""
    use: str
    leading_open: bool
    """Is a fix for the leading cause left?"""
    rivals: list[CauseData]


class AdviceData(AimedFix, frozen=True, kw_only=True):
    """What to do now."""

    after: list[FixNamed]
    waits: WaitsData | None = None
    again: str | None = None
    """What to do once more, where it helped."""
    others_aside: bool = False
    asks: str | None = None


class HandoverData(AimedFix, frozen=True, kw_only=True):
    """Work for a technician."""

    reason: Literal["handover"]
    waits: WaitsData | None = None
    others_aside: bool = False
    asks: str | None = None


class StopData(HazardData, frozen=True):
    """A hazard."""

    others_aside: bool = False
    asks: str | None = None


class NoFixWhy(Data, frozen=True, kw_only=True):
    """Why no fix is worth trying: the best there is, and what it has against it."""

    code: Literal["none", "unlikely", "long"]
    name: str = ""
    chance: float | None = None
    minutes: float | None = None


class NoFixData(Data, frozen=True):
    """No fix is worth trying yet."""

    why: NoFixWhy
    leading: CauseData
    asks: str
    use: str


class SolvedData(Data, frozen=True):
    """The good end."""

    reason: Literal["solved"]
    fix: str
    learnt: str
    """The cause that it was most likely; empty where none is known."""
    others_aside: bool = False


class UsedUpData(Data, frozen=True):
    """The bad end: no fix is left."""

    reason: Literal["not_in_book"]
    helped: list[str]
    ruled_out: list[CauseData]
    leading: CauseData
    use: str
    others_aside: bool = False


class _Lost(LossData, frozen=True):
    """Too little is known, before what it would need."""

    reason: Literal["unsure"]
    leading: CauseData
    use: str


class UnsureData(_Lost, frozen=True, kw_only=True):
    """Too little is known to advise anything."""

    others_aside: bool = False


# What came of a fix.


class AlsoData(Data, frozen=True):
    """What came of a fix that something new came with, or that another did?"""

    remedy: str
    new: list[str]


class LeftData(Data, frozen=True):
    """Better: which complaints are left?"""

    remedy: str


class DoneRightData(Data, frozen=True):
    """Nothing came of it: was it done as it says?"""

    remedy: str


class AnswersData(Data, frozen=True):
    """Answers to questions of practice."""

    answers: list[PracticeAnswer]


StepData = (QuestionData | RecheckData | AdviceData | HandoverData | StopData | SolvedData | UnsureData
            | UsedUpData)
ScreenData = (ResumeData | ComplaintData | UnderstoodData | BrowseData | BesidesData | StepData | NoFixData
              | AlsoData | LeftData | DoneRightData | TimerData | LeaveData | KeepData | Told | AnswersData)
