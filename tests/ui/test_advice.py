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
from diagnose.ui.advice import cause, so_far
from diagnose.ui.paging import paged

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


@pytest.fixture(scope="module")
def shipped() -> System:
    return System(load([]).book)


@pytest.mark.parametrize("width, room", [(79, 20), (39, 16)])
@pytest.mark.parametrize("symptom", ["shot_too_fast", "grounds_static", "foam_dry", "scale_suspected"])
def test_whether_to_go_on_using_it_stands_on_the_first_page_of_a_fix_even_where_it_is_a_plain_yes(
        shipped: System, symptom: str, width: int, room: int) -> None:
    case = Case(shipped)
    case.complain("", (symptom,))
    step = case.best()
    assert isinstance(step, Fix) and case.use.text == "yes"
    first = paged(of(case, step), width, room)[0]
    assert "May you go on using it? Yes." in [line.text for line in first]
    assert any(line.text.startswith("Do this now:") for line in first)


@pytest.mark.parametrize("chance, begins", [(0.18, "So far the likeliest"), (0.09, "Not clear yet.")])
def test_what_is_hardly_likely_is_no_verdict_when_one_leaves(chance: float, begins: str) -> None:
    assert so_far("static", chance).startswith(begins)
