"""What one mark on a grinder does to the shot, learnt from the shots logged.

Shot time against mark is close to a straight line when the time is put on a
logarithmic scale: each mark multiplies the time by about the same factor.  The
slope is found by Theil-Sen, so that one choked or spilt shot does no harm, and
within a bag and with the beans' age allowed for (`ageing.py`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from . import ageing
from .errors import ComputeError, finite, positive, shown
from .estimate import Estimate
from .robust import median

FEWEST_SHOTS = 3
DEFAULT_LOG_STEP = (0.04, 0.11, 0.25)
"""How much of the time one mark changes where nothing is logged, in log time:
low, usual, high.  Common practice, no source; grinders differ this much."""

COMPARABLE = 0.4
"""Shots whose dose or yield is off the usual one by more than this share are
left out: the correction below is good for small differences only."""

RECENT_DAYS = 14
BEYOND = 1.0
"""A move may end this many spans of the logged marks beyond them, or one mark."""

DEFAULT_MOST_MARKS = 4.0
"""The longest single move advised on a grinder of which too little is logged."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One logged shot: the grinder's mark, and what was timed and weighed."""

    mark: float
    shot_time_s: float
    dose_g: float
    yield_g: float
    day: date | None = None
    bag: str = ""
    """Which beans of which roast; empty where it was not noted."""

    def __post_init__(self) -> None:
        finite("grinder mark", self.mark)
        positive("shot time", self.shot_time_s, "s")
        positive("dose", self.dose_g, "g")
        positive("yield", self.yield_g, "g")


@dataclass(frozen=True, slots=True)
class Move:
    """How far to turn the grinder.

    `direction` is "finer", "coarser" or "stay"; `marks` is the best guess and
    `low` to `high` its interval, all 0 or more.  `refused` is None, or a sentence
    saying why the whole move is not advised; `marks` is then the part to make
    before the next shot.
    """

    direction: str
    marks: float
    low: float
    high: float
    basis: str
    refused: str | None = None


def corrected_time_s(shot: Shot, *, dose_g: float, yield_g: float) -> float:
    """Return the time in s the shot would have shown at another dose and yield.

    In proportion to the yield (same average flow) and to the dose (Darcy's law:
    the bed's depth goes with the dose).
    """
    dose = positive("dose", dose_g, "g")
    drink = positive("yield", yield_g, "g")
    return shot.shot_time_s * (drink / shot.yield_g) * (dose / shot.dose_g)


def comparable(shots: Sequence[Shot]) -> list[Shot]:
    """Return the shots fit to be compared: recent, and of much the same recipe."""
    recent = _recent(shots)
    if not recent:
        return []
    dose = median(shot.dose_g for shot in recent)
    drink = median(shot.yield_g for shot in recent)
    return [s for s in recent if _near(s.dose_g, dose) and _near(s.yield_g, drink)]


def _near(value: float, usual: float) -> bool:
    return abs(value / usual - 1) <= COMPARABLE


def _recent(shots: Sequence[Shot]) -> list[Shot]:
    """Return the shots of the last fortnight logged, if enough of them carry a day.

    Beans age, and the same mark runs faster week by week.
    """
    days = [shot.day for shot in shots if shot.day is not None]
    if not days:
        return list(shots)
    newest = max(days)
    kept = [s for s in shots if s.day is None or (newest - s.day).days <= RECENT_DAYS]
    return kept if len(kept) >= FEWEST_SHOTS else list(shots)


@dataclass(frozen=True, slots=True)
class GrinderModel:
    """What the logged shots teach of a grinder."""

    step: Estimate
    """By how much one mark up changes the logarithm of the shot time."""
    known: bool = False
    """It comes from the shots, not from a default."""
    aged: bool = False
    """The marks went with the days, so that the beans' age had to be allowed for."""

    @property
    def sign(self) -> int | None:
        """1 where the shots show that a higher mark is finer, -1 coarser; None if neither."""
        if not self.known or self.step.low <= 0 <= self.step.high:
            return None
        return 1 if self.step.value > 0 else -1


