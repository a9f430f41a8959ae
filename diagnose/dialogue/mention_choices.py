"""The things said, as choices on a screen, and what of them stops a consult."""

from __future__ import annotations

from diagnose.book.answers import told
from diagnose.dialogue.mentions import Item
from diagnose.dialogue.sitting import Sitting
from diagnose.present.screens import Choice


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
    stated = s.book.observations[item.name]
    return Choice(item.id, told(item.name, stated, s.read(item.name, item.value)), danger)
