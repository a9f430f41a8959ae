"""The file: nothing lost, nothing damaged, every failure one plain line."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.errors import UserError
from diagnose.notebook import migrations, store
from diagnose.notebook.store import APPLICATION_ID, DuplicateError, Notebook
from tests.notebook.rows import fill, row, shot

CODE = Path(__file__).parents[2]


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    return Notebook(tmp_path / "data" / "notebook.sqlite")


def _line(caught: Any) -> str:
    text = str(caught.value)
    assert "\n" not in text
    return text


def test_a_notebook_that_is_not_there_holds_nothing_and_is_not_made(notebook: Notebook) -> None:
    assert notebook.rows("shots") == []
    assert not notebook.path.exists()


def test_entries_come_back_oldest_first(notebook: Notebook) -> None:
    fill(notebook, "shots", [shot(1), shot(3), shot(2)])
    assert notebook.rows("shots") == [shot(3), shot(2), shot(1)]


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.floats(0.5, 60), st.floats(-1000, 1000), st.floats(1, 300))
def test_numbers_come_back_exactly(tmp_path: Path, dose: float, mark: float, time: float) -> None:
    with tempfile.TemporaryDirectory(dir=tmp_path) as folder:
        kept = Notebook(Path(folder) / "n.sqlite")
        kept.add("shots", shot(0, mark, time) | {"dose_g": dose})
        (back,) = kept.rows("shots")
        assert (back["dose_g"], back["mark"], back["shot_time_s"]) == (dose, mark, time)


def test_the_same_entry_twice_is_refused(notebook: Notebook) -> None:
    notebook.add("shots", shot())
    with pytest.raises(DuplicateError, match="already"):
        notebook.add("shots", shot())
    notebook.add("shots", shot(time=29.0))
    assert len(notebook.rows("shots")) == 2


def test_equipment_known_anew_takes_the_old_ones_place(notebook: Notebook) -> None:
    notebook.add("equipment", row("equipment", name="gauge", value="brew"))
    notebook.add("equipment", row("equipment", name="gauge", value="none"))
    assert [r["value"] for r in notebook.rows("equipment")] == ["none"]


def test_every_row_is_on_the_disk_before_it_is_said_to_be_kept(notebook: Notebook) -> None:
    with notebook.writing() as db:
        assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert db.execute("PRAGMA synchronous").fetchone() == (2,)


def test_a_file_of_the_first_version_is_lifted_with_its_rows(notebook: Notebook) -> None:
    notebook.path.parent.mkdir()
    db = sqlite3.connect(notebook.path)
    migrations.grinding(db)
    db.execute("INSERT INTO shots (at, dose_g, yield_g, shot_time_s) "
               "VALUES ('2026-01-01T08:00:00+00:00', 18, 36, 28)")
    db.execute(f"PRAGMA application_id={APPLICATION_ID}")
    db.execute("PRAGMA user_version=1")
    db.commit()
    db.close()
    assert notebook.rows("waters") == []
    assert notebook.rows("shots")[0]["dose_g"] == 18.0
    fill(notebook, "waters", [row("waters", litres=2.0)])
    assert len(notebook.rows("waters")) == 1


def test_a_migration_that_fails_leaves_the_file_as_it_was(
        notebook: Notebook, monkeypatch: pytest.MonkeyPatch) -> None:
    notebook.add("shots", shot())

    def broken(db: sqlite3.Connection) -> None:
        db.execute("CREATE TABLE half (x)")
        raise sqlite3.OperationalError("no more")

    steps = (*migrations.MIGRATIONS, broken)
    monkeypatch.setattr(store, "MIGRATIONS", steps)
    with pytest.raises(UserError):
        notebook.add("shots", shot(1))
    monkeypatch.undo()
    assert notebook.rows("shots") == [shot()]
    assert not sqlite3.connect(notebook.path).execute(
        "SELECT 1 FROM sqlite_master WHERE name='half'").fetchone()


def test_a_notebook_of_a_newer_version_is_left_alone(notebook: Notebook) -> None:
    notebook.add("shots", shot())
    db = sqlite3.connect(notebook.path)
    db.execute("PRAGMA user_version=99")
    db.close()
    before = notebook.path.read_bytes()
    for work in (lambda: notebook.rows("shots"), lambda: notebook.add("shots", shot(1))):
        with pytest.raises(UserError, match="newer diagnose") as caught:
            work()
        assert "99" in _line(caught)
    assert notebook.path.read_bytes() == before


def test_another_programs_file_is_left_alone(notebook: Notebook) -> None:
    notebook.path.parent.mkdir()
    db = sqlite3.connect(notebook.path)
    db.execute("CREATE TABLE recipes (x)")
    db.close()
    with pytest.raises(UserError, match="another program"):
        notebook.add("shots", shot())


@pytest.mark.parametrize("damage", [b"not a database at all, only words", None], ids=["words", "torn"])
def test_a_damaged_file_is_named_and_left_as_it_is(notebook: Notebook, damage: bytes | None) -> None:
    fill(notebook, "shots", [shot(i, note="x" * 400) for i in range(60)])
    whole = notebook.path.read_bytes()
    notebook.path.write_bytes(damage or whole[:4096] + b"\xff" * (len(whole) - 4096))
    before = notebook.path.read_bytes()
    with pytest.raises(UserError, match="damaged") as caught:
        notebook.rows("shots")
    assert str(notebook.path) in _line(caught)
    assert notebook.path.read_bytes() == before


def test_a_full_disk_keeps_what_was_there(notebook: Notebook, monkeypatch: pytest.MonkeyPatch) -> None:
    notebook.add("shots", shot())
    connect = Notebook._connect

    def small(self: Notebook, mode: str, more: str) -> sqlite3.Connection:
        db = connect(self, mode, more)
        pages = db.execute("PRAGMA page_count").fetchone()[0]
        db.execute(f"PRAGMA max_page_count={max(1, pages)}")
        return db

    monkeypatch.setattr(Notebook, "_connect", small)
    with pytest.raises(UserError, match="disk is full") as caught:
        fill(notebook, "shots", [shot(i, note="y" * 480) for i in range(1, 60)])
    _line(caught)
    monkeypatch.undo()
    kept = notebook.rows("shots")
    assert shot() in kept and 1 <= len(kept) < 60


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that a person without rights can reach, and not write."""
    folder = Path(tempfile.mkdtemp())
    yield folder
    os.chmod(folder, 0o755)
    shutil.rmtree(folder)


