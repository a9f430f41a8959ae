"""How far to turn the grinder, what to throw away, and the timer's setting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diagnose.calc.form import Given, Result, Results, Subject, option, several, word
from diagnose.compute import advice, grinder, retention, shot, timer, units
from diagnose.compute.errors import ComputeError
from diagnose.compute.estimate import Estimate
from diagnose.notebook import memory, together, trends
from diagnose.notebook.fields import Field, bare_number
from diagnose.notebook.plot import Plot
from diagnose.storage import paths

AIM_S = (26.0, 29.0, 32.0)
"""The shot time this book aims at, at least, best and at most: common practice, no source."""
LEAST_FACTOR = 0.2
"""No mark takes more than four fifths of the time."""
FAR_MARKS = 4.0
"""Marks from which on a move goes further than one mark can tell."""


def _work(given: Given) -> Results:
    shots, weighings = _shots(given), _weighings(given)
    marks = given.marks.replace("-", "_") if given.marks else _known_marks()
    moved = together.with_it(list(map(_row, shots)), [s.mark for s in shots])
    apart = [] if moved else shots
    results = [*_move(given, apart, marks), *_then(given, apart, shots, marks), *_purge(given),
               *_timer(given, weighings, marks)]
    remarks = [together.said(moved, "the mark")] if moved else []
    if given.finer is not None and abs(given.finer) > FAR_MARKS:
        remarks.append(f"{abs(given.finer):g} marks at once is further than this can be told; go in steps.")
    return Results(results, _plot(apart, marks) if len(apart) >= grinder.FEWEST_SHOTS else None, remarks)


def _row(shot: grinder.Shot) -> dict[str, object]:
    return {"dose_g": shot.dose_g, "yield_g": shot.yield_g, "beans": shot.bag}


def _aim() -> tuple[float, float, float, str]:
    """The shot time aimed at, at least, best and at most, and whose number it is."""
    if not paths.chapters(paths.house()):
        return *AIM_S, "what this book aims at"
    from diagnose.book.with_house import load  # the whole book is wanted only where a house may say otherwise

    book = load().book
    stated = book.targets["shot_time"]
    low, value, high = (given or usual for given, usual in zip(
        (stated.low, stated.value, stated.high), AIM_S, strict=True))
    return low, value, high, "what your house aims at" if book.house("targets", "shot_time") else (
        "what this book aims at")


def _then(given: Given, apart: Sequence[grinder.Shot], shots: Sequence[grinder.Shot], marks: str
          ) -> Iterator[Result]:
    """The shot time after a move: from the time given, the last shot, or the time aimed at."""
    if given.finer is None:
        return
    if given.time is not None:
        now, since = given.time, "the time given"
    elif shots:
        now, since = shots[-1].shot_time_s, "your last shot"
    else:
        _, now, _, since = _aim()
    mark = advice.seconds_per_mark(shots=apart, shot_time_s=now, marks=marks)
    ends = [now * max(1 + s / now, LEAST_FACTOR) ** given.finer for s in (mark.low, mark.value, mark.high)]
    way = f"{abs(given.finer):g} {'mark' if abs(given.finer) == 1 else 'marks'}"
    basis = "a default, since your shots can't tell" if len(apart) < len(shots) else mark.basis
    yield Result("time_after", f"Shot time {way} {'finer' if given.finer > 0 else 'coarser'}",
                 Estimate(ends[1], min(ends), max(ends), "s", basis), "s",
                 f"from {units.show(now, 's')}, {since}; the same dose and drink")


def _shots(given: Given) -> list[grinder.Shot]:
    """The shots typed, else those of the notebook."""
    if given.shot:
        return [_typed(text) for text in given.shot]
    return list(memory.history().shots)


def _weighings(given: Given) -> list[timer.Weighing]:
    if given.weighing:
        pairs = (_parts(text, "--weighing", (("timer", "s"), ("dose", "g"))) for text in given.weighing)
        return [timer.Weighing(seconds, grams) for seconds, grams in pairs]
    return list(memory.history().weighings)


def _typed(text: str) -> grinder.Shot:
    mark, dose, drink, time = _parts(text, "--shot", (
        ("mark", "marks"), ("dose", "g"), ("yield", "g"), ("time", "s")))
    return grinder.Shot(mark, time, dose, drink)


def _parts(text: str, name: str, wanted: Sequence[tuple[str, str]]) -> list[float]:
    parts = [p.strip() for p in text.split("/")]
    example = {"--shot": "12 / 18 g / 36 g / 24 s", "--weighing": "9.0 s / 17.6 g"}[name]
    if len(parts) != len(wanted):
        raise ComputeError(f'{name} "{text}" holds {len(parts)} of {len(wanted)} parts; write it '
                           f'like "{example}".')
    for part, (what, unit) in zip(parts, wanted, strict=True):
        if unit != "marks" and bare_number(part):
            raise ComputeError(f'{name} "{text}" gives the {what} without a unit; write it like '
                               f'"{example}".')
    return [units.read(part, unit) for part, (_, unit) in zip(parts, wanted, strict=True)]


def _known_marks() -> str:
    return memory.known_equipment().get("marks_direction", "")


def _move(given: Given, shots: list[grinder.Shot], marks: str) -> Iterator[Result]:
    if shots or given.time is not None:
        yield Result("per_mark", "One mark finer adds", advice.seconds_per_mark(
            shots=shots, shot_time_s=given.time, marks=marks), "s")
    if given.has("time"):
        least, _, most, whose = _aim()
        low, high = given.aim_low or least, given.aim_high or most
        time = given.time
        if given.yield_ is not None and given.aim_yield is not None:
            time = shot.scaled_time(shot_time_s=time, yield_g=given.yield_, aim_yield_g=given.aim_yield)
        yield Result("move", f"Move the grinder, for {units.span(low, high, 's')}", advice.grind_move(
            shot_time_s=time, aim_low_s=low, aim_high_s=high, shots=shots, marks=marks),
                     basis="" if given.aim_low and given.aim_high else f"the window is {whose}")


def _purge(given: Given) -> Iterator[Result]:
    held = given.held
    if given.beans_in is not None and given.grounds_out is not None:
        held = retention.held_g(beans_in_g=given.beans_in, grounds_out_g=given.grounds_out)
        yield Result("held", "Stayed in the grinder", held, "g")
    if held is not None and held >= 0:
        yield Result("purge", "Throw away after a move", advice.purge(held_g=held), "g")


def _timer(given: Given, weighings: list[timer.Weighing], marks: str) -> Iterator[Result]:
    if given.aim_dose is not None:
        setting = advice.timer_setting(aim_dose_g=given.aim_dose, dose_g=given.dose,
                                       timer_s=given.timer, weighings=weighings)
        if setting is None:
            given.has("timer", "dose")
        else:
            yield Result("timer", "Set the timer to", setting, "s")
    if given.dose is not None and given.finer is not None:
        yield Result("dose_after", "Dose from the same timer after the move", advice.timed_dose(
            dose_g=given.dose, marks_finer=given.finer, weighings=weighings, marks=marks), "g")
    drift = advice.timer_drift(weighings=weighings)
    if drift:
        yield Result("drift", "Timed dose", drift)


def _plot(shots: list[grinder.Shot], marks: str) -> Plot:
    return Plot(trends.per_mark(shots, marks), "mark", "s", [(s.mark, s.shot_time_s) for s in shots],
                trends.curve(shots))


_FINER = Field("finer", "--finer", "marks gone finer (with a minus sign for coarser)", "quantity",
               "marks", low=-100, high=100, bare=True)

SUBJECT = Subject("grinder", "how far to turn it, what to throw away, the timer's setting", (
    option("time", "s", "shot time now", low=0.1, high=600),
    option("aim-low", "s", "shortest time wanted (26 s)", low=0.1, high=600),
    option("aim-high", "s", "longest time wanted (32 s)", low=0.1, high=600),
    option("yield_", "g", "drink of that shot", low=0.1, high=5000),
    option("aim-yield", "g", "drink aimed at", low=0.1, high=5000),
    word("marks", "a higher number is", "higher-finer", "higher-coarser"),
    several("shot", 'a shot as "MARK / DOSE / YIELD / TIME", more than once; else the notebook\'s'),
    option("held", "g", "what the grinder holds back", high=100),
    option("beans-in", "g", "beans weighed in", low=0.1, high=200),
    option("grounds-out", "g", "grounds weighed out", high=200),
    option("aim-dose", "g", "dose wanted from the timer", low=0.1, high=200),
    option("timer", "s", "what the timer is set to", low=0.1, high=300),
    option("dose", "g", "what that gives", low=0.1, high=200),
    several("weighing", 'a timed dose as "TIMER / DOSE", more than once; else the notebook\'s'),
    _FINER,
), _work, notebook=True)
