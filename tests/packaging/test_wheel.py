"""The built wheel works by itself: from any folder, its knowledge with it, no checkout about."""

from __future__ import annotations

import json
import subprocess
import sys
from importlib.metadata import Distribution
from pathlib import Path

import pytest

from diagnose import __version__
from tests.packaging.conftest import ROOT, Fresh

CASE = """\
complaint: the shot gushes out
symptoms: [shot_too_fast]
answers: {shot_time: 12 s, dose: 18 g, drink_mass: 40 g}
"""


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Fresh:
    """A fresh environment with the wheel, and of libraries only those that it requires."""
    fresh = Fresh(tmp_path_factory.mktemp("installed"))
    pip(fresh, "install", "-q", "--no-deps", "--no-index", str(wheel))
    own = Distribution.at(next(fresh.site.glob("diagnose-*.dist-info")))
    fresh.lend(*(r for r in own.requires or () if ";" not in r))
    return fresh


def pip(fresh: Fresh, *arguments: str) -> None:
    """This environment's pip, at work in the fresh one."""
    done = subprocess.run([sys.executable, "-m", "pip", "--python", str(fresh.bin / "python"), *arguments],
                          capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr


def test_what_it_requires_is_all_it_needs(installed: Fresh) -> None:
    pip(installed, "check")


def test_the_checkout_is_not_on_its_path(installed: Fresh) -> None:
    shown = installed.run("python", "-c", "import diagnose, sys; print(diagnose.__file__, *sys.path)")
    assert shown.stdout.startswith(str(installed.site)), shown.stderr
    assert str(ROOT) not in shown.stdout


def test_it_says_its_version(installed: Fresh) -> None:
    assert installed.run("diagnose", "--version").stdout == f"diagnose {__version__}\n"


def test_words_are_looked_up_in_the_book_it_brings(installed: Fresh) -> None:
    shown = installed.run("diagnose", "lookup", "--json", "dry foam")
    assert shown.returncode == 0, shown.stderr
    assert "foam" in json.loads(shown.stdout)["hits"][0]["name"]


def test_a_case_is_worked_out(installed: Fresh, tmp_path: Path) -> None:
    file = tmp_path / "case.yaml"
    file.write_text(CASE)
    shown = installed.run("diagnose", "case", "--json", str(file))
    assert shown.returncode == 0, shown.stderr
    assert json.loads(shown.stdout)["causes"][0]["probability"] > 0


def test_a_consult_asks_its_first_question(installed: Fresh) -> None:
    shown = installed.run("diagnose")
    assert shown.returncode == 0 and "What is wrong?" in shown.stdout, shown.stderr


def test_all_of_the_book_is_in_it(installed: Fresh) -> None:
    brought = installed.site / "diagnose" / "_knowledge"
    for file in (ROOT / "knowledge").rglob("*.yaml"):
        assert (brought / file.relative_to(ROOT / "knowledge")).is_file()
