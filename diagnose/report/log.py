"""The notebook as a page: how the shots went, what they show, and all of them in a table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from html import escape

from diagnose.notebook import over_time, trends
from diagnose.notebook.plot import Plot, axis
from diagnose.notebook.store import Notebook
from diagnose.report.markup import document, escaped, paragraph, section

WIDTH, HEIGHT = 640, 180
LEFT, RIGHT, TOP, BOTTOM = 46, 14, 10, 36
INSET = 8
STYLE = """
body { font: 15px/1.4 system-ui, sans-serif; max-width: 46em; margin: 1em auto; padding: 0 1em }
h1 { font-size: 1.4em } h2 { font-size: 1.1em; margin: 1.4em 0 .3em } figure { margin: .4em 0 }
svg { max-width: 100%; height: auto } svg text { font: 11px system-ui, sans-serif }
table { border-collapse: collapse } th, td { text-align: left; padding: .15em .8em .15em 0;
border-bottom: 1px solid #999 } @media print { body { margin: 0 } }
"""
SHOWS = {"time": "What a mark does", "rest": "What the age of the beans does", "dose": "The timed dose"}


def html(notebook: Notebook, now: datetime) -> str:
    """The page of a notebook as it stands."""
    shots = over_time.rows(notebook)
    drawn = over_time.plots(shots)
    names = [name for name, *_ in over_time.SERIES]
    said = paragraph(f"{now.day} {now:%B %Y}, {len(shots)} {'shot' if len(shots) == 1 else 'shots'}")
    body = [f"<header><h1>The notebook</h1>{said}</header><main>"]
    body += [section(name, svg(plot, f"plot{number}", name))
             for number, (name, plot) in enumerate(zip(names, drawn, strict=False))]
    if not shots:
        body.append(paragraph(over_time.NONE))
    for trend, title in SHOWS.items():
        plot = trends.TRENDS[trend](notebook, now)
        if plot.points:
            body.append(section(title, paragraph(plot.sentence)))
    body.append(section("All shots", _table(over_time.table(shots)) if shots else ""))
    return document("The notebook", STYLE, "".join([*body, "</main>"]))


def svg(plot: Plot, name: str, title: str) -> str:
    """A plot as a drawing with its words."""
    xs, ys = (axis([p[i] for p in plot.points]) for i in (0, 1))
    bottom, right = HEIGHT - BOTTOM, WIDTH - RIGHT
    at = [(LEFT + INSET + (x - xs[0]) / (xs[1] - xs[0]) * (right - LEFT - 2 * INSET),
           bottom - (y - ys[0]) / (ys[1] - ys[0]) * (bottom - TOP)) for x, y in plot.points]
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in at)
    return (f'<figure><svg role="img" aria-labelledby="{name}-title {name}-desc" '
            f'viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}">'
            f'<title id="{name}-title">{escape(title)}</title>'
            f'<desc id="{name}-desc">{escape(plot.sentence)} The table below has every shot.</desc>'
            f'<path d="M{LEFT} {TOP}V{bottom}H{right}" fill="none" stroke="#000"/>{"".join(_marks(xs, ys))}'
            f'<text x="{(LEFT + right) / 2:.0f}" y="{HEIGHT - 4}" text-anchor="middle">'
            f'{escape(plot.x_label)}</text><polyline points="{line}" fill="none" stroke="#999"/>'
            f'{"".join(map(_dot, at))}'
            f'</svg><figcaption>{escape(plot.sentence)}</figcaption></figure>')


def _dot(at: tuple[float, float]) -> str:
    return f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="3"/>'


def _marks(xs: tuple[float, float], ys: tuple[float, float]) -> Iterable[str]:
    bottom, right = HEIGHT - BOTTOM, WIDTH - RIGHT
    for share in (0.0, 0.5, 1.0):
        x, y = LEFT + INSET + share * (right - LEFT - 2 * INSET), bottom - share * (bottom - TOP)
        yield (f'<text x="{x:.0f}" y="{bottom + 14}" text-anchor="middle">'
               f'{xs[0] + share * (xs[1] - xs[0]):.4g}</text>')
        yield (f'<text x="{LEFT - 6}" y="{y + 4:.0f}" text-anchor="end">'
               f'{ys[0] + share * (ys[1] - ys[0]):.4g}</text>')


def _table(lines: Sequence[Sequence[str]]) -> str:
    head = "".join(f'<th scope="col">{escaped(cell)}</th>' for cell in lines[0])
    rows = "".join(f"<tr>{''.join(f'<td>{escaped(cell)}</td>' for cell in line)}</tr>" for line in lines[1:])
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
