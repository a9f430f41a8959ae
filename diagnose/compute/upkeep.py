"""When each cleaning and each wearing part falls due, from what was really used.

An item carries how many shots, litres, kilograms or days it lasts; whichever is
used up first makes it due.  The calendar alone would nag a machine that rests
and let a busy one go.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from .errors import ComputeError, not_negative, positive, shown

UNITS = ("shots", "litres", "kg", "days")
SHORTEST_DAYS = 3.0
"""A pace is taken over no fewer days than these, so that a first day does not set it (our choice)."""


@dataclass(frozen=True, slots=True)
class UpkeepJob:
    """One job: its life by `UNITS`, and the counts when it was last done.

    `every` and `done_at` map "shots", "litres", "kg" or "days" to a number;
    what is missing from `done_at` was last done at the start, 0.
    """

    name: str
    every: dict[str, float]
    done_at: dict[str, float] = field(default_factory=dict)
    source: str = "common practice, no source"

    def __post_init__(self) -> None:
        if not self.every:
            raise ComputeError(f"{self.name} has no life given: say after how much it falls due.")
        for unit in (*self.every, *self.done_at):
            if unit not in UNITS:
                raise ComputeError(
                    f"{self.name} cannot be counted in {unit!r}: use {', '.join(UNITS)}."
                )
        for unit, life in self.every.items():
            positive(f"life of {self.name}", life, unit)
        for unit, count in self.done_at.items():
            not_negative(f"last count of {self.name}", count, unit)


@dataclass(frozen=True, slots=True)
class UseCounts:
    """What was used in all, and how much of it by the time each job was last done.

    `done` maps a job to its counts by `UNITS`; None where nothing of a kind is logged.
    """

    shots: float
    days: float
    litres: float | None = None
    coffee_kg: float | None = None
    done: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    litres_basis: str = "from the litres you logged"


@dataclass(frozen=True, slots=True)
class Due:
    """How far one job is used up.

    `used` is 1 when it falls due; `by` is the count that says so; `days_left` is
    at the pace so far, 0 when due, None when there is no pace to go by.
    """

    name: str
    used: float
    by: str
    days_left: float | None
    basis: str

    @property
    def overdue(self) -> bool:
        """Return whether it is due now."""
        return self.used >= 1


def due(
    items: Iterable[UpkeepJob],
    *,
    shots: float,
    litres: float | None,
    days: float,
    coffee_kg: float | None = None,
) -> list[Due]:
    """Return every item with what is left, the most urgent first.

    `shots`, `litres` and `coffee_kg` are totals logged over `days` days; None
    where nothing is logged, and what only depends on it is left to its other
    counts.  An item with no count to go by is left out.  Raises `ComputeError`
    when a job was last done later than the count has reached.
    """
    counts = {"shots": shots, "litres": litres, "kg": coffee_kg, "days": days}
    known = {
        unit: not_negative(f"{unit} logged", count, unit)
        for unit, count in counts.items()
        if count is not None
    }
    rows = [row for item in items if (row := _due(item, known)) is not None]
    return sorted(rows, key=lambda row: (-min(row.used, 1.0), _wait(row), -row.used))


def _wait(row: Due) -> float:
    return float("inf") if row.days_left is None else row.days_left


def _due(item: UpkeepJob, known: dict[str, float]) -> Due | None:
    shares = {
        unit: _since(item, unit, known[unit]) / life
        for unit, life in item.every.items()
        if unit in known
    }
    if not shares:
        return None
    by = max(shares, key=lambda unit: shares[unit])
    return Due(item.name, shares[by], by, _days_left(item, known, shares), _basis(item, by, known))


def _since(item: UpkeepJob, unit: str, now: float) -> float:
    done = item.done_at.get(unit, 0.0)
    if done > now:
        raise ComputeError(
            f"{item.name} was last done at {shown(done, unit)} but only {shown(now, unit)} are"
            " logged: correct one of the two."
        )
    return now - done


def _days_left(item: UpkeepJob, known: dict[str, float], shares: dict[str, float]) -> float | None:
    """Return the days until the first count runs out at the pace logged."""
    waits = []
    for unit, share in shares.items():
        left = (1 - share) * item.every[unit]
        pace = 1.0 if unit == "days" else _pace(known[unit], known["days"])
        if left <= 0:
            return 0.0
        if pace > 0:
            waits.append(left / pace)
    return min(waits, default=None)


def _pace(count: float, days: float) -> float:
    return count / max(days, SHORTEST_DAYS) if days else 0.0


def _basis(item: UpkeepJob, by: str, known: dict[str, float]) -> str:
    since = _since(item, by, known[by])
    count = shown(round(since, 1), "shot" if by == "shots" and since == 1 else by)
    return f"{count} since it was last done, of {shown(item.every[by], by)}"
