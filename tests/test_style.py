"""The source keeps to the style and the types that `pyproject.toml` states."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize("checked", [
    ("ruff", "check", "--no-cache", "--output-format", "concise", "diagnose", "tests"),
    ("mypy", "--no-incremental", "--no-error-summary", "diagnose"),
], ids=lambda words: words[0])
def test_nothing_is_found(checked: tuple[str, ...]) -> None:
    found = subprocess.run([sys.executable, "-m", *checked], cwd=ROOT, text=True, encoding="utf-8",
                           stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)
    assert found.returncode == 0, found.stdout
