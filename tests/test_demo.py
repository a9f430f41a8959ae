"""The demo cases: each ends with the right cause first, its fix and its cautions."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case.casefile import build, read
from diagnose.present.case_data import report
from diagnose.reason.system import System

CASES = sorted((Path(__file__).parents[1] / "demo").glob("*.yaml"))


@pytest.fixture(scope="module")
def system() -> System:
    return System(load().book)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_demo_case_ends_with_the_right_cause_first(path: Path, system: System) -> None:
    found = read(path)
    case_file, tree = found[0] if isinstance(found, list) else found
    case = build(system, case_file, tree)
    shown = report(case)
    assert case_file.expect is not None
    assert shown["causes"][0]["id"] in case_file.expect.causes, shown["causes"][0]["why"]
    assert set(case_file.expect.cautions) <= {c["id"] for c in shown["cautions"]}
