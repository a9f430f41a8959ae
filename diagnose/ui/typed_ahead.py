"""Keys typed before a screen was drawn: dropped, so that none of them can answer it unseen."""

from __future__ import annotations

import time
from typing import TextIO

STILL_SECONDS = 0.25
"""How long the keys must have been still, once a screen is drawn, before it takes one."""


class TypedAhead:
    """Tells whether a key was typed for what stands there, or ahead of it.

    A screen takes keys from when it was drawn and the keys were still for a moment: so neither
    keys that waited, nor an Enter held down, nor the second of two quick ones reaches it.
    """

    def __init__(self) -> None:
        self.drawn, self._last = False, float("-inf")

    def changed(self) -> None:
        """Another screen, or page, is to be drawn."""
        self.drawn = False

    def shown(self) -> None:
        """It was drawn."""
        if not self.drawn:
            self.drawn, self._last = True, time.monotonic()

    @property
    def now(self) -> bool:
        """Would a key typed now be one typed ahead?"""
        return not self.drawn or time.monotonic() - self._last < STILL_SECONDS

    def dropped(self) -> None:
        """A key was dropped; what follows on its heels is dropped with it."""
        self._last = time.monotonic()


def drop_typed_ahead(read: TextIO) -> None:
    """Drop the lines typed at a terminal that were not read yet; those of a file or a pipe stay."""
    if read.isatty():
        import termios

        termios.tcflush(read.fileno(), termios.TCIFLUSH)
