"""Grinding by time: the rate from weighings, the new setting, drift.

A timed grinder gives dose = rate x time.  The rate changes with the grind, the
beans and the warmth of the burrs, so a timed dose is re-weighed after each
change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from . import control_chart
from .errors import finite, positive, within
from .estimate import Estimate
from .robust import median, theil_sen

DEFAULT_RATE_SHARE = (0.01, 0.03, 0.06)
"""Share of the rate one finer mark costs where nothing is weighed: low, usual,
high.  Common practice, no source."""

FEWEST_FOR_SLOPE = 3
BASELINE = 5
"""So many first weighings say what is normal."""

LEAST_SCATTER = 0.005
"""Scatter taken as at least this share of the rate: home scales read to 0.1 g."""


@dataclass(frozen=True, slots=True)
class Weighing:
    """One timed dose put on the scale; `mark` is the grinder's mark, if known."""

    timer_s: float
    dose_g: float
    mark: float | None = None

    def __post_init__(self) -> None:
        positive("timer setting", self.timer_s, "s")
        positive("dose", self.dose_g, "g")
        if self.mark is not None:
            finite("grinder mark", self.mark)

    @property
    def rate_g_s(self) -> float:
        """Return grams a second."""
        return self.dose_g / self.timer_s


@dataclass(frozen=True, slots=True)
class Drift:
    """What the control chart says.

    `direction` is "up", "down", "steady" or "unknown" (too few weighings);
    `since` counts the weighing at which it showed, from 1; `change_percent` is
    the change of the rate from normal to now.
    """

    direction: str
    since: int | None
    change_percent: float
    averages: tuple[float, ...]
    low: float
    high: float
    basis: str


def rate_g_s(weighings: Sequence[Weighing]) -> Estimate:
    """Return the grinding rate in g/s: the middle of the weighings, with their span.

    Raises `ComputeError` when there are none.
    """
    rates = [weighing.rate_g_s for weighing in weighings]
    count = len(rates)
    basis = f"from {count} weighing{'s' if count != 1 else ''}"
    return Estimate(median(rates), min(rates), max(rates), "g/s", basis)


def new_setting_s(*, aim_dose_g: float, weighings: Sequence[Weighing]) -> Estimate:
    """Return the timer setting in s for a dose, at the rate just weighed."""
    aim = positive("aimed-at dose", aim_dose_g, "g")
    rate = rate_g_s(weighings)
    return Estimate(aim / rate.value, aim / rate.high, aim / rate.low, "s", rate.basis)


def rate_share_per_mark(weighings: Sequence[Weighing], *, marks_finer_sign: int = 1) -> Estimate:
    """Return the share of the rate that one mark finer costs (0.03: 3 %).

    From weighings at two or more marks, three at least; else a default.
    """
    marked = [(w.mark, w.rate_g_s) for w in weighings if w.mark is not None]
    marks, rates = [mark for mark, _ in marked], [rate for _, rate in marked]
    if len(marked) < FEWEST_FOR_SLOPE or len(set(marks)) < 2:
        low, usual, high = DEFAULT_RATE_SHARE
        return Estimate(usual, low, high, "of the rate per mark", "a default, not weighed yet")
    usual_rate = median(rates)
    line = theil_sen(marks, [rate / usual_rate for rate in rates])
    loss = [-marks_finer_sign * part for part in (line.slope, line.low, line.high)]
    basis = f"from {len(marked)} weighings at different marks"
    return Estimate(loss[0], min(loss), max(loss), "of the rate per mark", basis)


def dose_after_grind_change(
    *, dose_g: float, marks_finer: float, share_per_mark: Estimate | None = None
) -> Estimate:
    """Return the dose in g the same timer setting gives after a grind change.

    `marks_finer` is below 0 for coarser.  Each mark multiplies the rate by
    1 - share, so that going there and back returns the same dose.
    """
    dose = positive("dose", dose_g, "g")
    marks = finite("marks moved", marks_finer)
    share = share_per_mark or rate_share_per_mark(())
    values = [
        dose * (1 - within("share of the rate a mark costs", part, -0.9, 0.9)) ** marks
        for part in (share.value, share.low, share.high)
    ]
    return Estimate(values[0], min(values), max(values), "g", share.basis)


def drift(weighings: Sequence[Weighing]) -> Drift:
    """Return whether the grinding rate has drifted away from its first readings.

    An exponentially weighted chart over the rates; the first five say what is
    normal.  So few make false alarms commoner than the published once in 500.
    """
    rates = [weighing.rate_g_s for weighing in weighings]
    if len(rates) <= BASELINE:
        basis = f"{len(rates)} weighings, more than {BASELINE} are needed"
        return Drift("unknown", None, 0.0, (), 0.0, 0.0, basis)
    first, later = rates[:BASELINE], rates[BASELINE:]
    centre = median(first)
    deviation = max(control_chart.scatter(first), LEAST_SCATTER * centre)
    width = control_chart.half_width(deviation=deviation)
    averages = control_chart.moving_average(later, start=centre)
    place = control_chart.first_outside(averages, centre=centre, width=width)
    return _drift(averages, place, centre, width)


def _drift(averages: list[float], place: int | None, centre: float, width: float) -> Drift:
    direction = "steady" if place is None else "up" if averages[place] > centre else "down"
    return Drift(
        direction,
        None if place is None else BASELINE + place + 1,
        100 * (averages[-1] / centre - 1),
        tuple(averages),
        centre - width,
        centre + width,
        f"from {BASELINE + len(averages)} weighings, the first {BASELINE} taken as normal",
    )
