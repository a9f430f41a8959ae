"""The usual upkeep of an espresso machine at home, and what of it is due by the use logged.

The lives are common practice, no source; the maker's instructions win. Descaling has no life
here: it goes by the maker's word and the water.
"""

from __future__ import annotations

from dataclasses import replace

from diagnose.compute import units, upkeep
from diagnose.compute.estimate import Advice
from diagnose.compute.upkeep import Due, UpkeepJob, UseCounts

NAMES = {
    "detergent": "clean group and basket with detergent",
    "tank": "wash the tank",
    "grinder": "brush out the grinder",
    "hopper": "wash the hopper",
    "wand": "soak the wand's tip",
    "gasket": "change the group gasket",
    "cartridge": "change the water cartridge",
    "burrs": "look at the burrs for wear",
    "descale": "descale, by the maker's word only",
}
"""Job to its words; a cleaning in the notebook is one of these."""

LIVES: dict[str, dict[str, float]] = {
    "detergent": {"shots": 50, "days": 7},
    "tank": {"days": 7},
    "grinder": {"kg": 1.5, "days": 30},
    "hopper": {"days": 30},
    "wand": {"days": 14},
    "gasket": {"days": 364},
    "burrs": {"kg": 300},
}
MOST_SAID = 3
FEWEST_SHOTS = 3


def items(use: UseCounts, *, detergent_days: float | None = None, gasket_days: float | None = None,
          cartridge_l: float | None = None) -> list[UpkeepJob]:
    """The jobs with their lives, those given by the house in place of the usual ones."""
    lives = {job: dict(life) for job, life in LIVES.items()}
    for job, days in (("detergent", detergent_days), ("gasket", gasket_days)):
        if days is not None:
            lives[job]["days"] = days
    if cartridge_l is not None:
        lives["cartridge"] = {"litres": cartridge_l}
    return [UpkeepJob(job, life, dict(use.done.get(job, {}))) for job, life in lives.items()]


def due(use: UseCounts, *, detergent_days: float | None = None, gasket_days: float | None = None,
        cartridge_l: float | None = None) -> list[Due]:
    """Every job with what is left of it, the most urgent first; names are those of `NAMES`."""
    rows = upkeep.due(
        items(use, detergent_days=detergent_days, gasket_days=gasket_days,
              cartridge_l=cartridge_l),
        shots=use.shots, litres=use.litres, days=use.days, coffee_kg=use.coffee_kg)
    told = [row if row.name in use.done else replace(
        row, basis=row.basis.replace("since it was last done", "since counting began"))
        for row in rows]
    return sorted(told, key=lambda r: (not r.overdue, -r.used if r.overdue else _wait(r)))


def _wait(row: Due) -> float:
    return float("inf") if row.days_left is None else row.days_left


def when(row: Due) -> str:
    """When a job falls due, in words."""
    if row.overdue:
        return "now"
    if row.days_left is None:
        return f"{100 * row.used:.0f} % used up"
    days = max(1.0, round(row.days_left))
    if days < 60:
        return f"in {units.show(days, 'days')}"
    return f"in {round(days / 7)} weeks" if days < 730 else "not for two years or more"


def upkeep_due(*, use: UseCounts | None = None, detergent_days: float | None = None,
               gasket_days: float | None = None, cartridge_l: float | None = None
               ) -> Advice | None:
    """The most urgent jobs in words; None where too little is logged to say."""
    if use is None or use.shots < FEWEST_SHOTS:
        return None
    rows = due(use, detergent_days=detergent_days, gasket_days=gasket_days,
               cartridge_l=cartridge_l)[:MOST_SAID]
    return Advice("; ".join(f"{NAMES[row.name]} {when(row)}" for row in rows),
                  f"from your {use.shots:g} shots over {units.show(max(1, round(use.days)), 'days')}: "
                  + "; ".join(f"{NAMES[row.name]}, {row.basis}" for row in rows))
