"""Numbers for a remedy's steps about grinding and beans, each with where it comes from.

A function returns None where too little is known for a number; what to say then is the
knowledge's business.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from diagnose.compute import beans, grinder, milk, retention, timer, units
from diagnose.compute.errors import positive
from diagnose.compute.estimate import Advice, Estimate

HIGHER_FINER, HIGHER_COARSER = "higher_finer", "higher_coarser"
SIGNS = {HIGHER_FINER: 1, HIGHER_COARSER: -1}
RECENT_WEIGHINGS = 5
"""So many of the last weighings say what the grinder gives now (our choice)."""
SAME_RATE = 0.03
"""Rates this share apart or less are the same grinder on the same day (our choice)."""


def grind_move(*, shot_time_s: float, aim_low_s: float, aim_high_s: float,
               shots: Sequence[grinder.Shot] = (), marks: str = "") -> Advice:
    """How far to turn the grinder, from the logged shots where there are enough.

    `marks` is higher_finer or higher_coarser, and overrules the shots; where it is neither, the
    shots may tell, and where they don't, no number to turn to is named. Raises ComputeError for
    an empty window or an impossible time.
    """
    sign = marks_sign(shots, marks)
    move = grinder.move(list(shots), shot_time_s=shot_time_s, aim_low_s=aim_low_s,
                        aim_high_s=aim_high_s, marks_finer_sign=sign or 1)
    if move.direction == "stay":
        return Advice(f"leave the grind, {units.show(shot_time_s, 's')} is inside the window",
                      move.basis)
    low, high = (max(1, round(v)) for v in (move.low, move.high))
    size = f"{low}" if low == high else f"{low} to {high}"
    small = "small " if move.refused and high == 1 else ""
    text = f"{size} {small}mark{'s' if high > 1 else ''} {move.direction}{_where(move, shots, sign)}"
    if move.refused:
        text += " as a first step"
    if shots:
        text += _which_way(sign, marks)
    return Advice(text, ". ".join(t for t in (move.basis, move.refused) if t))


def marks_sign(shots: Sequence[grinder.Shot], marks: str = "") -> int | None:
    """1 where a higher mark is finer, -1 where coarser: as told, else as the shots show."""
    return SIGNS[marks] if marks in SIGNS else grinder.learn(shots).sign


def _where(move: grinder.Move, shots: Sequence[grinder.Shot], sign: int | None) -> str:
    """The way to turn, and the mark to come to where the grinder's last mark is known."""
    if sign is None:
        return ""
    turn = sign if move.direction == "finer" else -sign
    if not shots:
        return f", towards {'higher' if turn > 0 else 'lower'} numbers"
    stand = shots[-1].mark
    return f", from {stand:g} to about {_on_scale(stand + turn * max(1.0, move.marks), shots):g}"


def _on_scale(mark: float, shots: Sequence[grinder.Shot]) -> float:
    """The mark to the nearest whole one, or half where the shots stand between whole ones."""
    parts = 1 if all(shot.mark == round(shot.mark) for shot in shots) else 2
    return round(mark * parts) / parts


def _which_way(sign: int | None, marks: str) -> str:
    """Which way round the numbers run on this grinder, and how that is known."""
    if sign is None:
        return ""
    known = "as you said" if marks in SIGNS else "as your shots show"
    return f"; a {'higher' if sign > 0 else 'lower'} number is finer on yours, {known}"


def seconds_per_mark(*, shots: Sequence[grinder.Shot] = (), shot_time_s: float | None = None,
                     marks: str = "") -> Estimate:
    """How many seconds one mark finer adds to the shot, from the logged shots or a default.

    `marks` is higher_finer or higher_coarser, and overrules the shots; where it is neither and
    the shots do not show the way, the seconds are those of one mark up.
    """
    if (marks_sign(shots, marks) or 1) < 0:
        shots = [replace(shot, mark=-shot.mark) for shot in shots]
    return grinder.seconds_per_mark(shots, shot_time_s=shot_time_s)


