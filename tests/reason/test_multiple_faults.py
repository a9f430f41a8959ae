"""Second faults, and answers that can't all hold."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from diagnose.case.case import Case, Fix, Recheck
from diagnose.reason.conflict import Conflict
from diagnose.reason.system import System
from tests.reason.books import cause, choice, finding, remedy, symptom, system

TWO_TROUBLES: dict[str, Any] = {
    "observations": {"shot": choice("fast", "fine"), "foam": choice("dry", "good"),
                     "tray": choice("wet", "clean")},
    "findings": {
        "flow": finding(("fast",), fast={"shot": "fast"}, right={"shot": "fine"}),
        "froth": finding(("dry",), dry={"foam": "dry"}, right={"foam": "good"})},
    "symptoms": {"too_fast": symptom("flow", "fast", "shot"), "foam_dry": symptom("froth", "dry", "foam")},
    "remedies": {"finer": remedy(5), "fresh": remedy(9), "less_air": remedy(5)},
    "causes": {
        "coarse": cause({"too_fast": "always"}, "very common", cures={"finer": "usually"}, evidence=[
            {"when": {"flow": "fast"}, "weight": "strong for", "otherwise": "strong against"}]),
        "old": cause({"too_fast": "always"}, "very common", cures={"fresh": "usually"}, evidence=[
            {"when": {"flow": "fast"}, "weight": "substantial for", "otherwise": "strong against"}]),
        "air": cause({"foam_dry": "always"}, "common", cures={"less_air": "usually"}, evidence=[
            {"when": {"froth": "dry"}, "weight": "very strong for", "otherwise": "strong against"}]),
        "leak": cause({}, "common", cures={"fresh": "seldom"}, evidence=[
            {"when": {"tray": "wet"}, "weight": "strong for", "otherwise": "strong against"}])}}


@pytest.fixture
def troubled(tmp_path: Path) -> System:
    """A book in which shots and foam go wrong for reasons of their own."""
    return system(tmp_path, **TWO_TROUBLES)


def told(one: System, complaints: tuple[str, ...] = (), /, **values: str) -> Case:
    """A case with these answers."""
    case = Case(one)
    case.complain("", complaints)
    for name, value in values.items():
        case.answer(name, value)
    return case


def test_what_explains_the_same_competes_and_what_explains_the_rest_goes_along(
        troubled: System) -> None:
    case = told(troubled, ("too_fast",), shot="fast", foam="dry")
    assert case.ranked[0].cause == "coarse"
    assert [r.cause for r in case.competitors] == ["old"]
    (companion,) = case.companions
    assert companion.cause == "air" and companion.explains == (("froth", "dry"),)
    assert 0.2 <= companion.probability <= 1


def test_nothing_left_over_needs_no_second_fault(troubled: System) -> None:
    assert told(troubled, ("too_fast",), shot="fast").companions == []
    assert told(troubled, ("too_fast",), shot="fast", foam="good").companions == []


def test_what_explains_nothing_of_the_rest_is_no_companion(troubled: System) -> None:
    case = told(troubled, ("too_fast",), shot="fast", foam="dry", tray="wet")
    assert [c.cause for c in case.companions] == ["air"]


def test_both_faults_are_in_the_fix_order_one_change_at_a_time(troubled: System) -> None:
    case = told(troubled, ("too_fast",), shot="fast", foam="dry", tray="clean")
    assert {o.remedy for o in case.options[:2]} == {"finer", "less_air"}
    step = case.step()
    assert isinstance(step, Fix)
    case.tried("finer", "better")
    assert {"finer", "less_air"} & {o.remedy for o in case.options[:2]}


EXCLUSIVE: dict[str, Any] = {
    "observations": {"one": choice("hot", "cold"), "two": choice("hot", "cold")},
    "findings": {"heat": finding(("hot",), hot={"one": "hot"}, cold={"two": "cold"})},
    "causes": {"burns": cause(evidence=[{"when": {"heat": "hot"}, "weight": "strong for"}])}}


def test_findings_that_exclude_each_other_are_put_to_the_person_once(tmp_path: Path) -> None:
    case = told(system(tmp_path, **EXCLUSIVE), one="hot", two="cold")
    step = case.step()
    assert isinstance(step, Recheck)
    assert set(step.conflict.observations) == {"one", "two"}
    assert "it is hot" in step.conflict.text and "it is cold" in step.conflict.text
    case.let_stand(step.conflict)
    assert case.conflicts == [] and not isinstance(case.step(), Recheck)


def test_an_answer_corrected_ends_the_contradiction(tmp_path: Path) -> None:
    case = told(system(tmp_path, **EXCLUSIVE), one="hot", two="cold")
    case.answer("two", "hot")
    assert case.conflicts == []


QUANTITIES = {"dose": ("g", 40), "drink": ("g", 90), "strength": ("percent", 30)}
NUMBERS: dict[str, Any] = {
    "observations": {name: {"ask": f"What {name}?", "kind": "quantity", "unit": unit,
                            "range": [0.1, high], "minutes": 1}
                     for name, (unit, high) in QUANTITIES.items()},
    "measures": {"taken_out": {"label": "part taken out", "compute": "shot.extraction_yield_percent",
                               "given": {"dose_g": "dose", "yield_g": "drink",
                                         "tds_percent": "strength"}}},
    "causes": {"one": cause(evidence=[{"when": {"taken_out": "> 24 percent"}, "weight": "strong for"}])}}


def test_numbers_that_cannot_all_be_right_are_asked_about_again(tmp_path: Path) -> None:
    """A strength that would need more coffee dissolved than there was."""
    one = system(tmp_path, **NUMBERS)
    case = told(one, dose="18 g", drink="40 g", strength="20 percent")
    (conflict,) = case.conflicts
    assert set(conflict.observations) == {"dose", "drink", "strength"}
    assert "taken_out" not in case.inference.by_name, "nothing is ranked on it"
    assert told(one, dose="18 g", drink="40 g", strength="9 percent").conflicts == []


LONE: dict[str, Any] = {
    "observations": {f"look{i}": choice("bad", "good") for i in range(4)},
    "causes": {
        "likely": cause(common="common", evidence=[
            {"when": {f"look{i}": "bad"}, "weight": "strong for", "otherwise": "decisive against"}
            for i in range(4)]),
        "other": cause(common="common", evidence=[
            {"when": {"look3": "good"}, "weight": "very strong for", "otherwise": "slight against"}])}}


def test_one_answer_against_all_else_is_asked_about_again(tmp_path: Path) -> None:
    case = told(system(tmp_path, **LONE), look0="bad", look1="bad", look2="bad", look3="good")
    (conflict,) = case.conflicts
    assert conflict.observations == ("look3",)
    case.let_stand(conflict)
    assert case.conflicts == []
    case.answer("look3", "bad")
    assert case.ranked[0].cause == "likely" and case.conflicts == []


@pytest.mark.parametrize("values", [
    {"look0": "bad", "look3": "good"},
    {"look0": "bad", "look1": "bad", "look2": "good", "look3": "good"},
    {"look0": "bad", "look1": "bad", "look2": "bad", "look3": "bad"},
])
def test_answers_that_are_not_alone_stand(tmp_path: Path, values: dict[str, str]) -> None:
    assert told(system(tmp_path, **LONE), **values).conflicts == []


def test_a_complaint_that_an_answer_does_not_bear_out_is_asked_about(troubled: System) -> None:
    case = told(troubled, ("too_fast",), shot="fine")
    (conflict,) = case.conflicts
    assert conflict.observations == ("shot",) and "too_fast" in conflict.key
    case.let_stand(conflict)
    assert case.conflicts == []
    assert told(troubled, ("too_fast", "foam_dry"), shot="fine").conflicts == [], "the other holds"
    assert told(troubled, ("too_fast",), foam="good").conflicts == [], "it was not looked at"


def test_nothing_is_fixed_before_a_contradiction_is_settled(tmp_path: Path) -> None:
    case = told(system(tmp_path, **EXCLUSIVE), one="hot", two="cold")
    kinds = []
    while isinstance(case.step(), Recheck):
        kinds.append("recheck")
        case.let_stand(case.step().conflict)  # type: ignore[union-attr]  # a Recheck
    assert kinds == ["recheck"]


def test_a_contradiction_is_known_by_what_it_is_about() -> None:
    assert Conflict("a", "", ()) != Conflict("b", "", ())
