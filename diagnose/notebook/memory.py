"""What the notebook lends to a consult: measured history, use so far, equipment known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from pathlib import Path

from diagnose.compute.grinder import Shot
from diagnose.compute.timer import Weighing
from diagnose.compute.upkeep import UseCounts
from diagnose.compute.water_advice import LITRES_A_SHOT
from diagnose.notebook.store import Notebook, Row
from diagnose.reason.infer.measures import History

MOST_SHOTS = 30
MOST_WEIGHINGS = 20
DAY_S = 86400.0
WATERS = {"hardness_mg_l": ("water_hardness", "mg/L CaCO3"),
          "alkalinity_mg_l": ("water_alkalinity", "mg/L CaCO3"),
          "ph": ("water_ph", "count"),
          "conductivity_us_cm": ("water_conductivity", "uS/cm")}
"""Column of a water to the question of the book that it answers, and its unit."""


def history(path: Path | None = None, now: datetime | None = None) -> History:
    """The shots and weighings of the grinder used last, and what was used in all.

    Raises UserError where the notebook can't be read.
    """
    notebook = Notebook(path)
    shots, weighings = notebook.rows("shots"), notebook.rows("weighings")
    both = [*shots, *weighings]
    used = of_grinder(both, last_grinder(both))
    pulled = [shot(r) for r in used if "shot_time_s" in r and r["mark"] is not None]
    timed = [weighing(r) for r in used if "timer_s" in r]
    return History(pulled[-MOST_SHOTS:], timed[-MOST_WEIGHINGS:], use(notebook, now))


def last_grinder(rows: Iterable[Row]) -> str | None:
    """The grinder of the latest entry; None where nobody ever named one."""
    found = _clear(rows)
    return found[-1]["grinder"] if found else None


def of_grinder(rows: Iterable[Row], grinder: str | None) -> list[Row]:
    """The entries of one grinder, the oldest first."""
    return [r for r in _clear(rows) if r["grinder"] == grinder]


def _clear(rows: Iterable[Row]) -> list[Row]:
    """The entries of which it is clear whose they are, the oldest first.

    One that names no grinder is of the only one there was; where there were two, it is left out.
    """
    found: list[Row] = []
    seen: set[str | None] = set()
    for row in sorted(rows, key=lambda r: instant(r["at"])):
        if row["grinder"] or not seen or None in seen:
            found.append(row)
            seen.add(row["grinder"])
        elif len(seen) == 1:
            found.append({**row, "grinder": next(iter(seen))})
    return found


def shot(row: Row) -> Shot:
    """A logged shot as the arithmetic takes it."""
    return Shot(row["mark"], row["shot_time_s"], row["dose_g"], row["yield_g"],
                instant(row["at"]).date(), shot_bag(row))


def shot_bag(row: Row) -> str:
    """Which beans of which roast; empty where neither was noted."""
    return " ".join(" ".join(filter(None, (row["beans"], row["roast_date"]))).casefold().split())


def weighing(row: Row) -> Weighing:
    """A logged weighing as the arithmetic takes it."""
    return Weighing(row["timer_s"], row["dose_g"], row["mark"])


def instant(at: str) -> datetime:
    """A kept moment, with its offset."""
    return datetime.fromisoformat(at)


def use(notebook: Notebook, now: datetime | None = None) -> UseCounts | None:
    """What was used since the notebook began, and by the time of each cleaning; None if nothing."""
    shots, waters = notebook.rows("shots"), notebook.rows("waters")
    cleanings = notebook.rows("cleanings")
    moments = [instant(r["at"]) for r in (*shots, *waters, *cleanings)]
    if not moments:
        return None
    start = min(moments)
    end = max([*moments, now or datetime.now().astimezone()])
    logged = any(r["litres"] for r in waters)

    def counts(until: datetime) -> dict[str, float]:
        pulled = [r for r in shots if instant(r["at"]) <= until]
        litres = (sum(r["litres"] or 0.0 for r in waters if instant(r["at"]) <= until) if logged
                  else LITRES_A_SHOT * len(pulled))
        return {"shots": len(pulled), "litres": litres, "days": (until - start).total_seconds() / DAY_S,
                "kg": sum(r["dose_g"] for r in pulled) / 1000}

    last = {r["what"]: instant(r["at"]) for r in sorted(cleanings, key=lambda r: instant(r["at"]))}
    total = counts(end)
    basis = (f"from your {total['litres']:.0f} l over {total['days']:.0f} days" if logged else
             f"from your {len(shots)} shots over {total['days']:.0f} days at {LITRES_A_SHOT:g} l each")
    return UseCounts(total["shots"], total["days"], total["litres"], total["kg"],
                     {job: counts(at) for job, at in last.items()}, basis)


def known_equipment(path: Path | None = None) -> dict[str, str]:
    """What is known of the equipment and the water, by question of the book, latest first served.

    Raises UserError where the notebook can't be read.
    """
    notebook = Notebook(path)
    found = {r["name"]: (instant(r["at"]), r["value"]) for r in notebook.rows("equipment")}
    for row in notebook.rows("waters"):
        at = instant(row["at"])
        for column, (name, unit) in WATERS.items():
            if row[column] is not None and (name not in found or at >= found[name][0]):
                found[name] = at, f"{row[column]!r} {unit}"
    return {name: value for name, (_, value) in found.items()}


def days_since_roast(row: Mapping[str, str]) -> int | None:
    """Days from the roast to the shot, where the roast date is logged."""
    if not row["roast_date"]:
        return None
    return (instant(row["at"]).date() - date.fromisoformat(row["roast_date"])).days
