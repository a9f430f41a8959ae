"""What is kept between starts, by the content of all that it was made of; losing it costs only time."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

from diagnose import __version__
from diagnose.storage import atomic, paths

T = TypeVar("T")
MOST_KEPT = 12
"""Files of a kind in the cache: every change of a book leaves one that is never wanted again."""
PACKAGE = Path(__file__).parents[1]
"""The folder whose packages `code` names."""


def code(packages: Iterable[str]) -> bytes:
    """A digest of all the source of these packages and modules of the program.

    Whatever is kept names all packages that had a hand in making it (a test follows the
    imports), so that a change to any of their files makes it afresh.
    """
    digest = hashlib.sha256(__version__.encode())
    for name in packages:
        folder = PACKAGE / name
        for file in sorted(folder.rglob("*.py")) if folder.is_dir() else [folder.with_suffix(".py")]:
            digest.update(f"\0{file.relative_to(PACKAGE).as_posix()}\0".encode() + file.read_bytes())
    return digest.digest()


def key(made_by: Iterable[str], files: Iterable[Path], *more: bytes) -> str:
    """A name for what these packages make of these files and these bytes.

    Empty where one of the files can't be read: what hangs on it is not to be kept.
    """
    digest = hashlib.sha256()
    try:
        for part in (code(made_by), *more):
            digest.update(b"\0" + part)
        for file in files:
            digest.update(b"\0" + os.fsencode(file) + b"\0" + file.read_bytes())
    except OSError:
        return ""
    return digest.hexdigest()[:32]


def recall(name: str, kind: type[T]) -> T | None:
    """What was kept in the cache under a name; None where there is nothing, or nothing sound."""
    import msgspec  # not all that ask for a key need it

    try:
        return msgspec.msgpack.decode((paths.cache() / name).read_bytes(), type=kind)
    except (OSError, msgspec.DecodeError):
        return None


def keep(name: str, data: bytes) -> None:
    """Put a file into the cache, and drop the oldest of its kind; failing costs only time.

    A name that is nothing but an ending, its `key` empty, is not kept.
    """
    if name.startswith("."):
        return
    place = paths.cache() / name
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        atomic.write(place, data, durable=False, mode=0o600)
        alike = sorted(place.parent.glob(f"*{place.suffix}"), key=lambda p: -p.stat().st_mtime_ns)
        for old in alike[MOST_KEPT:]:
            old.unlink(missing_ok=True)
    except OSError:
        pass
