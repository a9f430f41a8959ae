"""A choice taken from what was typed, or a word on why it is none."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.dialogue.matching import chosen
from diagnose.dialogue.sitting import Sitting
from diagnose.present.screens import Choice


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
