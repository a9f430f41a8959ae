"""Markdown that says what a person wrote without letting it act as Markdown."""

from __future__ import annotations

import re

_SPECIAL = re.compile(r"([\\`*_\[\]<>#|~])")
_LEADING = re.compile(r"^(\s*)([-+]|\d+[.)])(\s)")


def plain(text: str) -> str:
    """Text as one line, with no mark that Markdown would act on."""
    line = " ".join("".join(s if s.isprintable() or s.isspace() else " " for s in text).split())
    return _LEADING.sub(r"\1\\\2\3", _SPECIAL.sub(r"\\\1", line))


def quote(text: str, longest: int = 2_000) -> str:
    """A person's words as a quotation, paragraph by paragraph, cut where very long."""
    cut = text if len(text) <= longest else text[:longest].rsplit(" ", 1)[0] + " ..."
    lines = [plain(line) for line in cut.split("\n")]
    return "\n".join(f"> {line}".rstrip() for line in lines)