def learn(shots: Sequence[Shot], *, marks_finer_sign: int = 1) -> GrinderModel:
    """Return what one mark up does, as the shots show, or a default.

    `marks_finer_sign` is 1 where a higher mark grinds finer, -1 where coarser;
    it only signs the default used with fewer than three comparable shots or
    with those of each bag all at one mark.
    """
    _signed(marks_finer_sign)
    kept = comparable(shots)
    if not _teaches(kept):
        return GrinderModel(_default_step(kept, marks_finer_sign))
    line, aged = ageing.step(sample(kept))
    basis = _from_shots(kept, len(shots), aged)
    return GrinderModel(Estimate(line.slope, line.low, line.high, "of the time per mark", basis), True, aged)


def log_step(shots: Sequence[Shot], *, marks_finer_sign: int = 1) -> Estimate:
    """Return by how much one mark up changes the logarithm of the shot time; see `learn`."""
    return learn(shots, marks_finer_sign=marks_finer_sign).step


def _teaches(kept: Sequence[Shot]) -> bool:
    """Return whether these shots are enough to learn the grinder from."""
    return len(kept) >= FEWEST_SHOTS and ageing.teaches(sample(kept))


def sample(shots: Sequence[Shot]) -> ageing.Sample:
    """Return shots as they are compared, their times brought to one dose and yield."""
    dose = median(shot.dose_g for shot in shots)
    drink = median(shot.yield_g for shot in shots)
    logs = [math.log(corrected_time_s(s, dose_g=dose, yield_g=drink)) for s in shots]
    days = [float(s.day.toordinal()) for s in shots if s.day is not None]
    first = min(days, default=0.0)
    return ageing.Sample([shot.mark for shot in shots], logs,
                         [day - first for day in days] if len(days) == len(shots) else None,
                         [shot.bag for shot in shots])


def _default_step(kept: Sequence[Shot], sign: int) -> Estimate:
    low, usual, high = DEFAULT_LOG_STEP
    ends = (low, high) if sign > 0 else (-high, -low)
    return Estimate(sign * usual, *ends, "of the time per mark", _default_basis(kept))


def _default_basis(kept: Sequence[Shot]) -> str:
    have = len(kept)
    if have == 0:
        return "a default, no shots logged yet"
    if have < FEWEST_SHOTS:
        return f"a default, only {have} {_shots(have)} logged so far"
    if len({shot.mark for shot in kept}) > 1:
        return f"a default, your last {have} shots changed beans with every change of mark"
    return f"a default, your last {have} shots were all at one mark"


def _from_shots(kept: Sequence[Shot], logged: int, aged: bool) -> str:
    left_out = logged - len(kept)
    tail = ", bag by bag" if len({shot.bag for shot in kept}) > 1 else ""
    tail += ", the beans' age allowed for" if aged else ""
    tail += f", {left_out} left out as too old or too different" if left_out else ""
    return f"from your last {len(kept)} shots{tail}"


def _shots(count: int) -> str:
    return "shot" if count == 1 else "shots"


def seconds_per_mark(
    shots: Sequence[Shot], *, shot_time_s: float | None = None, marks_finer_sign: int = 1
) -> Estimate:
    """Return by how many seconds one mark up moves the shot; negative is faster.

    Taken at `shot_time_s`, or at the middle of the logged times (28 s where
    nothing is logged): in log time the seconds grow with the time itself.
    """
    times = [shot.shot_time_s for shot in comparable(shots)]
    around = (
        positive("shot time", shot_time_s, "s")
        if shot_time_s is not None
        else (median(times) if times else 28.0)
    )
    step = log_step(shots, marks_finer_sign=marks_finer_sign)
    value, low, high = (around * math.expm1(part) for part in (step.value, step.low, step.high))
    return Estimate(value, low, high, "s per mark", step.basis)


