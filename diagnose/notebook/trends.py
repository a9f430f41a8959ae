"""What the notebook's numbers show over time, as a sentence and points to draw."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from diagnose.compute import advice, grinder, jobs, scale, timer, units, water_advice
from diagnose.compute.robust import median
from diagnose.notebook import memory, together
from diagnose.notebook.plot import Plot
from diagnose.notebook.store import Notebook, Row

BREW_C = 93.0
LONGEST_WEEKS = 26


def time(notebook: Notebook, now: datetime) -> Plot:
    """Shot time against the grinder's mark, with what one mark does."""
    rows = [r for r in _grinders(notebook, "shots") if r["mark"] is not None]
    points = [(r["mark"], r["shot_time_s"]) for r in rows]
    if not points:
        return _none("shot with a mark", "shot --mark 12 --dose 18g --yield 36g --time 28s",
                     "mark", "s")
    rows = rows[-memory.MOST_SHOTS:]
    left = _left_out(notebook, rows)
    if moved := together.with_it(rows, [r["mark"] for r in rows]):
        return Plot(together.said(moved, "the mark") + left, "mark", "s", points)
    shots = [memory.shot(r) for r in rows]
    marks = memory.known_equipment(notebook.path).get("marks_direction", "")
    return Plot(per_mark(shots, marks) + left, "mark", "s", points, curve(shots))


def _left_out(notebook: Notebook, rows: Sequence[Row]) -> str:
    """That shots of other grinders, or of nobody knows which, are left out; empty where none are."""
    grinder = rows[-1]["grinder"]
    others = sum(r["mark"] is not None for r in notebook.rows("shots")) - len(
        [r for r in _grinders(notebook, "shots") if r["mark"] is not None])
    if not others:
        return ""
    mine = f"of the grinder {grinder!r}" if grinder else "that name no grinder"
    return (f" This is from the shots {mine} alone; {others} more "
            f"{'is' if others == 1 else 'are'} of another, or it is not clear of which.")


def per_mark(shots: Sequence[grinder.Shot], marks: str = "") -> str:
    """What one mark does to the shot time, and which way round the numbers run, in words.

    `marks` is the direction as told, higher_finer or higher_coarser; empty where it was not.
    """
    learnt = grinder.learn(shots)
    step = learnt.step
    if not learnt.known:
        return f"Too little is logged to say what one mark does ({step.basis})."
    around = median(s.shot_time_s for s in shots)
    low, mid, high = (around * math.expm1(v) for v in (step.low, step.value, step.high))
    if learnt.sign is None:
        return (f"The shots do not show yet what one mark does: between {low:+.1f} and "
                f"{high:+.1f} s ({step.basis}).{_untold(learnt.aged)}")
    how = "slower" if mid > 0 else "faster"
    return (f"One mark up makes the shot about {abs(mid):.1f} s {how}, at about {around:.0f} s "
            f"({min(abs(low), abs(high)):.1f} to {max(abs(low), abs(high)):.1f} s, {step.basis})."
            f"{_runs(learnt.sign, advice.SIGNS.get(marks))}")


def _untold(aged: bool) -> str:
    """Why the shots do not show it, and what would, where the beans' age is in the way."""
    return (" The marks went one way while the beans aged; two shots on one day, a mark apart, "
            "would tell." if aged else "")


def _runs(shown: int, told: int | None) -> str:
    """Which way round the numbers run; that the shots speak against what was told, if they do."""
    finer = {1: "a higher number is finer", -1: "a lower number is finer"}
    if told is None or told == shown:
        return f" So {finer[shown]} on this grinder."
    return (f" So {finer[shown]}, as the shots show; but you noted that {finer[told]}: feel a pinch "
            "of each, and note it anew if it is wrong.")


def curve(shots: Sequence[grinder.Shot]) -> list[tuple[float, float]]:
    """The line through the shots that are fit to be compared; nothing where too few are.

    Nothing either where only the beans' age may stand behind it.
    """
    learnt = grinder.learn(shots)
    if not learnt.known or (learnt.aged and learnt.sign is None):
        return []
    kept, slope = grinder.comparable(shots), learnt.step.value
    marks = sorted({s.mark for s in kept})
    middle_x = median(s.mark for s in kept)
    middle_y = median(math.log(s.shot_time_s) - slope * (s.mark - middle_x) for s in kept)
    steps = [marks[0] + (marks[-1] - marks[0]) * i / 30 for i in range(31)]
    return [(x, math.exp(middle_y + slope * (x - middle_x))) for x in steps]


def dose(notebook: Notebook, now: datetime) -> Plot:
    """Coffee a second from the weighings, in the order they were made: has it drifted?"""
    weighings = [memory.weighing(r) for r in _grinders(notebook, "weighings")]
    points = [(float(i), w.rate_g_s) for i, w in enumerate(weighings, 1)]
    if not points:
        return _none("weighing", "weighing --timer 9.0s --dose 18.1g", "weighing", "g/s")
    found = advice.timer_drift(weighings=weighings)
    rate = units.show(timer.rate_g_s(weighings).value, "g/s")
    marks = [w.mark for w in weighings if w.mark is not None]
    if found and abs(together.correlation(marks, range(len(marks)))) >= together.NEARLY:
        return Plot(f"The grinder gives {rate}. The dose moved, but so did the mark, all one way: the "
                    "weighings can't tell which of drift and mark did it. A few at one mark would.",
                    "weighing", "g/s", points)
    said = (f"The grinder gives {rate}: {found.text} ({found.basis})." if found else
            f"The grinder gives {rate}; {timer.drift(weighings).basis} to tell drift from scatter.")
    return Plot(said, "weighing", "g/s", points)


