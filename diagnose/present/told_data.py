"""What is told of a case when asked, as structs: help, why, more, doubt, what if."""

from __future__ import annotations

from typing import Literal

from diagnose.present.parts import CauseData, CompanionData, Data, FixData
from diagnose.reason.explain.reason import Reason


class HelpData(Data, frozen=True, tag_field="about", tag="help"):
    """What can be said."""

    on: str


class BranchData(Data, frozen=True):
    """One thing that a question may bring out."""

    answers: list[str]
    likely: float
    cause: str
    sure: float


class WhyQuestion(Data, frozen=True, tag_field="about", tag="why"):
    """Why a question is asked."""

    on: Literal["question"]
    ask: str
    saves: float
    number: str
    branches: list[BranchData]


class WhyHazard(Data, frozen=True, tag_field="about", tag="why"):
    """Why it stops."""

    on: Literal["hazard"]
    chain: list[Reason]


class WhyRecheck(Data, frozen=True, tag_field="about", tag="why"):
    """Why it is asked to look again."""

    on: Literal["recheck"]
    text: str
    chain: list[Reason]


class WhyConclusion(Data, frozen=True, tag_field="about", tag="why"):
    """Why a cause is thought to be it."""

    on: Literal["conclusion"]
    cause: CauseData
    what: str
    chain: list[Reason]
    grounds: list[Reason]


class MoreData(Data, frozen=True, tag_field="about", tag="more"):
    """All causes, what was concluded, the fix in full or how to find out."""

    causes: list[CauseData]
    findings: list[str]
    competitors: list[CauseData]
    companions: list[CompanionData]
    remedy: FixData | None = None
    confirm: str | None = None
    cause_source: str | None = None
    how: str | None = None


class ChangeData(Data, frozen=True):
    """An answer, or another answer, to a question."""

    id: str
    ask: str
    text: str
    given: str


class TurnData(Data, frozen=True):
    """The fewest answers that would put another cause first."""

    changes: list[ChangeData]
    cause: str
    sure: float


class DoubtData(Data, frozen=True, tag_field="about", tag="doubt"):
    """What would put another cause first."""

    leading: CauseData
    turns: list[TurnData]


class WhatNext(Data, frozen=True):
    """What would come next."""

    kind: Literal["question", "remedy", "hazard", "handover", "recheck", "done"]
    text: str


class WhatIfData(Data, frozen=True, tag_field="about", tag="what_if"):
    """What another answer would do."""

    said: str
    before: list[CauseData]
    after: list[CauseData]
    next: WhatNext


Told = HelpData | WhyQuestion | WhyHazard | WhyRecheck | WhyConclusion | MoreData | DoubtData | WhatIfData
