"""A screen on pages, and which of its choices stand on them."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.present.screen_data import AdviceData
from diagnose.present.screens import Screen
from diagnose.ui import draw
from diagnose.ui.layout import Line, fit, lines, pages

GUARDED = ("remedy", "no_fix", "stop", "done", "also", "left", "done_right")
"""Screens that are read to their end before anything on them is chosen; so are all with cautions."""


def guarded(screen: Screen) -> bool:
    """Must every page be read before a choice?"""
    return screen.kind in GUARDED or bool(screen.cautions)


def in_sight(screen: Screen, found: Sequence[Sequence[Line]], page: int, furthest: int) -> set[int]:
    """The numbers of the choices that can be taken, of those on the pages shown so far.

    On a screen to be read to its end none before the end, and then only those of the page in sight;
    of a question, whose answers do nothing, those of all pages.
    """
    if guarded(screen) and furthest < len(found) - 1:
        shown = []
    elif screen.kind in GUARDED or (guarded(screen) and screen.kind != "question"):
        shown = [found[page]]
    else:
        shown = list(found[:furthest + 1])
    return {number for one in shown for line in one for number in line.choices}


def paged(screen: Screen, width: int, room: int) -> list[list[Line]]:
    """A screen on one page where it fits without a step or a caution cut, else on several.

    Of a fix what to do stands on the first page, its cautions in brief above it; they follow in
    full after the steps, before anything can be chosen. Of a question the cautions come first. That
    something must stop comes before all cautions; what would stop is named in brief where words are
    sorted out, since all of it comes once they are confirmed.
    """
    if screen.kind == "understood":
        screen = draw.in_brief(screen)
    whole = fit(draw.draw(screen), width, room)
    if whole is not None:
        return [whole]
    if isinstance(screen.data, AdviceData):
        return _fix(screen, screen.data, width, room)
    if not screen.cautions or screen.kind in ("stop", "understood"):
        return pages(draw.draw(screen), width, room)
    return [*pages(draw.before(screen), width, room - 1), *_brief(screen, width, room - 1)]


def _brief(screen: Screen, width: int, room: int) -> list[list[Line]]:
    """A screen whose cautions were read: as much of them as leaves room for the rest."""
    for cut in (draw.in_brief, draw.in_briefest, draw.recalled):
        one = fit(draw.draw(cut(screen)), width, room)
        if one is not None:
            return [one]
    return pages(draw.draw(draw.recalled(screen)), width, room)


def _fix(screen: Screen, data: AdviceData, width: int, room: int) -> list[list[Line]]:
    """A fix on several pages: on the first as much of its cautions as leaves room for what to do."""
    cuts = (lambda s: s, draw.in_brief, draw.in_briefest)
    for cut, short in ((cut, short) for short in (False, True) for cut in cuts):
        head, rest = draw.action_first(screen, data, cut(screen).cautions, short)
        if len(lines(head, width, gaps=False)) < room:
            break
    return pages([*head, *rest], width, room)
