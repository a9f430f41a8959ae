"""What a letter speaks of besides its main trouble: complaints that the likeliest cause leaves over."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from diagnose.case.case import Case
from diagnose.mail.reading import Read, case_of
from diagnose.reason.infer.prior import OTHER

LEAST = 0.07
"""A cause less likely than this is not named for a complaint left over."""


class Matter(NamedTuple):
    """A complaint of its own, its likeliest cause, and what is tried for it after the first."""

    symptom: str
    cause: str = ""
    chance: float = 0.0
    remedy: str = ""


def left_over(read: Read) -> list[Matter]:
    """The complaints that the first cause is not known to show as, each taken by itself."""
    first = read.case.book.causes.get(read.case.ranked[0].cause)
    if first is None or len(read.understood.symptoms) < 2:
        return []
    return [by_itself(read, s) for s in read.understood.symptoms if s not in first.shows]


def by_itself(read: Read, symptom: str) -> Matter:
    """What a complaint comes to if it stood in the letter alone."""
    case = case_with_only(read, (symptom,))
    top = case.ranked[0]
    first = read.case.ranked[0].cause if symptom in read.understood.symptoms else OTHER
    if case.hazard or top.probability < LEAST or top.cause in (OTHER, first):
        return Matter(symptom)
    aimed = (o.remedy for o in case.options if top.cause in (c for c, _ in o.causes))
    return Matter(symptom, top.cause, top.probability, next(aimed, ""))


def case_with_only(read: Read, symptoms: Iterable[str]) -> Case:
    """A case of these complaints only, with the answers that the letter gave."""
    return case_of(read.case.system, read.case.today, symptoms, read.understood.values)
