"""Why a fix for another cause than the likeliest comes next, in words."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from diagnose.book.with_house import load
from diagnose.case.case import Case, Fix
from diagnose.present.parts import CauseData
from diagnose.present.screen_data import AdviceData
from diagnose.present.views import of
from diagnose.reason.system import System
from diagnose.ui.advice import cause

LEADING = CauseData("grind", "the grind is too coarse", 0.6)
OTHER = CauseData("air", "air goes in too late", 0.15)
FIX = AdviceData(
    id="early", name="draw air earlier", steps=[], before="", should="", undo="", stop_when="", minutes=4,
    shots=0, money="none", who="anyone", tools="", chance=0.2, source="", causes=[], numbers=[],
    leading=LEADING, cause=OTHER, use="yes", leading_open=True, rivals=[], after=[])


def said(**more: Any) -> str:
    """What stands under the leading cause."""
    return [p.text for p in cause(replace(FIX, **more))][-1]


@pytest.mark.parametrize("more, words", [
    ({}, "quick, so try it first. It is for: air goes in too late (15 %)"),
    ({"chance": 0.05}, "A long shot, but quick. It is for: air goes in too late (15 %)"),
    ({"minutes": 40}, "This one is for: air"),
    ({"leading_open": False}, "have tried every fix"),
    ({"second": 0.54}, "second trouble too. This one is for that: air goes in too late (54 %)"),
])
def test_why_the_fix_is_for_another_cause(more: dict[str, Any], words: str) -> None:
    assert words in said(**more)


def test_two_complaints_of_different_parts_are_told_as_two_troubles() -> None:
    case = Case(System(load([]).book))
    case.complain("", ("shot_too_fast", "foam_dry"))
    for name, answer in (("air_when", "warm"), ("foam_look", "dry"), ("flow_look", "gushes")):
        case.answer(name, answer)
    companion = next(c for c in case.companions)
    option = next(o for o in case.options if any(c == companion.cause for c, _ in o.causes))
    data = of(case, Fix(option, ())).data
    assert data.second == pytest.approx(companion.probability, abs=1e-4)
