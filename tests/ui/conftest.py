"""What the tests of the front ends share."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.storage import paths
from tests.case.small import BOOK


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """The folder of the small book, with the shipped words and what was learnt from them beside it."""
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "small.yaml").write_text(BOOK, encoding="utf-8")
    for name in ("lexicon", "learnt"):
        (folder / name).symlink_to(paths.shipped() / name)
    return folder
