"""The documented schemas hold for what is really printed."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any, get_args

import jsonschema
import pytest

from diagnose.case.case import Case
from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.present.case_data import report
from diagnose.present.parts import plain
from diagnose.present.schema import SCHEMA, SCREEN_SCHEMA, SHOWN
from diagnose.present.screen_data import ScreenData
from diagnose.present.screens import Kind
from diagnose.ui import jsonlines
from tests.case.small import FakeLookup, small_system
from tests.dialogue.scripts import SCRIPTS, Script

REPORT = jsonschema.Draft202012Validator(SCHEMA)
SCREEN = jsonschema.Draft202012Validator(SCREEN_SCHEMA)


@pytest.fixture(scope="module")
def system(tmp_path_factory: pytest.TempPathFactory):
    return small_system(tmp_path_factory.mktemp("small"))


def _case(system, symptom="too_fast", **answers: str) -> Case:
    case = Case(system)
    case.complain("it gushes", [symptom])
    for name, value in answers.items():
        case.answer(name, value)
    return case


CASES = {
    "question": {},
    "remedy": {"last_change": "grind"},
    "hazard": {"smell": "burning"},
    "hazard that may go on": {"cold_night": "yes"},
    "handover": {"symptom": "too_slow", "valve_drips": "drips", "last_change": "nothing"},
}


@pytest.mark.parametrize("name", CASES)
def test_a_report_fits_the_schema(system, name):
    made = report(_case(system, **CASES[name]))
    REPORT.validate(json.loads(json.dumps(made)))


@pytest.mark.parametrize("outcomes", [["solved"], ["same", "same"]])
def test_the_report_of_an_ended_case_fits(system, outcomes):
    case = _case(system, last_change="grind")
    for remedy, outcome in zip(("finer", "fresh_bag"), outcomes, strict=False):
        case.tried(remedy, outcome)
    made = report(case)
    assert made["next"]["kind"] == "done"
    REPORT.validate(json.loads(json.dumps(made)))


@pytest.mark.parametrize(("path", "wrong"), [
    (("causes", 0, "probability"), 1.2), (("next", "kind"), "guess"), (("stopped",), "no"),
    (("next", "minutes"), -1), (("extra",), 1), (("next", "extra"), 1), (("causes", 0, "why"), [1]),
    (("cautions", 0, "signal"), "Mind"), (("next", "who"), "a child"), (("next", "numbers"), [{"id": "x"}])])
def test_the_schema_refuses_what_it_does_not_describe(system, path, wrong):
    made = report(_case(system, last_change="grind"))
    assert REPORT.is_valid(made)
    at = made
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = wrong
    assert not REPORT.is_valid(made)


@pytest.mark.parametrize("name", CASES)
def test_no_key_of_a_report_may_be_left_out_of_what_comes_next(system, name):
    made = json.loads(json.dumps(report(_case(system, **CASES[name]))))
    for key in made["next"].keys() - {"waits"}:
        assert not REPORT.is_valid(made | {"next": {k: v for k, v in made["next"].items() if k != key}}), key


def _line(system, **wrong: object) -> dict[str, Any]:
    """A line that asks the first question, with something else in what it shows."""
    session = Session(system, FakeLookup(system.book))
    for said in ("it gushes", "1", ""):
        session.take(said)
    line: dict[str, Any] = json.loads(json.dumps(plain(jsonlines.shown(session.screen(), 1))))
    line["screen"]["data"] |= wrong
    return line


@pytest.mark.parametrize("wrong", [{"extra": 1}, {"answer_kind": "guess"}, {"minutes": -1}, {"signs": [{}]},
                                   {"several": "no"}])
def test_the_schema_refuses_a_question_that_it_does_not_describe(system, wrong):
    assert SCREEN.is_valid(_line(system))
    assert not SCREEN.is_valid(_line(system, **wrong))


def test_a_screen_shows_what_its_kind_shows(system):
    line = _line(system)
    line["screen"]["kind"] = "remedy"
    assert not SCREEN.is_valid(line)


def test_every_kind_of_screen_and_all_that_screens_show_is_described():
    assert set(SHOWN) == set(get_args(Kind))
    assert {one for kinds in SHOWN.values() for one in kinds} == set(get_args(ScreenData))


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda s: s.name)
def test_every_line_of_the_json_consult_fits_the_schema(system, script: Script, tmp_path: Path):
    session = Session(system, FakeLookup(system.book), Store(tmp_path / "cases"))
    told = "".join(json.dumps({"say": line}) + "\n" for line in script.lines)
    out = io.StringIO()
    jsonlines.run(session, io.StringIO(told + '{"report": true}\nnonsense\n'), out)
    lines = [json.loads(line) for line in out.getvalue().splitlines()]
    for line in lines:
        SCREEN.validate(line)
    assert lines[-1]["ended"] == script.ended


def test_the_report_of_every_shipped_case_fits():
    """A whole pass over the shipped cases: kinds of steps that no small book has come up there."""
    from diagnose.book.with_house import load
    from diagnose.case.casefile import build, read
    from diagnose.reason.system import System
    from diagnose.storage import paths

    system = System(load().book)
    seen = set()
    for path in sorted((paths.shipped() / "cases").glob("*.yaml")):
        for found, tree in read(path)[:4]:
            made = json.loads(json.dumps(report(build(system, found, tree))))
            REPORT.validate(made)
            seen.add(made["next"]["kind"])
    assert {"question", "remedy", "stop"} <= seen
