"""Where knowledge and the person's own files stand on this machine."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

import platformdirs

from diagnose import __version__

T = TypeVar("T")
DATA = "DIAGNOSE_DATA"
"""Environment variable that moves the person's data: notebook, house rules, open cases."""
MOST_KEPT = 12
"""Files of a kind in the cache: every change of a book leaves one that is never wanted again."""


def shipped() -> Path:
    """The folder of the shipped chapters: beside the package in a wheel, above it in a checkout."""
    inside = Path(__file__).parents[1] / "_knowledge"
    return inside if inside.is_dir() else Path(__file__).parents[2] / "knowledge"


def data() -> Path:
    """The person's data folder; not made here."""
    moved = os.environ.get(DATA)
    return Path(moved) if moved else Path(platformdirs.user_data_dir("diagnose", appauthor=False))


def house() -> Path:
    """The default folder of the house's own chapters."""
    return data() / "house"


def cache() -> Path:
    """Where decoded chapters are kept between starts; losing it costs only time."""
    if os.environ.get(DATA):
        return data() / "cache"
    return Path(platformdirs.user_cache_dir("diagnose", appauthor=False))


def key(files: Iterable[Path], *more: bytes) -> str:
    """A name for what these files and these bytes hold, as this version of the program takes them.

    Empty where one of the files can't be read: what hangs on it is not to be kept.
    """
    digest = hashlib.sha256(__version__.encode())
    for part in more:
        digest.update(b"\0" + part)
    for file in files:
        try:
            digest.update(f"\0{file}\0".encode() + file.read_bytes())
        except OSError:
            return ""
    return digest.hexdigest()[:32]


def recall(name: str, kind: type[T]) -> T | None:
    """What was kept in the cache under a name; None where there is nothing, or nothing sound."""
    import msgspec  # not all that ask for a place need it

    try:
        return msgspec.msgpack.decode((cache() / name).read_bytes(), type=kind)
    except (OSError, msgspec.DecodeError):
        return None


def keep(name: str, data: bytes) -> None:
    """Put a file into the cache, and drop the oldest of its kind; failing costs only time.

    It is written beside and renamed, so that a reader never sees half a file. A name that is
    nothing but an ending, its `key` empty, is not kept.
    """
    if name.startswith("."):
        return
    import tempfile  # seldom wanted, and slow to load

    place = cache() / name
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=place.parent, delete=False) as out:
            out.write(data)
        os.replace(out.name, place)
        alike = sorted(place.parent.glob(f"*{place.suffix}"), key=lambda p: -p.stat().st_mtime_ns)
        for old in alike[MOST_KEPT:]:
            old.unlink(missing_ok=True)
    except OSError:
        pass


def chapters(folder: Path) -> list[Path]:
    """The chapter files of a folder, by name; cases and hidden files are none."""
    return sorted(p for p in folder.glob("*.yaml") if not p.name.startswith("."))
