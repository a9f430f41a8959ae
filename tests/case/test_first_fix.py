"""Which fix comes first, which questions are spared, and when nothing is advised."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from diagnose.case.case import FAIR_CAUSE, FAIR_FIX, Case, Done, Fix
from diagnose.dialogue.session import Session
from diagnose.dialogue.sitting import unasked
from diagnose.present import views, waiting
from diagnose.present.case_data import case_report
from diagnose.present.report_data import NextUnsure
from diagnose.ui import advice, draw, text, words
from tests.case.small import FakeLookup
from tests.reason.books import cause, choice, finding, remedy, symptom, system

WATER: dict[str, Any] = {
    "observations": {"flow_seen": choice("none", "runs"), "steam_seen": choice("none", "strong"),
                     "kind": choice("pump", "lever", pump=0.9, lever=0.1),
                     "seal": {**choice("hard", "soft"), "requires": {"kind": "lever"}},
                     "moved": {**choice("yes_it_was", "left"), "past": "yes"}},
    "findings": {"flow": finding(("none",), none={"flow_seen": "none"}, runs={"flow_seen": "runs"}),
                 "steam": finding(("none",), none={"steam_seen": "none"}, strong={"steam_seen": "strong"})},
    "symptoms": {"no_water": symptom("flow", "none", "flow_seen"),
                 "no_steam": symptom("steam", "none", "steam_seen")},
    "causes": {
        "too_fine": cause({"no_steam": "often"}, "very common", cures={"coarser": "nearly always"},
                          evidence=[{"when": {"moved": "yes_it_was"}, "weight": "very strong for",
                                     "otherwise": "slight against"}]),
        "empty": cause({"no_water": "always"}, "occasional", cures={"fill": "nearly always"}, evidence=[
            {"when": {"kind": "pump"}, "weight": "slight for", "otherwise": "strong against"}]),
        "tip": cause({"no_steam": "always"}, "uncommon", cures={"clean_tip": "usually"}, evidence=[
            {"when": {"seal": "hard"}, "weight": "slight for"}])},
    "remedies": {"coarser": remedy(1), "fill": remedy(6), "clean_tip": remedy(20)}}


def told(folder: Path, *complaints: str, read: bool = False, **values: str) -> Case:
    case = Case(system(folder, **WATER))
    case.complain("it will not", complaints, read)
    for name, value in values.items():
        case.answer(name, value)
    return case


def test_a_fix_that_cannot_bring_the_complaint_back_is_never_first(tmp_path: Path) -> None:
    case = told(tmp_path, "no_water", moved="yes_it_was")
    assert case.options[0].remedy == "fill"
    assert max(case.options, key=lambda o: o.chance / o.minutes).remedy == "coarser"


def test_in_doubt_of_the_complaint_any_fix_may_be_first(tmp_path: Path) -> None:
    assert told(tmp_path, "no_water", read=True, moved="yes_it_was").options[0].remedy == "coarser"


def test_a_fix_that_an_answer_speaks_clearly_against_is_not_first(tmp_path: Path) -> None:
    case = told(tmp_path, "no_water", "no_steam", kind="lever")
    assert case.options[0].remedy != "fill"


def test_a_question_behind_one_that_cannot_be_answered_is_spared_where_it_hardly_applies(
        tmp_path: Path) -> None:
    case = told(tmp_path, "no_steam")
    assert "seal" not in case.state.closed
    case.dont_know("kind")
    assert "seal" in case.state.closed


def test_what_was_done_before_is_not_asked_after_a_fix(tmp_path: Path) -> None:
    case = told(tmp_path, "no_steam")
    assert "moved" not in case.state.closed
    case.tried("clean_tip", "same")
    assert "moved" in case.state.closed


@pytest.fixture
def lost(tmp_path: Path) -> Case:
    """A complaint that many causes bring alike."""
    many = {f"c{i}": cause({"no_steam": "often"}, cures={f"r{i}": "usually"}, confirm=f"Look for {i}.")
            for i in range(12)}
    fixes = {f"r{i}": remedy(5 + i) for i in range(12)}
    case = Case(system(tmp_path, **{**WATER, "causes": WATER["causes"] | many,
                                    "remedies": WATER["remedies"] | fixes}))
    case.complain("no steam", ("no_steam",))
    for name in ("moved", "kind", "seal"):
        case.dont_know(name)
    return case


def test_with_too_little_known_nothing_is_advised_but_what_would_help(lost: Case) -> None:
    assert lost.ranked[0].probability < FAIR_CAUSE and lost.options[0].chance < FAIR_FIX
    assert lost.fix() == Done("unsure")
    screen = views.of(lost, Done("unsure"))
    assert screen.data.needs and screen.data.watch and "guess" in [c.id for c in screen.choices]
    said = " ".join(part.text for part in advice.done(screen, screen.data))
    assert words.UNSURE in said and screen.data.watch[0] in said and words.UNSURE_ASK in said
    told_of = case_report(unasked(lost))
    assert isinstance(told_of.next, NextUnsure)
    assert words.UNSURE_ASK in " ".join(text.page(told_of, []).split())


def test_what_would_help_most_to_know_can_be_answered_there(lost: Case) -> None:
    session = Session(lost.system, FakeLookup(lost.book))
    session.begin(entries=lost.entries)
    first = session.screen().choices[0]
    asked = first.id.removeprefix(views.ASKS)
    assert words.UNSURE_NEEDS in text.linear(session.screen())
    assert first.text == lost.book.observations[asked].ask
    session.take("1")
    assert session.stage.asks(session) == asked
    session.take("1")
    assert asked in session.case.values


def test_two_complaints_that_exclude_each_other_are_no_question_without_an_answer(tmp_path: Path) -> None:
    taste = {"observations": {"tasted": choice("bitter", "ashy")},
             "findings": {"taste": finding(("bitter", "ashy"), bitter={"tasted": "bitter"},
                                           ashy={"tasted": "ashy"})},
             "symptoms": {"bitter": symptom("taste", "bitter", "tasted"),
                          "ash": symptom("taste", "ashy", "tasted")},
             "causes": {"hot": cause({"bitter": "often", "ash": "often"}, cures={"cool": "usually"})},
             "remedies": {"cool": remedy(1)}}
    case = Case(system(tmp_path, **taste))
    case.complain("bitter and like ash", ("bitter", "ash"))
    assert not case.conflicts


def test_the_best_guess_may_be_had_all_the_same(lost: Case) -> None:
    assert isinstance(lost.best(), Fix) and lost.best().option == lost.options[0]


def test_of_two_complaints_each_is_told_what_comes_for_it(tmp_path: Path) -> None:
    case = told(tmp_path, "no_water", "no_steam", flow_seen="none", steam_seen="none", kind="pump",
                moved="left")
    step = case.fix()
    assert isinstance(step, Fix)
    waits = views.of(case, step).data.waits
    assert len(waits.first) == 1 and len(waits.then) == 1
    assert {*waits.first, waits.then[0].symptom} == {"flow none", "steam none"}
    assert waits.then[0].fix
    said = " ".join(part.text for part in draw.draw(views.of(case, step)))
    assert "First this, for:" in said and waits.then[0].symptom in said


def test_with_one_complaint_nothing_waits(tmp_path: Path) -> None:
    case = told(tmp_path, "no_water", kind="pump")
    step = case.fix()
    assert isinstance(step, Fix) and views.of(case, step).data.waits is None


def test_a_fix_of_hardly_any_chance_is_not_promised_to_the_complaint_that_waits(tmp_path: Path) -> None:
    case = told(tmp_path, "no_water", "no_steam", flow_seen="none", steam_seen="none", kind="pump",
                moved="left")
    step = case.fix()
    assert isinstance(step, Fix)
    fair = [o for o in case.options if o is not step.option]
    assert waiting.data(case, step.option).then[0].fix
    case.__dict__["options"] = [step.option, *(replace(o, chance=o.chance / 9, causes=tuple(
        (c, part / 9) for c, part in o.causes)) for o in fair)]
    waits = waiting.data(case, step.option)
    assert waits.then[0].fix == ""
    said = " ".join(part.text for part in advice.waits(waits))
    assert f"This comes next, and we will look at it then: {waits.then[0].symptom}." in said