def rest(notebook: Notebook, now: datetime) -> Plot:
    """Shot time against the days since the roast."""
    rows = [r for r in _grinders(notebook, "shots") if r["roast_date"]]
    points = [(float(memory.days_since_roast(r) or 0), r["shot_time_s"]) for r in rows]
    if not points:
        return _none("shot with a roast date",
                     'shot --dose 18g --yield 36g --time 28s --roasted "8 days ago"', "days", "s")
    return Plot(_with_age(rows) + _left_out(notebook, rows), "days since the roast", "s", points)


def _with_age(rows: Sequence[Row]) -> str:
    """What age does to the shot time, from shots at one mark of one bag, where there were more."""
    from diagnose.compute.robust import theil_sen

    bags = Counter(memory.shot_bag(r) for r in rows)
    rows = [r for r in rows if memory.shot_bag(r) == bags.most_common(1)[0][0]]
    marks = Counter(r["mark"] for r in rows)
    mark = marks.most_common(1)[0][0]
    rows = [r for r in rows if r["mark"] == mark]
    days = [float(memory.days_since_roast(r) or 0) for r in rows]
    if moved := together.with_it(rows, days):
        return together.said(moved, "the age")
    if len(rows) < grinder.FEWEST_SHOTS or len(set(days)) < 2:
        return (f"Too few shots at one mark ({len(rows)}) to tell what age does from what the grind did."
                if len(marks) > 1 else
                f"Too few shots ({len(rows)}) to say what age does to the shot time.")
    line = theil_sen(days, [r["shot_time_s"] for r in rows])
    if line.low <= 0 <= line.high:
        return f"Over {min(days):.0f} to {max(days):.0f} days the shot time shows no clear trend."
    moves = f"{abs(line.slope):.1f} s {'slower' if line.slope > 0 else 'faster'}"
    over = (f"from {len(rows)} shots, day {min(days):.0f} to {max(days):.0f}"
            f"{f', of one bag of {len(bags)}' if len(bags) > 1 else ''}")
    if mark is None:
        return (f"The shot got about {moves} a day ({over}). No mark was noted, so a turn of the grinder may "
                "have done it as well as the age.")
    return f"Each day after the roast the shot gets about {moves}, at mark {mark:g} ({over})."


def scale_forecast(notebook: Notebook, now: datetime) -> Plot:
    """Scale laid down over the coming weeks, from the last water's figures and the use."""
    waters = [r for r in notebook.rows("waters")
              if r["hardness_mg_l"] is not None and r["alkalinity_mg_l"] is not None]
    daily = water_advice.litres_per_day(memory.use(notebook, now))
    if not waters or daily is None:
        what = "water with hardness and alkalinity" if not waters else "use over three days or more"
        return _none(what, "water --hardness 10dH --alkalinity 8dH --litres 2l", "weeks", "g")
    row = waters[-1]
    litre = water_advice.scale_per_litre(
        hardness_mg_l=row["hardness_mg_l"], alkalinity_mg_l=row["alkalinity_mg_l"],
        boiler_c=BREW_C, ph=row["ph"] or water_advice.USUAL_PH)
    days = scale.interval_days(litre, daily[0])
    weekly = [7 * daily[0] * mg / 1000 for mg in (litre.low, litre.value, litre.high)]
    end = min(LONGEST_WEEKS, max(4, math.ceil(days.value / 7)))
    points = [(float(w), weekly[1] * w) for w in range(end + 1)]
    said = (f"At {daily[0]:.1f} l a day ({daily[1]}) this water leaves about {weekly[1]:.1f} g of "
            f"scale a week ({weekly[0]:.1f} to {weekly[2]:.1f} g). {_until(days.value)} "
            "How much a machine bears, only its leaflet says.")
    return Plot(said, "weeks from now", "g", points)


def _until(days: float) -> str:
    if days >= scale.LONGEST_DAYS:
        return "That is less than 10 g in two years."
    return f"That is 10 g in about {days / 7:.0f} weeks, an example and not a limit."


def due(notebook: Notebook, now: datetime) -> list[str]:
    """Upkeep by the use logged, a line for each job, the most urgent first."""
    use = memory.use(notebook, now)
    if use is None:
        return []
    return [f"{jobs.when(r)}: {jobs.NAMES[r.name]} ({r.basis})" for r in jobs.due(use)]


def _grinders(notebook: Notebook, kind: str) -> list[Row]:
    rows = notebook.rows(kind)
    return memory.of_grinder(rows, memory.last_grinder(rows))


def _none(what: str, example: str, x: str, y: str) -> Plot:
    return Plot(f"No {what} is logged yet; try `diagnose notebook add {example}`.", x, y, ())


TRENDS: Mapping[str, Callable[[Notebook, datetime], Plot]] = {
    "time": time, "dose": dose, "rest": rest, "scale": scale_forecast}
