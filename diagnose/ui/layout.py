"""Parts of a screen to lines of a width, and to pages of a height."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

LEAST_WIDTH = 20
FIRM = "\N{NO-BREAK SPACE}"
"""A space at which no line is broken; shown as any other."""
_WITH_UNIT = re.compile(r"(?<=\d) (?=%|(?:g|s|ml|mm|bar|min|°C)\b)")


@dataclass(frozen=True)
class Line:
    """One line as it stands on the screen."""

    text: str
    style: str = ""
    first: bool = True
    """Does a paragraph begin here?"""
    choices: tuple[int, ...] = ()
    """The numbers of the choices whose words end here."""


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
    choices: tuple[int, ...] = ()
    """The numbers of the choices that it states."""


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
    text = _WITH_UNIT.sub(FIRM, part.text)
    texts = textwrap.wrap(text, width, initial_indent=part.lead, subsequent_indent=hang,
                          break_on_hyphens=False) or [part.lead.rstrip()]
    last = len(texts) - 1
    return [Line(text.replace(FIRM, " "), part.style, i == 0, part.choices if i == last else ())
            for i, text in enumerate(texts)]


def pages(body: Sequence[Part], width: int, room: int) -> list[list[Line]]:
    """The body on one page of `room` lines where that can be done (see `fit`), else on several."""
    one = fit(body, width, room)
    return [one] if one is not None else _cut(lines(body, width, gaps=False), room)


def fit(body: Sequence[Part], width: int, room: int) -> list[Line] | None:
    """The body on one page: without empty lines and without what can be spared, if need be.

    The most spare parts are left out first. None where that is not enough.
    """
    full = lines(body, width)
    if len(full) <= room:
        return full
    kept = list(body)
    while True:
        found = lines(kept, width, gaps=False)
        if len(found) <= room:
            return found
        most = max((p.spare for p in kept), default=0)
        if not most:
            return None
        kept.pop(max(i for i, p in enumerate(kept) if p.spare == most))


def _cut(all_lines: list[Line], room: int) -> list[list[Line]]:
    """Pages of at most `room` lines less the one that says which page it is.

    Cut where a paragraph ends, if one does near the end of the page.
    """
    room -= 1
    found: list[list[Line]] = []
    while len(all_lines) > room:
        cut = next((i for i in range(room, room * 2 // 3, -1) if all_lines[i].first), room)
        cut = _before_choices(all_lines, cut, room // 2)
        if all_lines[cut - 1].style == "heading" and cut > 1:
            cut -= 1
        found.append(all_lines[:cut])
        all_lines = all_lines[cut:]
    return [*found, all_lines]


def _before_choices(all_lines: list[Line], cut: int, least: int) -> int:
    """A cut that would part a short list of choices, moved before the first of them."""
    start = cut
    while start > 0 and all_lines[start].style == all_lines[start - 1].style == "choice":
        start -= 1
    return start if start > least else cut


def plain(parts: Iterable[Part], width: int) -> str:
    """The parts as plain text."""
    return "\n".join(line.text.rstrip() for line in lines(parts, width))
