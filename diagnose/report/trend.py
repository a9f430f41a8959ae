"""The trend of shot time against the grinder's mark, as a drawing inside the page."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from diagnose.compute.grinder import Shot
from diagnose.notebook import trends
from diagnose.notebook.plot import axis

WIDTH, HEIGHT = 640, 230
LEFT, RIGHT, TOP, BOTTOM = 46, 60, 12, 40
INSET = 14
"""Room between the axis and the first mark, so that no dot lies on the line."""
MOST_MARKS = 9
FEWEST = 2
Window = tuple[float, float]


def svg(shots: Sequence[Shot], window: Window | None = None, marks: str = "") -> str:
    """The drawing with its words; nothing with fewer than two shots.

    `marks` is which way the numbers run, as told: higher_finer, higher_coarser or neither.
    The newest shot is ringed; `window` is the shot time aimed at, drawn as two dashed lines.
    """
    if len(shots) < FEWEST:
        return ""
    said = trends.per_mark(shots, marks)
    curve = trends.curve(shots)
    xs = axis([s.mark for s in shots])
    ys = axis([*(s.shot_time_s for s in shots), *(y for _, y in curve), *(window or ())])
    place = _Place(xs, ys)
    parts = [_frame(place, sorted({s.mark for s in shots})), *(_aim(place, window) if window else ()),
             *(_line(place, curve) if curve else ()), *(_dot(place, s) for s in shots),
             _newest(place, shots[-1])]
    told = "; ".join(f"mark {s.mark:g}: {s.shot_time_s:g} s" for s in shots)
    return (f'<figure><svg role="img" aria-labelledby="trend-title trend-desc" '
            f'viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}">'
            f'<title id="trend-title">Shot time against the grinder\'s mark</title>'
            f'<desc id="trend-desc">{escape(said)} The shots: {escape(told)}.</desc>'
            f'{"".join(parts)}</svg><figcaption>{escape(said)} The ring is the newest shot'
            f'{"; the dashed lines are the time aimed at" if window else ""}.</figcaption></figure>')


class _Place:
    """From a mark and a time to a place in the drawing."""

    def __init__(self, xs: Window, ys: Window) -> None:
        self.xs, self.ys = xs, ys

    def x(self, mark: float) -> float:
        wide = WIDTH - LEFT - RIGHT - 2 * INSET
        return LEFT + INSET + (mark - self.xs[0]) / (self.xs[1] - self.xs[0]) * wide

    def y(self, seconds: float) -> float:
        share = (seconds - self.ys[0]) / (self.ys[1] - self.ys[0])
        return HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM)


def _frame(place: _Place, used: Sequence[float]) -> str:
    """Axes, with the marks that were used and three times written on them."""
    left, right, top, bottom = LEFT, WIDTH - RIGHT, TOP, HEIGHT - BOTTOM
    marks = [f'<text x="{place.x(v):.1f}" y="{bottom + 15}" text-anchor="middle">{v:g}</text>'
             for v in (used if len(used) <= MOST_MARKS else (place.xs[0], sum(place.xs) / 2, place.xs[1]))]
    times = [f'<text x="{left - 6}" y="{place.y(v) + 4:.1f}" text-anchor="end">{v:g}</text>'
             for v in (place.ys[0], sum(place.ys) / 2, place.ys[1])]
    return (f'<path d="M{left} {top}V{bottom}H{right}" fill="none" stroke="#000"/>'
            f'{"".join(marks + times)}'
            f'<text x="{(left + right) / 2:.0f}" y="{HEIGHT - 6}" text-anchor="middle">grinder mark</text>'
            f'<text x="12" y="{(top + bottom) / 2:.0f}" text-anchor="middle" '
            f'transform="rotate(-90 12 {(top + bottom) / 2:.0f})">seconds</text>')


def _aim(place: _Place, window: Window) -> list[str]:
    return [f'<path d="M{LEFT} {place.y(v):.1f}H{WIDTH - RIGHT}" stroke="#000" stroke-dasharray="5 4"/>'
            f'<text x="{WIDTH - RIGHT + 5}" y="{place.y(v) + 4:.1f}">{v:g} s</text>' for v in window]


def _line(place: _Place, curve: Sequence[tuple[float, float]]) -> list[str]:
    points = " ".join(f"{place.x(x):.1f},{place.y(y):.1f}" for x, y in curve)
    return [f'<polyline points="{points}" fill="none" stroke="#555"/>']


def _dot(place: _Place, shot: Shot) -> str:
    return f'<circle cx="{place.x(shot.mark):.1f}" cy="{place.y(shot.shot_time_s):.1f}" r="3"/>'


def _newest(place: _Place, shot: Shot) -> str:
    return (f'<circle cx="{place.x(shot.mark):.1f}" cy="{place.y(shot.shot_time_s):.1f}" r="7" '
            'fill="none" stroke="#000"/>')
