"""Killed at any moment, nothing acknowledged is lost and no file is damaged.

    CAMPAIGN=10 python -m pytest tests/campaigns/test_kill.py -m campaign -n 0

Each trial starts the program, kills it (SIGKILL) after a time drawn at random over what a whole run
takes, and looks at what is left; then the program goes on from there.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from diagnose.case.journal import Store
from diagnose.cli import main
from diagnose.notebook.store import Notebook
from diagnose.storage import paths
from tests.campaigns.conftest import times

KILLS = times(5)
ROOT = Path(__file__).parents[2]
SAID = ["it gushes", "1", "", "grind", "same", "back", "beans", "same", "back", "back", "nothing"]
LETTERS = ["it gushes and pours out", "it only drips", "can I leave the machine on all day?",
           "nothing at all", "the shot runs too fast in 19 s", "it takes for ever"]
ROWS = 400
WRITER = """
import sys
from diagnose.cli import main
for dose in range(100, 400):
    main(["notebook", "add", "shot", "--dose", f"{dose / 10} g", "--yield", "36 g", "--time", "28 s"])
    print(f"acknowledged {dose}", flush=True)
"""


@pytest.fixture
def draw() -> random.Random:
    return random.Random(KILLS)


def program(book: Path, data: Path, *arguments: str) -> subprocess.Popen[str]:
    """The program over the small book, in a data folder."""
    return subprocess.Popen([sys.executable, "-m", "tests.ui.small_main", str(book), *arguments], cwd=ROOT,
                            env={**os.environ, "DIAGNOSE_DATA": str(data)}, text=True, stdin=subprocess.PIPE,
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def ended(child: subprocess.Popen[str], after: float | None = None) -> str:
    """What a child printed; killed after so many seconds where it is not done by then."""
    killer = threading.Timer(after, child.kill) if after is not None else None
    if killer:
        killer.start()
    with child:
        out, errors = child.communicate()
    if killer:
        killer.cancel()
    assert child.returncode in (0, -9), errors
    assert "Traceback" not in errors
    return out


def whole(book: Path, data: Path, *arguments: str) -> float:
    """Seconds of a run to its end."""
    begun = time.monotonic()
    assert ended(program(book, data, *arguments)) is not None
    return time.monotonic() - begun


# The consult.

def on_file(data: Path) -> list[tuple[object, bool]]:
    """The events kept of the only case, and whether each was taken back."""
    store = Store(data / "cases")
    damaged: list[str] = []
    kept = store.cases(damaged.append)
    assert not damaged
    return [(e.event, e.undone) for e in store.load(kept[0][0].id)] if kept else []


def said(child: subprocess.Popen[str], line: str) -> None:
    assert child.stdin
    print(json.dumps({"say": line}), file=child.stdin, flush=True)


def states(book: Path, data: Path) -> list[list[tuple[object, bool]]]:
    """What stands on file after each line of a consult that nobody kills."""
    found = []
    with program(book, data, "--json", "--new") as child:
        assert child.stdout
        child.stdout.readline()
        for line in SAID:
            said(child, line)
            child.stdout.readline()
            found.append(on_file(data))
    return found


def test_consult(book, tmp_path, draw):
    wanted = states(book, tmp_path / "whole")
    assert len({str(state) for state in wanted}) > 5
    for number in range(KILLS):
        data, last = tmp_path / f"{number}", draw.randrange(1, len(SAID))
        with program(book, data, "--json", "--new") as child:
            assert child.stdout
            child.stdout.readline()
            for line in SAID[:last]:
                said(child, line)
                child.stdout.readline()
            said(child, SAID[last])                  # taken or not: nobody has acknowledged it
            time.sleep(draw.uniform(0, 0.02))
            child.kill()
        assert on_file(data) in (wanted[last - 1], wanted[last]), f"killed after {SAID[:last + 1]}"
        if on_file(data):
            with program(book, data, "--json", "--resume") as child:
                assert child.stdout and "screen" in json.loads(child.stdout.readline())
                child.kill()


# The notebook.

def test_notebook(tmp_path, draw, monkeypatch):
    for number in range(KILLS):
        data = tmp_path / f"{number}"
        child = subprocess.Popen([sys.executable, "-c", WRITER], cwd=ROOT, text=True, stdout=subprocess.PIPE,
                                 stdin=subprocess.DEVNULL, stderr=subprocess.PIPE,
                                 env={**os.environ, "DIAGNOSE_DATA": str(data)})
        out = ended(child, draw.uniform(0.4, 2.0))
        acknowledged = out.count("\nacknowledged ")
        monkeypatch.setenv("DIAGNOSE_DATA", str(data))
        kept = [row["dose_g"] for row in Notebook().rows("shots")]
        assert kept == [dose / 10 for dose in range(100, 100 + len(kept))]
        assert acknowledged <= len(kept) <= acknowledged + 1
        assert main(["notebook", "add", "shot", "--dose", "50 g", "--yield", "60 g", "--time", "28 s"]) == 0


def test_import(book, tmp_path, draw, monkeypatch):
    table = tmp_path / "shots.csv"
    shots = [f"2026-03-{1 + n % 28:02}T08:00:{n % 60:02}+00:00,{10 + n / 100:.2f},36,28" for n in range(ROWS)]
    table.write_text("\n".join(["at,dose_g,yield_g,shot_time_s", *shots]), "utf-8")
    takes = whole(book, tmp_path / "whole", "notebook", "import", str(table))
    for number in range(KILLS):
        data = tmp_path / f"{number}"
        ended(program(book, data, "notebook", "import", str(table)), draw.uniform(0.2 * takes, takes))
        monkeypatch.setenv("DIAGNOSE_DATA", str(data))
        assert len(Notebook().rows("shots")) in (0, ROWS)
        assert main(["notebook", "import", str(table), "--new-only"]) == 0
        assert len(Notebook().rows("shots")) == ROWS


# Mail and house.

def replies(folder: Path) -> dict[str, bytes]:
    """The replies and the summary, by name."""
    return {file.name: file.read_bytes() for file in sorted(folder.glob("*.md"))}


def test_mail(book, tmp_path, draw):
    letters = tmp_path / "bag.txt"
    letters.write_text("\n\n".join(LETTERS * 4), "utf-8")
    takes = whole(book, tmp_path / "data", "mail", str(letters), "--jobs", "1", "--out",
                  str(tmp_path / "whole"))
    wanted = replies(tmp_path / "whole")
    assert len(wanted) == 4 * len(LETTERS) + 1
    for number in range(KILLS):
        out = tmp_path / f"{number}"
        run = ("mail", str(letters), "--jobs", "1", "--out", str(out))
        ended(program(book, tmp_path / "data", *run), draw.uniform(0.3 * takes, takes))
        left = replies(out) if out.exists() else {}
        assert all(wanted[name] == said for name, said in left.items() if name != "SUMMARY.md")
        ended(program(book, tmp_path / "data", *run))
        assert replies(out) == wanted


def test_house(book, tmp_path, draw, monkeypatch):
    def adding(low: int) -> tuple[str, ...]:
        return "house", "add", "--target", "shot_time", "--low", str(low), "--high", "33", "--yes"

    whole(book, tmp_path / "whole", *adding(21))
    takes = whole(book, tmp_path / "whole", *adding(22))
    wanted = (tmp_path / "whole" / "house" / "targets.yaml").read_bytes()
    for number in range(KILLS):
        data = tmp_path / f"{number}"
        ended(program(book, data, *adding(21)))
        before = (data / "house" / "targets.yaml").read_bytes()
        ended(program(book, data, *adding(22)), draw.uniform(0.3 * takes, takes))
        assert (data / "house" / "targets.yaml").read_bytes() in (before, wanted)
        monkeypatch.setenv("DIAGNOSE_DATA", str(data))
        monkeypatch.setattr(paths, "shipped", lambda: book)
        assert main(["house", "list"]) == 0
