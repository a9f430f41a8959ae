"""Complaints that mean danger: the caution shows by itself, and no fix makes it worse."""

from __future__ import annotations

import pytest

from diagnose.consult.case import Case
from diagnose.load import load
from diagnose.lookup.complaint import understand
from diagnose.reason.system import System

TOLD = (
    ("The coffee maker exploded, coffee all over the ceiling", "portafilter_pressure"),
    ("My handle blew off with a bang and sprayed the kitchen", "portafilter_pressure"),
    ("The boiler needle is way past the red and it hisses, I pulled the plug", "safety_valve"),
    ("The grinder just hums and the burrs do not turn", "stalled_motor"),
)


@pytest.fixture(scope="module")
def system() -> System:
    return System(load().book)


def told(system: System, text: str) -> Case:
    case = Case(system)
    case.complain(text, understand(system.book, text).symptoms, read=True)
    return case


@pytest.mark.parametrize(("text", "caution"), TOLD)
def test_a_dangerous_complaint_raises_its_caution(system: System, text: str, caution: str) -> None:
    assert caution in told(system, text).cautions


def test_a_motor_that_only_hums_is_never_told_to_run(system: System) -> None:
    case = told(system, "The grinder just hums and the burrs do not turn")
    assert "set_while_running" not in {option.remedy for option in case.options}
