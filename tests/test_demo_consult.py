"""The recorded consults of the demo, replayed through the command: each screen still says it."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
RECORDS = sorted((ROOT / "demo").glob("*.txt"))
SECONDS = 60


def read(record: str) -> tuple[list[str], list[list[str]]]:
    """What was typed, and the lines that stand on the screens before, between and after."""
    typed: list[str] = []
    shown: list[list[str]] = [[]]
    for line in record.splitlines():
        if line.startswith(">"):
            typed.append(line[1:].strip())
            shown.append([])
        elif line.strip() not in ("", "...") and not line.startswith("#"):
            shown[-1].append(" ".join(line.split()))
    return typed, shown


def missing(screen: str, wanted: list[str]) -> str:
    """The first of these texts that does not follow the ones before it; empty where all do."""
    at = 0
    for text in wanted:
        found = screen.find(text, at)
        if found < 0:
            return text
        at = found + len(text)
    return ""


@pytest.mark.parametrize("path", RECORDS, ids=lambda path: path.stem)
def test_a_recorded_consult_goes_as_it_went(path: Path) -> None:
    typed, wanted = read(path.read_text(encoding="utf-8"))
    done = subprocess.run([sys.executable, "-m", "diagnose", "consult", "--plain", "--new"],
                          input="\n".join(typed) + "\n", capture_output=True, text=True, cwd=ROOT,
                          timeout=SECONDS)
    assert (done.returncode, done.stderr) == (0, "")
    screens = [" ".join(s.split()) for s in re.split(r"(?m)^> .*$", done.stdout)]
    assert len(screens) == len(wanted), done.stdout
    for said, screen, texts in zip(["", *typed], screens, wanted, strict=True):
        assert missing(screen, texts) == "", f"after {said!r}:\n{screen}"


def test_a_record_that_says_otherwise_is_found_out() -> None:
    typed, shown = read("# a note\nWhat is wrong?\n...\n> it gushes\n\nOne.\n...\nTwo.\n> \n")
    assert typed == ["it gushes", ""] and shown == [["What is wrong?"], ["One.", "Two."], []]
    assert missing("One. Two.", ["One.", "Two."]) == ""
    assert missing("Two. One.", ["One.", "Two."]) == "Two."
    assert missing("One. One", ["One.", "One."]) == "One."


def test_there_is_a_record_to_replay() -> None:
    assert RECORDS
