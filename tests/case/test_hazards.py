"""What stops a consult by itself, held against a whole case of it."""

from __future__ import annotations

from pathlib import Path

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.hazards import Alarms
from diagnose.reason.system import System
from tests.case.small import small_system


def _stops(case: Case) -> list[str]:
    return sorted(c for c in case.cautions if case.book.cautions[c].stop == "yes")


def test_an_answer_stops_as_a_case_of_it_does(tmp_path: Path) -> None:
    system = small_system(tmp_path)
    alarms, found = Alarms(system), {}
    for name, stated in system.book.observations.items():
        for value in stated.answers or (["yes", "no"] if stated.kind == "yes_no" else []):
            case = Case(system)
            case.answer(name, value)
            assert list(alarms.answer(name, value)) == _stops(case)
            found[name, value] = _stops(case)
    assert found["smell", "burning"] == ["mains"] and found["smell", "fine"] == []


def test_every_symptom_of_the_shipped_book_stops_as_a_case_of_it_does() -> None:
    system = System(load().book)
    alarms, stopping = Alarms(system), 0
    for name in system.book.symptoms:
        case = Case(system)
        case.complain("", [name])
        assert list(alarms.symptom(name)) == _stops(case), name
        stopping += bool(alarms.symptom(name))
    assert stopping > 5
