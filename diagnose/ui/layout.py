"""Parts of a screen to lines of a width, and to pages of a height."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

LEAST_WIDTH = 20
FIRM = "\N{NO-BREAK SPACE}"
"""A space at which no line is broken; shown as any other."""


@dataclass(frozen=True)
class Line:
    """One line as it stands on the screen."""

    text: str
    style: str = ""


@dataclass(frozen=True)
class Part:
    """A paragraph, step, choice or heading."""

    text: str
    style: str = ""
    lead: str = ""
    """What stands before it, such as `1. `; further lines hang under the text."""
    gap: bool = False
    """An empty line before it, where there is room."""
    spare: int = 0
    """0 stays; of the others the highest goes first where room is short."""


@dataclass(frozen=True)
class Drawn:
    """A screen in parts: what is read, and what stands at the bottom all the time."""

    body: tuple[Part, ...]
    foot: tuple[Part, ...]


def lines(parts: Iterable[Part], width: int, gaps: bool = True) -> list[Line]:
    """The parts wrapped to a width."""
    found: list[Line] = []
    for part in parts:
        if part.gap and gaps and found:
            found.append(Line(""))
        found += _wrapped(part, max(width, LEAST_WIDTH))
    return found


def _wrapped(part: Part, width: int) -> list[Line]:
    hang = " " * len(part.lead)
    texts = textwrap.wrap(part.text, width, initial_indent=part.lead, subsequent_indent=hang,
                          break_on_hyphens=False) or [part.lead.rstrip()]
    return [Line(text.replace(FIRM, " "), part.style) for text in texts]


def pages(drawn: Drawn, width: int, height: int, left_out: Sequence[str] = ("", "{count}")
          ) -> list[list[Line]]:
    """The body on as few pages as it takes, the foot's room kept free on each.

    One page where it fits, without empty lines and without what can be spared if need be.
    """
    room = max(4, height - len(lines(drawn.foot, width, gaps=False)))
    full = lines(drawn.body, width)
    if len(full) <= room:
        return [full]
    tight = lines(drawn.body, width, gaps=False)
    if len(tight) <= room:
        return [tight]
    spared = _spare(drawn.body, width, room, left_out)
    if spared is not None:
        return [spared]
    return _cut(lines(drawn.body, width), room)


def _spare(body: Sequence[Part], width: int, room: int, left_out: Sequence[str]
           ) -> list[Line] | None:
    """Leave out what can be spared, last and least first; None where that is not enough."""
    kept = list(body)
    steps = 0
    while any(p.spare for p in kept):
        most = max(p.spare for p in kept)
        at = max(i for i, p in enumerate(kept) if p.spare == most)
        steps += kept[at].style == "step"
        del kept[at]
        text = _noted(kept, at, steps, left_out)
        found = lines(text, width, gaps=False)
        if len(found) <= room:
            return found
    return None


def _noted(kept: list[Part], at: int, steps: int, left_out: Sequence[str]) -> list[Part]:
    if not steps:
        return kept
    said = left_out[min(steps, len(left_out)) - 1].format(count=steps)
    last = max((i for i, p in enumerate(kept) if p.style == "step"), default=at - 1)
    return [*kept[:last + 1], Part(said, "hint"), *kept[last + 1:]]


def _cut(all_lines: list[Line], room: int) -> list[list[Line]]:
    """Pages of at most `room` lines, cut at an empty line where one is near the end."""
    room -= 1  # the line that says which page it is
    found: list[list[Line]] = []
    while len(all_lines) > room:
        cut = next((i for i in range(room, room * 2 // 3, -1) if not all_lines[i].text), room)
        found.append(all_lines[:cut])
        all_lines = all_lines[cut:]
        while all_lines and not all_lines[0].text:
            all_lines = all_lines[1:]
    return [*found, all_lines] if all_lines else found


def plain(parts: Iterable[Part], width: int) -> str:
    """The parts as plain text."""
    return "\n".join(line.text.rstrip() for line in lines(parts, width))


def tight(part: Part) -> Part:
    """The part without an empty line before it."""
    return replace(part, gap=False)