def move(
    shots: Sequence[Shot],
    *,
    shot_time_s: float,
    aim_low_s: float,
    aim_high_s: float,
    marks_finer_sign: int,
    mark: float | None = None,
) -> Move:
    """Return how far to turn the grinder to bring a shot into the window.

    Aims for the middle of the window.  `shot_time_s` is at the usual dose and yield
    (see `shot.scaled_time`).  `mark` is where the grinder stands now, that of the
    last of `shots`, oldest first, if not given.  A move that would end well beyond the
    marks logged, or that the shots do not bear out, is refused in words, with a
    smaller first step.  Raises `ComputeError` for an empty window.
    """
    time = positive("shot time", shot_time_s, "s")
    aim = _aim(aim_low_s, aim_high_s)
    learnt = learn(shots, marks_finer_sign=marks_finer_sign)
    step = learnt.step
    if aim_low_s <= time <= aim_high_s:
        return Move("stay", 0.0, 0.0, 0.0, step.basis)
    finer = step.times(marks_finer_sign)
    direction = "finer" if time < aim else "coarser"
    if finer.low <= 0:
        return _unsure(direction, finer, shots, learnt.aged)
    wanted = abs(math.log(aim / time))
    marks = wanted / finer.value
    whole = Move(direction, marks, wanted / finer.high, wanted / finer.low, step.basis)
    turn = marks_finer_sign if direction == "finer" else -marks_finer_sign
    stand = mark if mark is not None else (shots[-1].mark if shots else 0.0)
    return _limited(whole, comparable(shots), stand, turn)


def _aim(low_s: float, high_s: float) -> float:
    low = positive("low end of the aimed-at time", low_s, "s")
    high = positive("high end of the aimed-at time", high_s, "s")
    if low > high:
        raise ComputeError(
            f"The aimed-at time cannot run from {shown(low, 's')} to {shown(high, 's')}:"
            " swap the two ends."
        )
    return math.sqrt(low * high)


def _signed(marks_finer_sign: int) -> None:
    if marks_finer_sign not in (1, -1):
        raise ComputeError(
            f"The direction of the marks reads {marks_finer_sign!r}: give 1 if a higher mark"
            " grinds finer, -1 if coarser."
        )


def _unsure(direction: str, finer: Estimate, shots: Sequence[Shot], aged: bool) -> Move:
    """Return a single mark, because the shots do not show that finer is slower."""
    marks = sorted({shot.mark for shot in comparable(shots)})
    if finer.high < 0:
        said = (
            "Your logged shots run faster when ground finer, which points to water breaking"
            " through the coffee or to marks noted the wrong way round; settle that first."
        )
    elif aged:
        said = (
            "Your marks went one way while the beans aged, so your logged shots do not tell what"
            " the grind did from what the age did; turn one mark, pull a shot the same day and"
            " log both."
        )
    else:
        said = (
            f"Your logged shots between marks {marks[0]:g} and {marks[-1]:g} do not yet show how"
            " much a mark does; turn one mark, pull a shot and log it."
        )
    return Move(direction, 1.0, 1.0, 1.0, finer.basis, said)


def _limited(whole: Move, kept: Sequence[Shot], stand: float, turn: int) -> Move:
    """Return the move, cut short where it would leave what is known far behind."""
    if not _teaches(kept):
        return _cut(whole, DEFAULT_MOST_MARKS, "too little is logged of this grinder")
    marks = [shot.mark for shot in kept]
    low, high = min(marks), max(marks)
    room = max(BEYOND * (high - low), 1.0)
    edge = high + room if turn > 0 else low - room
    most = max(turn * (edge - stand), 1.0)
    return _cut(
        whole, most, f"that leaves the marks {low:g} to {high:g} you have logged far behind"
    )


def _cut(whole: Move, most: float, why: str) -> Move:
    """Return the move with its far end at `most`, and refused if it wanted more."""
    if whole.marks <= most:
        return replace(whole, high=min(whole.high, most))
    said = (
        f"The whole way looks like {whole.marks:.1f} marks {whole.direction}, but {why}:"
        f" go {most:g} marks, pull a shot, log it and ask again."
    )
    return replace(whole, marks=most, low=min(whole.low, most), high=most, refused=said)
