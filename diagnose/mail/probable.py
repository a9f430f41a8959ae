"""What it probably is, in words: no figure stands before the advice."""

from __future__ import annotations

from diagnose.mail import parts
from diagnose.mail.parts import Parts
from diagnose.mail.reading import CLEAR, SHOWN_CAUSES, SHOWN_CHANCE, Read
from diagnose.reason.explain.chance import sure
from diagnose.reason.explain.say import Words

SHOWN_REASONS = 3
VERDICT = 0.1
"""Chance from which a cause is named as one of several."""
ONE = "{Sure}: {cause}."
MAYBE = "Maybe: {cause}."
TRY = "Try this first: {remedy}."
OTHERS = "It could also be this: {others}."
NOT_CLEAR = "That is not clear yet from your letter. First of many: {cause}."
POINTS_TO_IT = "What points to it: {facts}."


def likely(read: Read, remedy: str = "") -> Parts:
    """The likeliest cause, the fix to try where one is advised, others where none is clear, and what in
    the letter points to the first.
    """
    named = read.case.book.causes
    causes = [c for c in read.report.causes if c.probability >= SHOWN_CHANCE and c.id in named]
    if not causes:
        return
    chance, name = causes[0].probability, causes[0].name
    others = "; or ".join(c.name for c in causes[1:SHOWN_CAUSES])
    first = ONE if chance >= CLEAR else NOT_CLEAR if chance < VERDICT else MAYBE
    said = [first.format(Sure=sure(chance).capitalize(), cause=name)]
    if remedy:
        said.append(TRY.format(remedy=remedy))
    if others and first == MAYBE:
        said.append(OTHERS.format(others=others))
    yield from parts.text(" ".join(said))
    yield from _reasons(read, causes[0].id)


def _reasons(read: Read, cause: str) -> Parts:
    """What the letter says for the first cause."""
    said = Words(read.case.inference, read.case.values)
    ranked = next(r for r in read.case.ranked if r.cause == cause)
    fired = sorted((p for p in ranked.parts if p.fired and p.decibans > 0), key=lambda p: -p.decibans)
    facts = dict.fromkeys(said.fact(f) for p in fired if p.fired for f in p.fired.on)
    if facts:
        yield from parts.text(POINTS_TO_IT.format(facts="; ".join(list(facts)[:SHOWN_REASONS])))
