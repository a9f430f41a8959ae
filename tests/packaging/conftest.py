"""Fresh environments that borrow installed libraries, so that no network is needed."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import venv
from collections.abc import Iterable
from importlib.metadata import Distribution, distribution
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


class Fresh:
    """A virtual environment with nothing in it but what is lent or installed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        venv.EnvBuilder(with_pip=False, symlinks=True).create(folder / "venv")
        self.bin = folder / "venv" / "bin"
        self.site = next((folder / "venv" / "lib").glob("python*/site-packages"))

    def lend(self, *names: str) -> None:
        """Make installed distributions, and what they require, importable: these and no others."""
        lent = self.folder / "lent"
        lent.mkdir(exist_ok=True)
        for found in _closure(names):
            for top in {Path(f.parts[0]) for f in found.files or () if ".." not in f.parts}:
                place = lent / top
                if not place.exists():
                    place.symlink_to(Path(str(found.locate_file(top))).resolve())
        (self.site / "lent.pth").write_text(f"{lent}\n")

    def run(self, command: str, *arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
        """Run a command of the environment from an empty folder, with nothing of ours about."""
        empty = self.folder / "elsewhere"
        empty.mkdir(exist_ok=True)
        clean = {"PATH": os.environ["PATH"], "HOME": str(empty), "LANG": "C.UTF-8",
                 "DIAGNOSE_DATA": str(self.folder / "data")}
        return subprocess.run([str(self.bin / command), *arguments], cwd=empty, env=clean | env,
                              stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120)


def _closure(names: Iterable[str]) -> list[Distribution]:
    """Distributions and, without their extras, all that they require."""
    found: dict[str, Distribution] = {}
    waiting = list(names)
    while waiting:
        name = re.split(r"[^\w.-]", waiting.pop())[0]
        if name.lower() not in found:
            found[name.lower()] = distribution(name)
            waiting += [r for r in found[name.lower()].requires or () if ";" not in r]
    return list(found.values())


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project's wheel, built once."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
                   cwd=ROOT, check=True, capture_output=True, timeout=120)
    (built,) = folder.glob("*.whl")
    return built
