"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagnose.storage import atomic


@pytest.mark.parametrize("durable", [True, False])
def test_it_takes_the_old_ones_place_and_permissions(tmp_path: Path, durable: bool) -> None:
    path = tmp_path / "a"
    was = os.umask(0o022)
    atomic.write(path, b"one", durable=durable)
    os.umask(was)
    assert path.read_bytes() == b"one" and path.stat().st_mode & 0o777 == 0o644
    path.chmod(0o600)
    atomic.write(path, b"two", durable=durable)
    assert path.read_bytes() == b"two" and path.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("fails", ["fsync", "replace", "chmod"])
def test_a_failure_leaves_the_old_one_and_nothing_beside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, fails, full)
    with pytest.raises(OSError, match="No space left"):
        atomic.write(path, b"two")
    assert path.read_bytes() == b"one" and list(tmp_path.iterdir()) == [path]


def test_a_new_one_has_the_permissions_that_its_owner_wants(tmp_path: Path) -> None:
    was = os.umask(0o077)
    try:
        atomic.write(tmp_path / "a", b"one")
        os.umask(0o022)
        atomic.write(tmp_path / "b", b"one", mode=atomic.PRIVATE)
    finally:
        os.umask(was)
    assert [(tmp_path / n).stat().st_mode & 0o777 for n in "ab"] == [0o600, 0o600]


def test_nothing_that_stands_beside_it_is_written_over(tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.write_bytes(b"mine")
    for name in ("a.part", ".a.part", "a.tmp"):
        (tmp_path / name).symlink_to(other)
    atomic.write(tmp_path / "a", b"one")
    assert other.read_bytes() == b"mine" and len(list(tmp_path.iterdir())) == 5


def test_a_folder_held_by_another_run_is_waited_for_or_refused(tmp_path: Path) -> None:
    with atomic.locked(tmp_path), pytest.raises(atomic.BusyError), atomic.locked(tmp_path, wait=False):
        pass
    with atomic.locked(tmp_path, wait=False):
        pass


def test_only_a_durable_one_is_synced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[int] = []
    monkeypatch.setattr(os, "fsync", synced.append)
    atomic.write(tmp_path / "a", b"one", durable=False)
    assert not synced
    atomic.write(tmp_path / "a", b"two")
    assert len(synced) == 2  # the file and its folder
