"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagnose.storage import atomic


@pytest.mark.parametrize("durable", [True, False])
def test_it_takes_the_old_ones_place_and_permissions(tmp_path: Path, durable: bool) -> None:
    path = tmp_path / "a"
    atomic.write(path, b"one", durable=durable)
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


def test_only_a_durable_one_is_synced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[int] = []
    monkeypatch.setattr(os, "fsync", synced.append)
    atomic.write(tmp_path / "a", b"one", durable=False)
    assert not synced
    atomic.write(tmp_path / "a", b"two")
    assert len(synced) == 2  # the file and its folder
