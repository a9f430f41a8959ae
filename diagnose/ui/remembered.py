"""Cautions that were read in full before: where they come again, their first sentences do."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from diagnose.present.screens import Screen
from diagnose.ui import draw

SHORTENED = ("question", "remedy")
"""Screens with cautions that come again and again; of what stops all is always said."""


def cut(screen: Screen, read: Collection[str]) -> Screen:
    """The screen with the cautions of these ids cut to their first sentences."""
    if screen.kind not in SHORTENED:
        return screen
    brief = draw.in_brief(screen).cautions
    return replace(screen, cautions=tuple(b if c.id in read else c
                                          for b, c in zip(brief, screen.cautions, strict=True)))


def in_full(screen: Screen) -> set[str]:
    """The ids of the cautions that a screen has shown in full, once it was read to its end."""
    return {c.id for c in screen.cautions} if screen.kind in (*SHORTENED, "stop") else set()
