"""The whole state of a case as structs: what `--json` prints, and what pages are made from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from msgspec import Meta, field

from diagnose.present.parts import (
    CauseData,
    CautionData,
    CompanionData,
    Data,
    FixData,
    FixNamed,
    HazardData,
    HouseRule,
    Id,
    LossData,
    Name,
    PracticeAnswer,
    QuestionStated,
    Signs,
    Use,
    WaitsData,
    one_of,
)
from diagnose.reason.explain.reason import Reason


class SymptomData(Data, frozen=True):
    """A complaint of the book."""

    id: Id
    name: Name


class GivenData(Data, frozen=True):
    """An answer given."""

    id: Id
    value: Annotated[str, Meta(description="As it can be read again.")]
    text: Name
    told: Annotated[str, Meta(description="As a person says it, without its question.")]


class FindingData(Data, frozen=True):
    """A conclusion."""

    id: Id
    value: Annotated[str, Meta(description="The finding's value.")]
    text: Name


class OfferedData(Data, frozen=True):
    """An answer that may be given."""

    id: Id
    text: Name


class RankedCause(CauseData, frozen=True):
    """A possible cause, how sure, and why."""

    why: Annotated[list[Reason], Meta(description="One reason each, the weightiest first.")]


class NextQuestion(QuestionStated, frozen=True, tag_field="kind", tag="question"):
    """Ask this next."""

    answers: list[OfferedData]
    saves_minutes: Annotated[float, Meta(
        description="Expected minutes of repair saved, the question's own taken off.")]


class NextRecheck(Data, frozen=True, tag_field="kind", tag="question"):
    """Two answers can't both hold: ask which one stands."""

    id: Annotated[str, Meta(description="Key of the contradiction.")]
    recheck: Annotated[list[str], Meta(description="Ids of the observations to look at again.")]
    text: Annotated[str, Meta(description="What does not fit, in plain words.")]


class NextFix(FixData, frozen=True, kw_only=True, tag_field="kind", tag="remedy"):
    """Do this next."""

    after: Annotated[list[FixNamed], Meta(description="What comes next if it does not help.")]
    waits: WaitsData | None = None


class NextHazard(HazardData, frozen=True, tag_field="kind", tag="stop"):
    """Stop: a hazard."""


class _Handed(FixData, frozen=True):
    """That it is handed over, before what fix it is."""

    reason: Literal["handover"]


class NextHandover(_Handed, frozen=True, kw_only=True, tag_field="kind", tag="stop"):
    """Stop: work for a technician."""

    text: Annotated[str, Meta(description="What to say.")]


class NextDone(Data, frozen=True, tag_field="kind", tag="done"):
    """The end."""

    reason: Annotated[Literal["solved", "not_in_book"], Meta(description="How it ended.")]


class NextUnsure(LossData, frozen=True, tag_field="kind", tag="done"):
    """The end, for now: too little is known."""

    reason: Literal["unsure"]


FirstFix = NextFix | NextHandover | NextHazard | NextDone | NextUnsure
Next = NextQuestion | NextRecheck | FirstFix
if TYPE_CHECKING:
    OneNext = Next
    OneFirstFix = FirstFix
else:
    OneNext = one_of(Next)
    OneFirstFix = one_of(FirstFix)


def kind(after: Next) -> str:
    """question, remedy, stop or done."""
    return str(after.__struct_config__.tag)


class CaseReport(Data, frozen=True, kw_only=True):
    """One case: what was said, what follows, what comes next."""

    complaint: Annotated[str, Meta(description="The person's own words.")]
    asked: Annotated[list[PracticeAnswer], Meta(
        description="Questions in the words, in the order asked: answer these first.")]
    symptoms: Annotated[list[SymptomData], Meta(description="What the complaint was taken for.")]
    answers: list[GivenData]
    findings: list[FindingData]
    causes: Annotated[list[RankedCause], Meta(
        description="Most likely first; `not_in_book` always among them.")]
    competitors: Annotated[list[CauseData], Meta(
        description="Other causes that would explain the same findings.")]
    companions: Annotated[list[CompanionData], Meta(
        description="Causes that would explain what the first leaves open.")]
    ruled_out: Annotated[list[CauseData], Meta(description="Causes that the answers speak against.")]
    signs: Signs
    use: Use
    next: Annotated[OneNext, Meta(description="What comes next.")]
    cautions: Annotated[list[CautionData], Meta(description="To be shown above what comes next.")]
    first_fix: Annotated[OneFirstFix | None, Meta(
        description="While `next` is a question: what to try if nobody can answer.")] = None
    stopped: Annotated[bool, Meta(description="Nothing else is suggested until dealt with.")]
    house: Annotated[list[HouseRule], Meta(description="House rules that had a part in this.")]


class _Filed(CaseReport, frozen=True):
    """A report, after the file it was made from."""

    file: Annotated[str, Meta(description="The case file that was read.")]


class FileReport(_Filed, frozen=True, kw_only=True):
    """One case from a file: what was said, what follows, what comes next."""

    broken: Annotated[list[str], Meta(description="House files left out, each with why.")] = field(
        default_factory=list)
