"""The README's tour: every line of it works in the demo folder, in order, and the help is grouped alike."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose import cli

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text()
TOUR = [line for block in re.findall(r"<!-- tour -->\n```sh\n(.*?)```", README, re.S)
        for line in block.splitlines()]
SAYS = {"consult --resume": "too fast", "lookup": "[foam_dry]", "case": "grind", "mail": "SUMMARY.md",
        "house check": "sound", "notebook shots": "mark", "notebook import": "Taken in: 12",
        "notebook plot": "One mark up", "notebook page": "Written: ", "calc shot": "1:2",
        "calc grinder": "2 marks finer", "handout": "Written: ",
        "book show": "Evidence", "book stats": "To teach next"}
"""What must stand in the answer, by how the command begins."""


def test_every_line_of_the_tour_works_in_its_turn(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(ROOT / "demo", folder)
    there = {**os.environ, "PYTHONPATH": str(ROOT), "DIAGNOSE_DATA": str(tmp_path / "data")}
    for line in TOUR:
        words = shlex.split(line)
        assert words[0] == "diagnose"
        done = subprocess.run([sys.executable, "-m", *words], cwd=folder, env=there, text=True, timeout=120,
                              input="the shot runs too fast\n\n\n\n", capture_output=True, check=False)
        assert done.returncode == 0, f"{line}\n{done.stdout}{done.stderr}"
        wanted = [said for begins, said in SAYS.items() if " ".join(words[1:]).startswith(begins)]
        assert all(said in done.stdout for said in wanted), f"{line}\n{done.stdout}"
    assert {p.name for p in folder.glob("*.html")} == {"handout.html", "class.html", "targets.html",
                                                           "notebook.html"}


def test_the_tour_shows_every_command_grouped_as_the_help_groups_them() -> None:
    assert sorted(name for names in cli.GROUPS.values() for name in names) == sorted(
        module.__name__.rpartition(".")[2] for module in cli.COMMANDS)
    for title, names in cli.GROUPS.items():
        part = README.partition(f"### {title}\n")[2].partition("\n##")[0]
        assert part and all(f"\ndiagnose {name}" in part for name in names), title
    help_ = cli.parser().format_help()
    places = [help_.index(f"{title}:") for title in cli.GROUPS]
    assert places == sorted(places)


@pytest.mark.parametrize("columns", ["40", "200"])
def test_the_help_names_the_data_folder_in_one_piece(
        own_data: Path, monkeypatch: pytest.MonkeyPatch, columns: str) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert f"\n  {own_data}\n" in cli.parser().format_help()
