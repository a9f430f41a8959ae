"""Small text plots: a sentence that says it first, then the picture, within 78 columns."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

WIDTH, HEIGHT = 60, 12
TEXT_WIDTH = 78
MANY = "+"
"""Stands where two points or more fall on one place."""


@dataclass(frozen=True)
class Plot:
    """Points to be drawn, with what they say in words."""

    sentence: str
    x_label: str
    y_label: str
    points: Sequence[tuple[float, float]]
    line: Sequence[tuple[float, float]] = ()
    """Points of a line to be drawn under the others, with dots."""


def draw(plot: Plot, width: int = WIDTH, height: int = HEIGHT) -> str:
    """The sentence, then the plot; the sentence alone where there are no points."""
    everything = [*plot.points, *plot.line]
    sentence = textwrap.fill(plot.sentence, TEXT_WIDTH)
    if not everything:
        return sentence
    x_axis, y_axis = axis([x for x, _ in everything]), axis([y for _, y in everything])
    grid = [[" "] * width for _ in range(height)]
    for sign, points in ((".", plot.line), ("*", plot.points)):
        for x, y in points:
            _put(grid, _place(x, x_axis, width), _place(y, y_axis, height), sign)
    left = max(len(_number(v)) for v in (*y_axis, sum(y_axis) / 2))
    return "\n".join([sentence, "", plot.y_label,
                      *_rows(grid, y_axis, left), *_foot(plot.x_label, x_axis, width, left)])


def listed(plot: Plot) -> str:
    """The sentence, then the points in lines: what a screen reader can read out."""
    lines = [f"{plot.x_label} {x:.4g}: {y:.4g} {plot.y_label}" for x, y in plot.points]
    return "\n".join([textwrap.fill(plot.sentence, TEXT_WIDTH), *([""] if lines else []), *lines])


def axis(values: Sequence[float]) -> tuple[float, float]:
    """Round ends that hold all values; not below nought where none of them is."""
    low, high = min(values), max(values)
    spread = high - low or abs(high) * 0.2 or 1.0
    step = _round_step(spread / 4)
    ends = math.floor(low / step) * step, math.ceil(high / step) * step
    if ends[0] == ends[1]:
        ends = max(ends[0] - step, 0.0 if low >= 0 else -math.inf), ends[1] + step
    return ends


def _round_step(least: float) -> float:
    """The least of 1, 2, 5, 10, 20 ... that is not below `least`."""
    whole = 10.0 ** math.floor(math.log10(least))
    return next(whole * f for f in (1, 2, 5, 10) if whole * f >= least * 0.999)


def _place(value: float, axis: tuple[float, float], cells: int) -> int:
    return round((value - axis[0]) / (axis[1] - axis[0]) * (cells - 1))


def _put(grid: list[list[str]], column: int, row: int, sign: str) -> None:
    was = grid[-1 - row][column]
    grid[-1 - row][column] = MANY if was in ("*", MANY) and sign == "*" else sign


def _rows(grid: list[list[str]], axis: tuple[float, float], left: int) -> list[str]:
    marks = {0: axis[1], len(grid) // 2: sum(axis) / 2, len(grid) - 1: axis[0]}
    return [f"{_number(marks[i]) if i in marks else '':>{left}} |{''.join(row)}".rstrip()
            for i, row in enumerate(grid)]


def _foot(label: str, axis: tuple[float, float], width: int, left: int) -> list[str]:
    low, high = map(_number, axis)
    return [f"{'':{left}} +{'-' * width}",
            f"{'':{left}}  {low}{high:>{width - len(low)}}",
            f"{'':{left}}  {label}"]


def _number(value: float) -> str:
    return f"{value:.6g}"
