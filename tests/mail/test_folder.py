"""The folder of replies is one pile's: no letter is lost in it, and no file of anybody's written over."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from diagnose.cli import main
from diagnose.mail import folder, letters
from diagnose.storage import atomic


def put(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def mail(*arguments: object) -> int:
    return main(["mail", *map(str, arguments), "--jobs", "1"])


def test_letters_whose_files_differ_by_case_or_again_are_all_answered(tmp_path: Path) -> None:
    for i, name in enumerate(("a.txt", "A.txt", "a again 2.txt", "a-again-2.txt", "sub/a.txt", "á.txt")):
        put(tmp_path / "in" / name, f"The coffee is sour, try {i}.")
    assert mail(tmp_path / "in") == 0
    replies = list((tmp_path / "in-replies").glob("?-*.md"))
    said = "".join(p.read_text(encoding="utf-8") for p in replies)
    assert len(replies) == 6 and all(f"try {i}" in said for i in range(6))


@pytest.mark.parametrize("name", ["SUMMARY.md", "summary.md", "summary.json", "summary.csv", "replies.jsonl",
                                  "4-remedy-a-00001.txt", "4-remedy-bag-00001.md"])
def test_a_file_of_one_s_own_is_refused_before_anything_is_written(
        tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    bag = put(tmp_path / "bag.txt", "The coffee is sour.")
    own = put(tmp_path / "out" / name, '{"complaint": "mine"}\n')
    assert mail(bag, "--out", own.parent) == 2
    assert "stays as it is" in capsys.readouterr().err
    assert [p.name for p in own.parent.iterdir()] == [name] and "mine" in own.read_text()


def test_an_input_called_like_the_journal_is_not_written_over(tmp_path: Path) -> None:
    bag = put(tmp_path / "replies.jsonl", '{"complaint": "sour"}\n')
    assert mail(bag, "--out", tmp_path) == 2 and "sour" in bag.read_text()
    assert mail(bag) == 0 and "sour" in bag.read_text()


def test_a_second_pile_does_not_drop_the_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, second = put(tmp_path / "1.txt", "The coffee is sour."), put(tmp_path / "2.txt", "No crema.")
    assert mail(first, "--out", tmp_path / "out") == 0
    before = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    assert mail(second, "--out", tmp_path / "out") == 2
    assert f"holds the replies to {first}" in capsys.readouterr().err
    assert {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == before
    assert mail(first, "--out", tmp_path / "out") == 0


def test_a_folder_in_which_another_run_writes_is_left_to_it(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bag = put(tmp_path / "bag.txt", "The coffee is sour.")
    (tmp_path / "out").mkdir()
    with atomic.locked(tmp_path / "out"):
        assert mail(bag, "--out", tmp_path / "out") == 2
    assert "another run of diagnose is writing there" in capsys.readouterr().err


def test_replies_are_for_those_whom_the_umask_lets_read(tmp_path: Path) -> None:
    was = os.umask(0o077)
    try:
        assert mail(put(tmp_path / "bag.txt", "The coffee is sour.")) == 0
    finally:
        os.umask(was)
    assert {p.stat().st_mode & 0o777 for p in (tmp_path / "bag-replies").iterdir()} == {0o600}


def test_a_letter_too_long_to_be_read_whole_is_named(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert letters.LONGEST < 8_100
    bag = put(tmp_path / "bag.txt", "The coffee is sour.\n\nNo crema. " + "and so on " * 810)
    assert mail(bag) == 2
    said = "bag.txt:3: only the first 8,000 of 8,109 signs are read"
    assert said in capsys.readouterr().err
    assert "only the first 8,000 of 8,109" in (tmp_path / "bag-replies" / folder.SUMMARY).read_text()


def test_a_pipe_is_read_and_needs_a_folder_named(tmp_path: Path) -> None:
    def piped(text: str, *arguments: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "diagnose", "mail", "/dev/stdin", "--jobs", "1", *arguments]
        return subprocess.run(command, input=text, capture_output=True, text=True, check=False)

    out = ("--out", str(tmp_path / "out"))
    assert "name the folder for the replies with --out" in piped("Sour.\n").stderr
    assert "2 letters" in piped("Sour.\n\nNo crema.\n", *out).stdout
    assert "2 were done before" in piped("Sour.\n\nNo crema.\n", *out).stderr
    assert "holds the replies to letters read from a pipe" in piped("Gushes.\n", *out).stderr


def _children(pid: int) -> set[int]:
    return {int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()}


def _runs(pid: int) -> bool:
    try:
        return "Z" not in Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except OSError:
        return False


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_a_run_that_is_killed_leaves_no_process_behind(tmp_path: Path, how: signal.Signals) -> None:
    bag = put(tmp_path / "bag.txt", "\n\n".join(f"The coffee is sour, try {i}." for i in range(400)))
    running = subprocess.Popen([sys.executable, "-m", "diagnose", "mail", str(bag), "--jobs", "2"],
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    journal = tmp_path / "bag-replies" / folder.JOURNAL
    while running.poll() is None and not (journal.exists() and journal.read_text().count("\n") > 2):
        time.sleep(0.02)
    workers = _children(running.pid)
    running.send_signal(how)
    running.wait()
    end = time.monotonic() + 10
    while time.monotonic() < end and any(map(_runs, workers)):
        time.sleep(0.05)
    assert len(workers) >= 2 and not [pid for pid in workers if _runs(pid)]


def test_a_journal_says_whose_replies_it_notes(tmp_path: Path) -> None:
    bag = put(tmp_path / "bag.txt", "The coffee is sour.")
    assert mail(bag) == 0
    lines = (tmp_path / "bag-replies" / folder.JOURNAL).read_text().splitlines()
    assert [json.loads(line)[folder.PILE] for line in lines] == [str(bag), str(bag)]
