"""The notebook's tables, step by step: each function lifts the file by one version."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable


def grinding(db: sqlite3.Connection) -> None:
    """Equipment, shots and weighed doses."""
    db.execute("""CREATE TABLE equipment (
        name TEXT PRIMARY KEY, value TEXT NOT NULL, at TEXT NOT NULL) STRICT""")
    db.execute("""CREATE TABLE shots (
        id INTEGER PRIMARY KEY, at TEXT NOT NULL, grinder TEXT, mark REAL, dose_g REAL NOT NULL,
        yield_g REAL NOT NULL, shot_time_s REAL NOT NULL, beans TEXT, roast_date TEXT, taste TEXT,
        note TEXT) STRICT""")
    db.execute("""CREATE TABLE weighings (
        id INTEGER PRIMARY KEY, at TEXT NOT NULL, grinder TEXT, mark REAL, timer_s REAL NOT NULL,
        dose_g REAL NOT NULL, note TEXT) STRICT""")


def water_and_upkeep(db: sqlite3.Connection) -> None:
    """Waters with their figures and the litres filled, and cleanings done."""
    db.execute("""CREATE TABLE waters (
        id INTEGER PRIMARY KEY, at TEXT NOT NULL, litres REAL, hardness_mg_l REAL,
        alkalinity_mg_l REAL, ph REAL, conductivity_us_cm REAL, source TEXT) STRICT""")
    db.execute("""CREATE TABLE cleanings (
        id INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, note TEXT) STRICT""")


def by_moment(db: sqlite3.Connection) -> None:
    """An entry that is there already is found by its moment, however many there are."""
    for table in ("shots", "weighings", "waters", "cleanings"):
        db.execute(f"CREATE INDEX {table}_at ON {table} (at)")


MIGRATIONS: tuple[Callable[[sqlite3.Connection], None], ...] = (grinding, water_and_upkeep, by_moment)
"""In order; a notebook's version is the number of those it has been through."""