def purge(*, held_g: float = 2.0) -> Estimate:
    """Grams to grind and throw away until the new setting is what comes out.

    Without a weighed retention the default of 2 g held is common practice, no source.
    """
    return retention.purge_g(held_g=held_g)


def timer_setting(*, aim_dose_g: float, dose_g: float | None = None, timer_s: float | None = None,
                  weighings: Sequence[timer.Weighing] = ()) -> Estimate | None:
    """Timer seconds for the aimed-at dose: from the dose just weighed and the weighings logged.

    The logged ones steady the figure where they agree with the fresh one; where they don't,
    the fresh one alone counts. None without any weighing. Raises ComputeError for a dose or
    time that is not above zero.
    """
    aim = positive("aimed-at dose", aim_dose_g, "g")
    logged = list(weighings)[-RECENT_WEIGHINGS:]
    if dose_g is None or timer_s is None:
        return _from_logged(aim, logged) if logged else None
    fresh = timer.Weighing(timer_s, dose_g)
    alike = [w for w in logged if abs(w.rate_g_s / fresh.rate_g_s - 1) <= SAME_RATE]
    if len(alike) == len(logged) > 0:
        return _from_logged(aim, [*logged, fresh])
    seconds = aim / fresh.rate_g_s
    basis = "from the dose just weighed"
    if logged:
        basis += f"; {_weighed(len(logged))} gave another rate and counts for nothing here"
    return Estimate(seconds, seconds, seconds, "s", basis)


def _from_logged(aim_g: float, weighings: Sequence[timer.Weighing]) -> Estimate:
    found = timer.new_setting_s(aim_dose_g=aim_g, weighings=weighings)
    return replace(found, basis=f"from {_weighed(len(weighings))}")


def _weighed(count: int) -> str:
    return "your last weighing" if count == 1 else f"your last {count} weighings"


def timed_dose(*, dose_g: float, marks_finer: float, weighings: Sequence[timer.Weighing] = (),
               marks: str = "") -> Estimate:
    """The dose the same timer setting gives after a change of grind.

    From weighings at different marks where the direction of the marks is known.
    """
    share = None
    if marks in SIGNS:
        found = timer.rate_share_per_mark(weighings, marks_finer_sign=SIGNS[marks])
        share = replace(found, basis=found.basis.replace("from ", "from your ", 1))
    return timer.dose_after_grind_change(dose_g=dose_g, marks_finer=marks_finer,
                                         share_per_mark=share)


def timer_drift(*, weighings: Sequence[timer.Weighing] = ()) -> Advice | None:
    """Whether the grinding rate has drifted, in words; None with too few weighings."""
    found = timer.drift(weighings)
    if found.direction == "unknown":
        return None
    if found.direction == "steady":
        return Advice("steady, no drift beyond the usual scatter", found.basis)
    change = f"{abs(found.change_percent):.0f} % {'more' if found.change_percent > 0 else 'less'}"
    return Advice(f"drifted, {change} coffee a second than at first "
                  f"(showed at weighing {found.since})", found.basis)


def bean_phase(*, roast: str, days: float, days_open: float = 0.0) -> Advice | None:
    """What age does to these beans, in words; None for a roast not in the table."""
    roast = "dark" if roast == "black" else roast
    if roast not in beans.ROASTS:
        return None
    phase = beans.phase(roast=roast, days=days, days_open=days_open)
    flow = beans.flow_change(phase=phase)
    return Advice(f"{phase}; {flow.note[0].lower()}{flow.note[1:].rstrip('.')}",
                  f"usual for a {roast} roast, no source")


def jug_milk(*, jug_ml: float) -> str:
    """The least and the most cold milk for a jug, in words.

    Raises ComputeError for a jug that is no jug.
    """
    fill = milk.jug_fill(jug_ml)
    return units.span(fill.least_ml, fill.most_ml, "ml")
