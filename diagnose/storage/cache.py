"""What is kept between starts, by the content of all that it was made of; losing it costs only time.

What a person is told hangs on some of it, so it is believed only where it could not be changed
without changing the program or the book: it stands among the shipped files, writable by nobody
but their owner, under a digest that tells damage. Nothing made of a house is kept there. Who can
write among the shipped files is beyond what this guards against.
"""

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
DIGEST = hashlib.sha256().digest_size
OTHERS = 0o022
"""Leave to write for anybody but the owner."""
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


def recall(name: str, kind: type[T], folder: Path | None = None) -> T | None:
    """What was kept under a name; None where there is nothing, or nothing sound and ours.

    `folder` is `paths.made()` where none is named.
    """
    import msgspec  # not all that ask for a key need it

    place = (folder or paths.made()) / name
    try:
        if not _ours(place):
            return None
        data = memoryview(place.read_bytes())
        if hashlib.sha256(data[DIGEST:]).digest() != data[:DIGEST]:
            return None
        return msgspec.msgpack.decode(data[DIGEST:], type=kind)
    except (OSError, ValueError, RecursionError):
        return None


def _ours(place: Path) -> bool:
    """Could nobody have written a file but its keeper: this person, or whoever owns the folder's parent?"""
    if os.name != "posix":
        return True
    owners = {0, os.getuid(), place.parents[1].stat().st_uid}
    return all(at.stat().st_uid in owners and not at.stat().st_mode & OTHERS
               for at in (place, place.parent))


def keep(name: str, data: bytes, folder: Path | None = None) -> None:
    """Put a file into a folder as `recall` wants it, and drop the oldest of its kind.

    A name that is nothing but an ending, its `key` empty, is not kept; failing costs only time.
    """
    if name.startswith("."):
        return
    place = (folder or paths.made()) / name
    try:
        place.parent.mkdir(mode=0o755, parents=True, exist_ok=True)
        if place.exists() and not _ours(place):
            place.unlink()   # its leave to write would pass on to what is written over it
        atomic.write(place, hashlib.sha256(data).digest() + data, durable=False, mode=0o644)
        alike = sorted(place.parent.glob(f"*{place.suffix}"), key=lambda p: -p.stat().st_mtime_ns)
        for old in alike[MOST_KEPT:]:
            old.unlink(missing_ok=True)
    except OSError:
        pass
