"""The words that may be said at any prompt, told apart from answers."""

from __future__ import annotations

import re

COMMANDS: dict[str, tuple[str, ...]] = {
    "help": ("?", "help", "h"),
    "now": ("!", "best fix", "best fix now", "fix now", "now", "just tell me", "tell me"),
    "why": ("why", "why this", "why?"),
    "back": ("b", "back", "undo"),
    "unknown": ("d", "don't know", "dont know", "do not know", "dk", "not sure", "unknown", "dunno",
                "no idea", "can't tell", "cannot tell"),
    "skip": ("skip",),
    "what_if": ("what if",),
    "doubt": ("change mind", "change my mind", "change your mind", "what would change your mind"),
    "more": ("more",),
    "known": ("known", "answers"),
    "sources": ("sources", "files"),
    "timer": ("timer", "t"),
    "save": ("save", "quit", "exit"),
    "restart": ("restart",),
}
"""Command to what may be typed for it; the first is the one shown."""

_BY_WORD = {word: name for name, words in COMMANDS.items() for word in words}
_WHAT_IF = re.compile(r"what if\b[\s:,]*(.*)", re.I | re.S)


def read(line: str) -> tuple[str, str] | None:
    """The command meant and what follows it, or None where the line is none."""
    said = " ".join(line.split()).lower().replace("’", "'")
    if found := _WHAT_IF.fullmatch(line.strip()):
        return "what_if", found[1].strip().rstrip("?")
    name = _BY_WORD.get(said) or _BY_WORD.get(said.rstrip(".!?"))
    return (name, "") if name else None
