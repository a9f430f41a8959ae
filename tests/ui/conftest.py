"""What the tests of the front ends share."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.case.small import book_folder


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """The folder of the small book."""
    return book_folder(tmp_path / "book")
