"""What the campaigns share: their size, their mark, and the small book."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.reason.system import System
from tests.case.small import book_folder

SIZE = float(os.environ.get("CAMPAIGN", "1"))
"""1 is small enough for a busy machine; 10 takes a quiet one."""
HERE = Path(__file__).parent


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test of this folder as a campaign."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.campaign)
            item.add_marker(pytest.mark.timeout(7200))


def times(count: int) -> int:
    """So many at the size asked for."""
    return max(1, round(count * SIZE))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """The folder of the small book."""
    return book_folder(tmp_path / "book")


@pytest.fixture(scope="session")
def system() -> System:
    """The shipped book with all that reasons over it."""
    return System(load([]).book)
