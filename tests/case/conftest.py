"""The small book's system, shared by the tests of a room."""

from __future__ import annotations

import pytest

from diagnose.reason.system import System
from tests.case.small import small_system


@pytest.fixture(scope="module")
def system(tmp_path_factory: pytest.TempPathFactory) -> System:
    return small_system(tmp_path_factory.mktemp("small"))
