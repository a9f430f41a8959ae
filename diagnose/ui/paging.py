"""A screen on pages, and which of its choices stand on them."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.present.screens import Screen
from diagnose.ui import draw, words
from diagnose.ui.layout import Line, fit, pages

LEFT_OUT = (words.STEPS_LEFT_OUT[1], words.STEPS_LEFT_OUT[2])
NOT_STEPS = 3
"""How spare a part is at least that is left out before a step is."""
GUARDED = ("remedy", "no_fix", "stop", "done", "also", "left")
"""Screens that are read to their end before anything on them is chosen; so are all with cautions."""


def guarded(screen: Screen) -> bool:
    """Must every page be read before a choice?"""
    return screen.kind in GUARDED or bool(screen.cautions)


def in_sight(screen: Screen, found: Sequence[Sequence[Line]], page: int, furthest: int) -> set[int]:
    """The numbers of the choices that can be taken, of those on the pages shown so far.

    On a screen to be read to its end only those of the page in sight, and none before the end.
    """
    if guarded(screen):
        shown = [found[page]] if furthest == len(found) - 1 else []
    else:
        shown = list(found[:furthest + 1])
    return {number for lines in shown for line in lines for number in line.choices}


def paged(screen: Screen, width: int, room: int) -> list[list[Line]]:
    """A screen on one page, its cautions on it in full.

    Where they leave no room for the steps, they come first, in full on pages of their own,
    and the screen after them repeats each in brief above the steps. That something must stop
    comes before all cautions; what would stop is named in brief where words are sorted out, since
    all of it comes once they are confirmed.
    """
    if screen.kind == "understood":
        screen = draw.in_brief(screen)
    if not screen.cautions or screen.kind in ("stop", "understood"):
        return pages(draw.draw(screen), width, room, LEFT_OUT)
    whole = fit(draw.draw(screen), width, room, LEFT_OUT, NOT_STEPS)
    if whole is not None:
        return [whole]
    return [*pages(draw.before(screen), width, room - 1, LEFT_OUT), *_brief(screen, width, room - 1)]


def _brief(screen: Screen, width: int, room: int) -> list[list[Line]]:
    """A screen whose cautions were read: as much of them as leaves room for every step."""
    brief, briefest, recalled = (draw.draw(cut(screen)) for cut in (
        draw.in_brief, draw.in_briefest, draw.recalled))
    for body, least in ((brief, NOT_STEPS), (briefest, NOT_STEPS), (recalled, NOT_STEPS),
                        (briefest, 1)):
        one = fit(body, width, room, LEFT_OUT, least)
        if one is not None:
            return [one]
    return pages(recalled, width, room, LEFT_OUT)
