"""Which choice a line means: by its number, by its words, by the letters they begin with."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.book.answers import NO, YES, picked
from diagnose.present.screens import Choice

LEAST = 2
"""Letters from which a choice is meant: one by itself may be a command, and is never a choice."""


def chosen(line: str, choices: Sequence[Choice]) -> str | None:
    """The choice meant by its number, its id, or the first letters of either its id or text."""
    said = _in_full(line.lower().rstrip(".!"))
    if said.isdigit():
        number = picked(said, len(choices))
        return choices[number - 1].id if number else None
    if len(said) < LEAST:
        return None
    names = {c.id: _names(c) for c in choices}
    exact = [i for i, texts in names.items() if said in texts]
    begun = exact or [i for i, texts in names.items() if any(t.startswith(said) for t in texts)]
    return begun[0] if len(begun) == 1 else None


def _in_full(said: str) -> str:
    """A yes or a no, however short, as the id that such choices have."""
    return "yes" if said in YES else "no" if said in NO else said


def _names(choice: Choice) -> tuple[str, str]:
    return choice.id.replace("_", " "), choice.text.lower()


def stands_there(line: str, choices: Sequence[Choice]) -> bool:
    """Is the line, word for word, a choice on the screen? Then no command of that word is meant."""
    said = line.lower().rstrip(".!")
    return len(said) >= LEAST and any(said in _names(c) for c in choices)


def several(line: str, choices: Sequence[Choice]) -> list[str] | None:
    """The choices meant by one or more numbers, or by words for one; None where none is."""
    parts = line.replace(",", " ").replace(" and ", " ").split()
    if parts and all(p.isdigit() for p in parts):
        found = [chosen(p, choices) for p in parts]
        return None if None in found else [f for f in found if f]
    one = chosen(line, choices)
    return [one] if one else None
