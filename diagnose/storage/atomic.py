"""Files written whole or not at all: beside the old one, then renamed over it."""

from __future__ import annotations

import contextlib
import os
import secrets
from collections.abc import Iterator
from pathlib import Path

try:
    import fcntl
except ImportError:  # no such module where files can't be locked this way
    fcntl = None  # type: ignore[assignment]  # else a module

PRIVATE, PRIVATE_FOLDER = 0o600, 0o700
"""Permissions of what nobody but its owner is to read."""


class BusyError(OSError):
    """Another run of the program is writing there."""


def write(path: Path, data: bytes, *, durable: bool = True, mode: int = 0o666) -> None:
    """Write a file so that nobody ever sees half of it; an existing one keeps its permissions.

    A new one has `mode` less what the person's umask takes away. Where it is `durable`, it is on
    the disk before it takes the old one's place. Raises OSError, the old file as it was and
    nothing left beside it.
    """
    beside = path.parent / f".{secrets.token_hex(8)}.part"
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            if durable:
                out.flush()
                os.fsync(out.fileno())
        if path.exists():
            os.chmod(beside, path.stat().st_mode & 0o777)
        os.replace(beside, path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    if durable:
        sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Make sure that a new name in a folder itself survives a power cut."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def private_folder(folder: Path) -> None:
    """Make a folder, and those above it, that nobody but its owner can look into."""
    if not folder.parent.exists():
        private_folder(folder.parent)
    folder.mkdir(PRIVATE_FOLDER, exist_ok=True)


@contextlib.contextmanager
def locked(folder: Path, wait: bool = True) -> Iterator[None]:
    """Hold a folder against other runs of the program; BusyError where one holds it and none waits."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        hold(handle, wait)
        yield
    finally:
        os.close(handle)


def hold(handle: int, wait: bool, shared: bool = False) -> None:
    """Hold an open file or folder, till it is closed, as `locked` does; `shared` only against writers."""
    if fcntl is not None:
        try:
            fcntl.flock(handle, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | (0 if wait else fcntl.LOCK_NB))
        except BlockingIOError:
            raise BusyError(16, "another run of diagnose is writing there") from None
