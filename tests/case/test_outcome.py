"""What comes of fixes: asked again, kept, tried further, and how a case ends."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from diagnose.case.case import HOPELESS, Ask, Case, Done, Fix, Stop
from diagnose.case.outcome_evidence import BETTER_BY_CHANCE, OTHER_PER_FAILURE, PARTLY_CURED_SHARE
from diagnose.present.case_data import report
from diagnose.reason.system import System
from diagnose.reason.weights import CURES, in_decibans
from tests.reason.books import cause, choice, finding, remedy, symptom, system

SHOTS: dict[str, Any] = {
    "observations": {"shot": choice("fast", "fine", "slow"), "bag": choice("new", "old"),
                     "tray": choice("wet", "clean")},
    "findings": {"flow": finding(("fast", "slow"), fast={"shot": "fast"}, right={"shot": "fine"},
                                 slow={"shot": "slow"})},
    "symptoms": {"too_fast": symptom("flow", "fast", "shot"), "too_slow": symptom("flow", "slow", "shot")},
    "remedies": {"finer": remedy(5, changes=["shot"], again="One more mark."), "fresh": remedy(6),
                 "mend": remedy(30, who="technician")},
    "causes": {
        "coarse": cause({"too_fast": "always"}, "very common", cures={"finer": "usually"}, evidence=[
            {"when": {"flow": "fast"}, "weight": "strong for", "otherwise": "very strong against"}]),
        "old": cause({"too_fast": "always"}, "common", cures={"fresh": "usually"}, evidence=[
            {"when": {"bag": "old"}, "weight": "very strong for", "otherwise": "very strong against"}]),
        "leak": cause({"too_slow": "often", "too_fast": "seldom"}, cures={"mend": "nearly always"},
                      evidence=[{"when": {"tray": "wet"}, "weight": "decisive for",
                                 "otherwise": "very strong against"}])}}


@pytest.fixture
def shots(tmp_path: Path) -> System:
    """A book of shots that run wrong."""
    return system(tmp_path, **SHOTS)


def started(one: System, **values: str) -> Case:
    """A shot that runs too fast, with these answers."""
    case = Case(one)
    case.complain("it gushes", ("too_fast",))
    for name, value in values.items():
        case.answer(name, value)
    return case


def chance(case: Case, name: str) -> float:
    """How likely a cause is now."""
    return next(r.probability for r in case.ranked if r.cause == name)


def decibans(case: Case, name: str) -> float:
    """What the fixes tried say of a cause."""
    return case.outcomes[name]


def test_a_fix_that_did_nothing_argues_against_its_cause_by_its_chance_of_curing(
        shots: System) -> None:
    case = started(shots, shot="fast", bag="new", tray="clean")
    before = chance(case, "coarse")
    case.tried("finer", "same")
    assert decibans(case, "coarse") == pytest.approx(in_decibans(1 - CURES["usually"]))
    assert chance(case, "coarse") < before
    assert case.values == {"shot": "fast", "bag": "new", "tray": "clean"}, "nothing has changed"
    assert "finer" not in {o.remedy for o in case.options}


def test_what_the_fix_changed_is_looked_at_again_and_the_rest_is_kept(shots: System) -> None:
    for outcome in ("better", "worse"):
        case = started(shots, shot="fast", bag="new", tray="clean")
        case.tried("finer", outcome)  # type: ignore[arg-type]  # an Outcome
        assert case.values == {"bag": "new", "tray": "clean"}
        assert "shot" not in case.state.closed


def test_what_helps_is_done_once_more_until_it_helps_no_longer(shots: System) -> None:
    case = started(shots, shot="fast", bag="new", tray="clean")
    case.tried("finer", "better")
    assert decibans(case, "coarse") == pytest.approx(
        in_decibans(CURES["usually"] * PARTLY_CURED_SHARE / BETTER_BY_CHANCE))
    for _ in range(3):
        step = case.step()
        assert isinstance(step, Fix) and step.option.remedy == "finer" and step.again
        case.tried("finer", "better")
    case.tried("finer", "same")
    assert "finer" not in {o.remedy for o in case.options}


def test_with_something_new_since_the_same_move_does_not_simply_go_on(shots: System) -> None:
    case = started(shots, shot="fast", bag="new", tray="clean")
    case.tried("finer", "better", ("too_slow",))
    step = case.step()
    assert not (isinstance(step, Fix) and step.again)


def test_no_other_fix_of_a_treated_cause_comes_before_one_for_something_else(tmp_path: Path) -> None:
    two_ways = {**SHOTS, "remedies": {**SHOTS["remedies"], "ground_for_you": remedy(4)},
                "causes": {**SHOTS["causes"], "coarse": {**SHOTS["causes"]["coarse"], "remedies": [
                    {"remedy": "finer", "cures": "usually"},
                    {"remedy": "ground_for_you", "cures": "often"}]}}}
    case = started(system(tmp_path, **two_ways), shot="fast")
    assert {o.causes[0][0] for o in case.options[:2]} == {"coarse"}
    case.tried("finer", "same")
    assert case.options[0].remedy == "fresh"


def test_what_a_failed_fix_spoke_for_grows_no_likelier(shots: System) -> None:
    case = started(shots, shot="fast", tray="clean")
    before = {c: chance(case, c) for c in ("coarse", "old", "")}
    case.tried("finer", "same")
    case.tried("fresh", "same")
    assert chance(case, "coarse") < before["coarse"]
    assert chance(case, "coarse") + chance(case, "old") < before["coarse"] + before["old"]
    assert chance(case, "") > before[""]
    assert decibans(case, "") == pytest.approx(2 * OTHER_PER_FAILURE)


def test_what_leaves_nothing_to_look_at_is_not_done_twice(shots: System) -> None:
    case = started(shots, shot="fast", bag="old", tray="clean")
    case.tried("fresh", "better")
    assert "fresh" not in {o.remedy for o in case.options}


def test_a_new_symptom_after_a_fix_is_a_complaint_too(shots: System) -> None:
    case = started(shots, shot="fast")
    case.tried("finer", "worse", ("too_slow",))
    assert case.complaints == ("too_fast", "too_slow")
    assert case.inference.findings["flow"] == ("fast", "slow") or "slow" in case.inference.findings["flow"]


def test_solved_is_the_end(shots: System) -> None:
    case = started(shots, shot="fast", bag="new")
    case.tried("finer", "solved")
    assert case.step() == Done("solved")
    assert report(case)["next"] == {"kind": "done", "reason": "solved"}


def test_work_for_a_technician_is_handed_over_and_never_suggested(shots: System) -> None:
    case = Case(shots)
    case.complain("it only drips", ("too_slow",))
    case.answer("tray", "wet")
    step = case.step()
    assert isinstance(step, Stop) and step.reason == "handover"
    assert step.option is not None and step.option.remedy == "mend"
    assert report(case)["stopped"]
    own = Case(shots, case.entries, person="technician")
    assert isinstance(own.step(), Fix)


def test_when_nothing_is_left_it_is_not_in_this_book_with_what_was_ruled_out(shots: System) -> None:
    case = started(shots, shot="fast", bag="new", tray="clean")
    for name in ("finer", "fresh", "mend"):
        case.tried(name, "same")
    assert case.step() == Done("not_in_book")
    data = report(case)
    assert data["next"] == {"kind": "done", "reason": "not_in_book"}
    assert {"coarse", "old", "leak"} >= {c["id"] for c in data["ruled_out"]} >= {"old", "leak"}
    assert "not_in_book" in {c["id"] for c in data["causes"]}


def test_hope_ends_where_no_fix_has_a_fair_chance(shots: System) -> None:
    case = started(shots, shot="fast", bag="new", tray="clean")
    while not isinstance(case.step(), Done):
        step = case.step()
        assert isinstance(step, Fix) and max(o.chance for o in case.options) >= HOPELESS
        case.tried(step.option.remedy, "same")


@pytest.fixture
def two_at_once(tmp_path: Path) -> Case:
    """Dry foam and a shot that runs too fast: two faults, each with a complaint of its own."""
    foam = {"observations": {**SHOTS["observations"], "foam": choice("dry", "wet")},
            "findings": {**SHOTS["findings"],
                         "froth": finding(("dry",), dry={"foam": "dry"}, wet={"foam": "wet"})},
            "symptoms": {**SHOTS["symptoms"], "dry_foam": symptom("froth", "dry", "foam")},
            "remedies": {**SHOTS["remedies"], "less_air": remedy(4, changes=["foam"])},
            "causes": {**SHOTS["causes"],
                       "air": cause({"dry_foam": "always"}, cures={"less_air": "usually"})}}
    case = Case(system(tmp_path, **foam))
    case.complain("it gushes and the foam is dry", ("too_fast", "dry_foam"))
    for name, value in {"shot": "fast", "bag": "new", "tray": "clean", "foam": "dry"}.items():
        case.answer(name, value)
    return case


def test_with_one_complaint_gone_the_search_goes_on_for_the_other(two_at_once: Case) -> None:
    case = two_at_once
    before = chance(case, "coarse")
    case.tried("less_air", "better", gone=("dry_foam",))
    assert case.complaints == ("too_fast",)
    assert chance(case, "coarse") > before and chance(case, "air") < 0.05
    assert decibans(case, "air") == pytest.approx(in_decibans(1 - CURES["usually"]))
    assert "less_air" not in {o.remedy for o in case.options}, "what cured is not taken further"
    assert isinstance(step := case.step(), Fix) and step.option.remedy == "finer"


def test_a_complaint_that_came_back_counts_again(two_at_once: Case) -> None:
    two_at_once.tried("less_air", "better", gone=("dry_foam",))
    two_at_once.complain("dry again", ("dry_foam",))
    assert two_at_once.complaints == ("too_fast", "dry_foam")


def test_what_is_only_less_is_still_complained_of(two_at_once: Case) -> None:
    two_at_once.tried("less_air", "better")
    assert two_at_once.complaints == ("too_fast", "dry_foam")
    assert decibans(two_at_once, "air") > 0


def test_taking_an_outcome_back_brings_the_answers_back(shots: System) -> None:
    case = started(shots, shot="fast", bag="new", tray="clean")
    before = [(r.cause, r.probability) for r in case.ranked]
    case.tried("finer", "better")
    case.back()
    assert case.values["shot"] == "fast"
    assert [(r.cause, r.probability) for r in case.ranked] == before


def test_whatever_is_said_the_case_goes_on_to_an_end(shots: System) -> None:
    for outcome in ("same", "better", "worse"):
        case, steps = started(shots), 0
        while not isinstance(step := case.step(), Done | Stop):
            steps += 1
            assert steps < 30
            if isinstance(step, Ask):
                case.dont_know(step.question.observation)
            elif isinstance(step, Fix):
                case.tried(step.option.remedy, outcome)  # type: ignore[arg-type]  # an Outcome
            else:
                case.let_stand(step.conflict)
