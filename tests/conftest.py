"""Every test has a data folder of its own, and none of the person's settings."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The data folder of this test."""
    folder = tmp_path / "data"
    monkeypatch.setenv("DIAGNOSE_DATA", str(folder))
    monkeypatch.delenv("NO_COLOR", raising=False)
    return folder
