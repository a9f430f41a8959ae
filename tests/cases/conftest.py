"""Every worked case judged once, over one System."""

from __future__ import annotations

import pytest

from diagnose.book.with_house import load
from diagnose.reason.system import System
from tests.cases.judge import Verdict, Worked, collection, judge


@pytest.fixture(scope="session")
def system() -> System:
    """The shipped book with all that reasons over it."""
    return System(load([]).book)


@pytest.fixture(scope="session")
def cases() -> list[Worked]:
    """The book's cases, less those kept aside."""
    return collection()


@pytest.fixture(scope="session")
def verdicts(system: System, cases: list[Worked]) -> dict[str, Verdict]:
    """How each case comes out."""
    return {one.id: judge(system, one) for one in cases}
