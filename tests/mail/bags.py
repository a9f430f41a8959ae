"""A bag of letters worked through once, for tests that only read what came of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.cli import main


def worked(folder: Path, name: str, letters: str) -> Path:
    """Write the letters to a file of this name, work them through, and name the folder of replies."""
    file = folder / name
    file.write_text(letters, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAGNOSE_DATA", str(folder / "data"))
        assert main(["mail", str(file), "--jobs", "1"]) == 0
    return folder / f"{file.stem}-replies"
