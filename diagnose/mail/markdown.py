"""Markdown that says what a person wrote without letting it act as Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable

from diagnose.mail.parts import Part

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


def page(parts: Iterable[Part]) -> str:
    """A whole letter."""
    return "\n\n".join("\n".join(_shown(part)) for part in parts) + "\n"


def _shown(part: Part) -> Iterable[str]:
    if part.kind == "sheet":
        return part.lines
    said = [plain(line) for line in part.lines]
    match part.kind:
        case "heading":
            return [f"## {said[0]}"]
        case "strong":
            return [f"**{said[0]}**"]
        case "danger":
            return [f"> **{said[0]}**"]
        case "caution":
            return [f"> **{part.lead}:** {' '.join(said)}"]
        case "steps":
            return [f"{n}. {line}" for n, line in enumerate(said, 1)]
        case "points":
            return [f"- {line}" for line in said]
    return ["  \n".join(said)]
