"""What the tests of the consult share: the small book's system, and a session over it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.reason.system import System
from tests.case.conftest import system  # noqa: F401
from tests.case.small import FakeLookup


@pytest.fixture
def session(system: System, tmp_path: Path) -> Iterator[Session]:  # noqa: F811 - the fixture itself
    made = Session(system, FakeLookup(system.book), Store(tmp_path / "cases"))
    yield made
    made.close()
