"""The documented schemas hold for what is really printed."""

from __future__ import annotations

import io
import json
from pathlib import Path

import jsonschema
import pytest

from diagnose.case.case import Case
from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.present.case_data import report
from diagnose.present.schema import SCHEMA, SCREEN_SCHEMA
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
    (("next", "minutes"), -1), (("extra",), 1)])
def test_the_schema_refuses_what_it_does_not_describe(system, path, wrong):
    made = report(_case(system, last_change="grind"))
    at = made
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = wrong
    assert not REPORT.is_valid(made)


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
