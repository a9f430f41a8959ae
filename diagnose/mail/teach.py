"""What could not be placed, and how to teach the words of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

SHOWN = 5
SHORT = 90
HOW = ("To teach words of these: diagnose house phrase \"WORDS\" --means ENTRY. The entry is a trouble or a "
       "question of the book; `diagnose lookup WORDS` finds its name.")


def how(unplaced: Sequence[Mapping[str, Any]]) -> list[str]:
    """How to teach the words, where there are any to teach."""
    return [HOW] if any(one["language"] == "English" for one in unplaced) else []


def told(data: Mapping[str, Any]) -> Iterator[str]:
    """What could not be placed, a line for each, and how to teach the words."""
    unplaced = [one for one in data["unplaced"] if one["language"] == "English"]
    if not unplaced:
        return
    yield "Not placed:"
    for one in unplaced[:SHOWN]:
        text = one["text"] if len(one["text"]) <= SHORT else f"{one['text'][:SHORT - 3]}..."
        yield f"  {one['place']}: {''.join(s if s.isprintable() else ' ' for s in text)}"
    if len(unplaced) > SHOWN:
        yield f"  and {len(unplaced) - SHOWN} more, in SUMMARY.md"
    yield from how(unplaced)
