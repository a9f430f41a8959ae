"""Why a cause of a case stands where it stands, and the chain down to the answers, as reasons."""

from __future__ import annotations

from collections.abc import Collection

from diagnose.case.case import Case
from diagnose.reason.explain import explain, how
from diagnose.reason.explain.reason import Reason
from diagnose.reason.rank import Ranked


def why(case: Case, ranked: Ranked, places: bool = False,
        kinds: Collection[str] = explain.KINDS) -> list[Reason]:
    """Why a cause stands where it stands, the weightiest reason first."""
    return explain.why(case.inference, ranked, case.values, places, kinds)


def chain(case: Case, ranked: Ranked, places: bool = False) -> list[Reason]:
    """What speaks for and against a cause, each reason followed by what it rests on."""
    return how.cause(case.inference, ranked, case.values, places)


def of_caution(case: Case, name: str, places: bool = False) -> list[Reason]:
    """The answers that raised a caution."""
    return how.caution(case.inference, name, case.values, places)
