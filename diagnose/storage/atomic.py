"""Files written whole or not at all: beside the old one, then renamed over it."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path


def write(path: Path, data: bytes, *, durable: bool = True, mode: int = 0o644) -> None:
    """Write a file so that nobody ever sees half of it; an existing one keeps its permissions.

    Where it is `durable`, it is on the disk before it takes the old one's place. Raises OSError,
    the old file as it was and nothing left beside it.
    """
    import tempfile  # seldom wanted, and slow to load

    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            if durable:
                out.flush()
                os.fsync(out.fileno())
        os.chmod(name, path.stat().st_mode & 0o777 if path.exists() else mode)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
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
