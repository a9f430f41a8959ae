"""What a reply is not sure of, for whoever reads it before it is sent."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.mail.reading import CLEAR, PLAIN, Read
from diagnose.reading.language import ENGLISH
from diagnose.reason.explain.chance import percent

FAIR_CHANCE = 0.2
"""A fix with less is a first try and no more."""


def fair(read: Read) -> bool:
    """Is the fix likely enough to be advised without more being known, or is there nothing to ask?"""
    return not read.questions or (read.option is not None and read.option.chance >= FAIR_CHANCE)


def doubts(read: Read) -> Iterator[str]:
    """Each doubt in a few words, the gravest first."""
    names = [read.case.book.symptoms[s].name for s in read.suspected]
    if names:
        yield f"whether it is a danger: {'; '.join(names)}"
    if read.understood.language != ENGLISH:
        yield f"what it says: it is in {read.understood.language}"
    yield from (c.text for c in read.case.conflicts[:1] if read.kind == "question")
    yield from _of_kind(read)
    if read.supposed:
        yield f"whether it means: {read.case.book.symptoms[read.supposed].name}"
    for one in read.asked:
        if one.fit < PLAIN and read.kind != "hazard":
            yield f"whether this was asked: {read.case.book.practice[one.entry].asks}"


def _of_kind(read: Read) -> Iterator[str]:
    if read.kind == "unplaced" and read.understood.language == ENGLISH:
        near = [read.case.book.symptoms[s].name for s in read.understood.maybe[:3]]
        yield f"what is wrong; nearest: {'; '.join(near)}" if near else "what is wrong, or what is asked"
    if read.kind == "nothing":
        yield "what helps: no fix has a fair chance"
    if read.kind in ("remedy", "handover", "look", "question", "nothing") and read.option is not None:
        top = next((c for c in read.report.causes if c.id in read.case.book.causes), None)
        if top and top.probability < CLEAR:
            yield f"the cause; first of several: {top.name} ({percent(top.probability)})"
        if not fair(read):
            yield f"the fix, which helps {percent(read.option.chance)} of the time"
