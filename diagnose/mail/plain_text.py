"""A letter as plain text, broken at a width that every mail program shows."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable

from diagnose.mail.parts import Part

WIDTH = 76
_ESCAPED = re.compile(r"\\([\\`*_\[\]<>#|~])")


def page(parts: Iterable[Part]) -> str:
    """The whole letter."""
    return "\n\n".join("\n".join(_shown(part)) for part in parts) + "\n"


def _shown(part: Part) -> Iterable[str]:
    said = [_seen(line) for line in part.lines]
    match part.kind:
        case "heading":
            return [said[0], "-" * min(len(said[0]), WIDTH)]
        case "danger":
            return [_broken(said[0], "! ", "! ")]
        case "caution":
            return [_broken(f"{part.lead}: {' '.join(said)}", "! ", "! ")]
        case "steps":
            return [_broken(line, f"{n}. ", "   ") for n, line in enumerate(said, 1)]
        case "points":
            return [_broken(line, "- ", "  ") for line in said]
        case "sheet":
            return [_bare(line) for line in part.lines]
    return [_broken(line) for line in said]


def _broken(line: str, first: str = "", rest: str = "") -> str:
    return textwrap.fill(line, WIDTH, initial_indent=first, subsequent_indent=rest, break_long_words=False,
                         break_on_hyphens=False)


def _seen(line: str) -> str:
    """A line without signs that can't be seen."""
    return " ".join("".join(s if s.isprintable() else " " for s in line).split())


def _bare(line: str) -> str:
    """A line of Markdown without its marks."""
    return _ESCAPED.sub(r"\1", line.lstrip("# ") if line.startswith("#") else line.replace("**", ""))
