"""Fresh environments that borrow installed libraries, so that no network is needed."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import venv
from collections.abc import Iterable, Iterator
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
        for place in (p for found in _closure(names) for p in _parts(found)):
            if not (lent / place.name).exists():
                (lent / place.name).symlink_to(place.resolve())
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


def _parts(found: Distribution) -> Iterator[Path]:
    """What a distribution has in site-packages: packages, modules and its description.

    Old installers list files oddly or not at all, so that names tell more than lists.
    """
    site = Path(str(found.locate_file("")))
    name = re.sub(r"[-_.]+", "[-_.]", found.metadata["Name"])
    described = re.compile(rf"{name}-{re.escape(found.version)}.*\.(dist|egg)-info", re.I)
    tops = (found.read_text("top_level.txt") or "").split()
    tops = tops or [f.parts[0].split(".")[0] for f in found.files or () if ".." not in f.parts]
    for place in site.iterdir():
        if described.fullmatch(place.name) or place.name.split(".")[0] in tops:
            yield place


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project's wheel, built once."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
                   cwd=ROOT, check=True, capture_output=True, timeout=120)
    (built,) = folder.glob("*.whl")
    return built