def test_a_read_only_notebook_is_read_and_says_why_it_takes_nothing(open_folder: Path) -> None:
    kept = Notebook(open_folder / "notebook.sqlite")
    kept.add("shots", shot())
    os.chmod(kept.path, 0o444)
    os.chmod(open_folder, 0o555)
    count, said = _without_rights(kept)
    assert count == 1
    assert "can't be written" in said and "\n" not in said


def _without_rights(kept: Notebook) -> tuple[int, str]:
    """What a process that may only read finds and is told; a fork, as its code is loaded already."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        with os.fdopen(writing, "w") as out:
            if os.geteuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            try:
                out.write(f"{len(kept.rows('shots'))}|")
                kept.add("shots", shot(1))
            except UserError as error:
                out.write(str(error))
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as told:
        count, _, said = told.read().partition("|")
    os.waitpid(child, 0)
    return int(count), said


def test_a_folder_that_can_t_be_made_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(UserError) as caught:
        Notebook(tmp_path / "file" / "notebook.sqlite").add("shots", shot())
    assert "--data" in _line(caught)


WRITER = """
import sys
sys.path.insert(0, sys.argv[1])
from pathlib import Path
from diagnose.notebook.store import Notebook
from tests.notebook.rows import shot
notebook = Notebook(Path(sys.argv[2]))
for i in range(int(sys.argv[4])):
    notebook.add("shots", shot(i, note=sys.argv[3]))
    print(i, flush=True)
"""


def _writer(notebook: Notebook, name: str, count: int) -> subprocess.Popen[str]:
    return subprocess.Popen([sys.executable, "-c", WRITER, str(CODE), str(notebook.path), name, str(count)],
                            stdout=subprocess.PIPE, text=True)


def test_processes_writing_at_once_lose_nothing(notebook: Notebook) -> None:
    """They also race to make the file and lift it."""
    writers = [_writer(notebook, name, 40) for name in "abc"]
    for writer in writers:
        writer.communicate(timeout=120)
    assert [w.returncode for w in writers] == [0, 0, 0]
    notes = [r["note"] for r in notebook.rows("shots")]
    assert {n: notes.count(n) for n in "abc"} == {"a": 40, "b": 40, "c": 40}


def test_a_kill_loses_nothing_that_was_said_to_be_kept(notebook: Notebook) -> None:
    with _writer(notebook, "k", 10_000) as writer:
        assert writer.stdout is not None
        for line in writer.stdout:
            if line.strip() == "15":
                writer.kill()
                break
        told = 16 + sum(1 for _ in writer.stdout)
    assert told <= len(notebook.rows("shots")) <= told + 1


def test_a_full_disk_can_still_be_read_and_is_called_full(
    notebook: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    notebook.add("shots", shot())
    before = notebook.rows("shots")

    def no_room(db: sqlite3.Connection, path: Path) -> int:
        error = sqlite3.OperationalError("disk I/O error")
        error.sqlite_errorname = "SQLITE_IOERR_SHMSIZE"
        raise error

    monkeypatch.setattr(store, "_lift", no_room)
    monkeypatch.setattr(store, "_is_full", lambda folder: True)
    assert notebook.rows("shots") == before
    with pytest.raises(UserError, match="disk is full"):
        notebook.add("shots", shot())


def test_nobody_else_can_read_the_notebook(tmp_path: Path) -> None:
    was = os.umask(0o022)
    try:
        notebook = Notebook(tmp_path / "data" / "notebook.sqlite")
        notebook.add("shots", shot())
    finally:
        os.umask(was)
    assert notebook.path.stat().st_mode & 0o077 == 0 == notebook.path.parent.stat().st_mode & 0o077
