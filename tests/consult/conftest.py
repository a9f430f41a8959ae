"""What the tests of the consult share: the small book's system, and a session over it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from diagnose.consult.session import Session
from diagnose.consult.store import Store
from diagnose.reason.system import System
from tests.consult.small import FakeLookup, small_system


@pytest.fixture(scope="module")
def system(tmp_path_factory: pytest.TempPathFactory) -> System:
    return small_system(tmp_path_factory.mktemp("small"))


@pytest.fixture
def session(system: System, tmp_path: Path) -> Iterator[Session]:
    made = Session(system, FakeLookup(system.book), Store(tmp_path / "cases"))
    yield made
    made.close()
