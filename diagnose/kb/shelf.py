"""Where knowledge and the person's own files stand on this machine."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs

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


def keep(name: str, data: bytes) -> None:
    """Put a file into the cache, and drop the oldest of its kind; failing costs only time.

    It is written beside and renamed, so that a reader never sees half a file.
    """
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
