"""Where knowledge and the person's own files stand on this machine."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs

DATA = "DIAGNOSE_DATA"
"""Environment variable that moves the person's data: notebook, house rules, open cases."""
PRACTICE = "practice"
"""The folder among the chapters that holds the questions of practice, by subject."""
EXPERIENCE = "learnt/experience.json"
"""The file, among the shipped ones, of what was counted in the told situations."""
READ_BY = ("lexicon", "wordings", "learnt")
"""The folders of what reading rests on beside the chapters."""


def shipped() -> Path:
    """The folder of the shipped chapters: beside the package in a wheel, above it in a checkout."""
    inside = Path(__file__).parents[1] / "_knowledge"
    return inside if inside.is_dir() else Path(__file__).parents[2] / "knowledge"


def read_by() -> list[Path]:
    """The shipped files beside the chapters by which a text is read: lexicon, wordings, what was learnt."""
    return [p for part in READ_BY for p in sorted((shipped() / part).glob("*")) if p.is_file()]


def data() -> Path:
    """The person's data folder; not made here."""
    moved = os.environ.get(DATA)
    return Path(moved) if moved else Path(platformdirs.user_data_dir("diagnose", appauthor=False))


def house() -> Path:
    """The default folder of the house's own chapters."""
    return data() / "house"


def made() -> Path:
    """Where what is made of the shipped files is kept between starts; losing it costs only time.

    It stands among those files: whoever can write here can change the book itself, so that
    believing what lies here trusts nobody new. A person's own folders are not believed so.
    """
    return shipped() / "__pycache__"


def cache() -> Path:
    """Where else things are kept between starts; nothing that is advised comes from here."""
    if os.environ.get(DATA):
        return data() / "cache"
    return Path(platformdirs.user_cache_dir("diagnose", appauthor=False))


def chapters(folder: Path) -> list[Path]:
    """The chapter files of a folder, then those of its questions of practice, each by name.

    Cases and hidden files are none.
    """
    return [p for part in (folder, folder / PRACTICE) for p in sorted(part.glob("*.yaml"))
            if not p.name.startswith(".")]
