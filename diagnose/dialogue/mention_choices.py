"""The things said, as choices on a screen, and what of them stops a consult."""

from __future__ import annotations

from diagnose.book.answers import shown
from diagnose.dialogue.mentions import Item
from diagnose.dialogue.sitting import Sitting
from diagnose.present.screens import Choice

CLEAR_BY_ITSELF = 4
"""Words from which an answer is understood without what it answers."""


def stops(s: Sitting, item: Item) -> tuple[str, ...]:
    """The cautions that by themselves stop a consult in which this is true."""
    if item.kind == "answer":
        return s.alarms.answer(item.name, s.read(item.name, item.value))
    return s.alarms.symptom(item.name) if item.kind == "symptom" else ()


def choice(s: Sitting, item: Item, doubtful: bool = False) -> Choice:
    """An item as something to choose: a symptom's name, an answer, or a fix.

    Beside it stands what came of the fix, or `danger` where it is in doubt and would stop the
    consult; what is sure is warned of at length.
    """
    if item.kind == "tried":
        return Choice(item.id, s.book.remedies[item.name].name, item.value)
    danger = "danger" if doubtful and stops(s, item) else ""
    if item.kind == "symptom":
        return Choice(item.id, s.book.symptoms[item.name].name, danger)
    return Choice(item.id, _answer(s, item), danger)


def _answer(s: Sitting, item: Item) -> str:
    """An answer as a person would say it, without its question; a short one must say of what."""
    stated = s.book.observations[item.name]
    said = shown(stated, s.read(item.name, item.value))
    if stated.kind == "choice" and len(said.split()) >= CLEAR_BY_ITSELF:
        return said
    return f"{item.name.replace('_', ' ')}: {said}"
