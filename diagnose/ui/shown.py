"""What may be printed: all text goes through here, so that none of it can steer a terminal.

Notes, names of files, unknown keys and complaints come from elsewhere and may hold anything.
"""

from __future__ import annotations

import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

_KEPT = "\n\t"
_STEERING = ("\N{ARABIC LETTER MARK}\N{LEFT-TO-RIGHT MARK}\N{RIGHT-TO-LEFT MARK}\N{LINE SEPARATOR}"
             "\N{PARAGRAPH SEPARATOR}\N{LEFT-TO-RIGHT EMBEDDING}\N{RIGHT-TO-LEFT EMBEDDING}"
             "\N{POP DIRECTIONAL FORMATTING}\N{LEFT-TO-RIGHT OVERRIDE}\N{RIGHT-TO-LEFT OVERRIDE}"
             "\N{LEFT-TO-RIGHT ISOLATE}\N{RIGHT-TO-LEFT ISOLATE}\N{FIRST STRONG ISOLATE}"
             "\N{POP DIRECTIONAL ISOLATE}")
"""Signs that turn the direction of a line or break it, so that it reads as another."""
_CONTROLS = "".join(s for s in map(chr, range(256)) if unicodedata.category(s) == "Cc" and s not in _KEPT)
_SPELT = {ord(s): s.encode("unicode_escape").decode() for s in _CONTROLS + _STEERING}


def shown(text: str) -> str:
    """The text with every sign spelt out that would steer a terminal: an escape as `\\x1b`."""
    return text if text.isascii() and text.isprintable() else text.translate(_SPELT)


class _Shown:
    """A stream whose text can't steer a terminal, and that no sign makes fail."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream

    def write(self, text: str) -> int:
        """Write the text as it may be shown; a sign that the stream's encoding lacks, spelt out."""
        said = shown(text)
        try:
            return self.stream.write(said)
        except UnicodeEncodeError:
            code = self.stream.encoding or "ascii"
            return self.stream.write(said.encode(code, "backslashreplace").decode(code))

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)


@contextmanager
def all_shown() -> Iterator[None]:
    """Whatever is printed in here, to either stream, goes through `shown`."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = _Shown(before[0]), _Shown(before[1])
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def in_place(text: str, end: str = "") -> None:
    """Say how far something is, on a terminal's error stream, over what stood in its line."""
    stream = sys.stderr.stream if isinstance(sys.stderr, _Shown) else sys.stderr
    stream.write(f"\r{shown(text)}{end}")
    stream.flush()
