"""How a choice is told from what was typed."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.book.answers import picked
from diagnose.dialogue.sitting import Sitting
from diagnose.present.screens import Choice


def chosen(line: str, choices: Sequence[Choice]) -> str | None:
    """The choice meant by its number, its id, or the first letters of either its id or text."""
    said = line.lower().rstrip(".!")
    if said.isdigit():
        number = picked(said, len(choices))
        return choices[number - 1].id if number else None
    names = {c.id: (c.id.replace("_", " "), c.text.lower()) for c in choices}
    if not said:
        return None
    exact = [i for i, texts in names.items() if said in texts]
    begun = exact or [i for i, texts in names.items() if any(t.startswith(said) for t in texts)]
    return begun[0] if len(begun) == 1 else None


def choose(s: Sitting, line: str, choices: Sequence[Choice]) -> str | None:
    """The choice meant; a note where it is none."""
    found = chosen(line, choices)
    if found is None:
        none_of(s, line, choices)
    return found


def none_of(s: Sitting, line: str, choices: Sequence[Choice]) -> None:
    """Note that a line is none of the choices."""
    code = "no_choice" if len(choices) > 1 else "no_other_choice"
    s.say("empty" if not line else code, said=line, most=str(len(choices)))


def several(line: str, choices: Sequence[Choice]) -> list[str] | None:
    """The choices meant by one or more numbers, or by words for one; None where none is."""
    parts = line.replace(",", " ").replace(" and ", " ").split()
    if parts and all(p.isdigit() for p in parts):
        found = [chosen(p, choices) for p in parts]
        return None if None in found else [f for f in found if f]
    one = chosen(line, choices)
    return [one] if one else None
