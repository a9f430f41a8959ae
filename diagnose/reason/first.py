"""What must not come first, however cheap: fixes beside the point of what is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from diagnose.reason.infer.infer import Inference
from diagnose.reason.plan import Option
from diagnose.reason.rank import Ranked

IMPLAUSIBLE_SHARE = 0.5
"""The part of a fix's chance that may rest on causes beside the point. At 0.9 the worked cases stay as they
are; so they do with the two below at 1.0 and -17."""
RIVAL_SHARE = 0.5
"""The part of such a fix's chance from which another comes before it."""
DENIED_BY_ONE = -12.0
"""Decibans from which one answer speaks clearly against a cause."""


def implausible_fixes(inference: Inference, ranked: Iterable[Ranked],
                      options: Iterable[Option]) -> frozenset[str]:
    """Fixes mostly for causes that can't show what was complained of first, or that an answer
    speaks clearly against, as far as others have a fair chance beside them."""
    taken = list(options)
    tests = (_silent(inference), _denied(ranked))
    out = {o.remedy for o in taken if any(_part(o, idle) > IMPLAUSIBLE_SHARE for idle in tests)}
    other = max((o.chance for o in taken if o.remedy not in out), default=0.0)
    return frozenset(o.remedy for o in taken if o.remedy in out and RIVAL_SHARE * o.chance <= other)


def _silent(inference: Inference) -> Callable[[str], bool]:
    """Can a cause not show the chief complaint? None is meant where the complaint is in doubt."""
    heard = inference.heard
    chief = next((s for s in heard.symptoms[:1] if s not in heard.doubtful), "")
    shows = inference.priors.book.causes
    return lambda cause: bool(chief) and chief not in shows[cause].shows


def _denied(ranked: Iterable[Ranked]) -> Callable[[str], bool]:
    """Does one answer speak clearly against a cause, and the others do not outweigh it?"""
    said = {r.cause: [p.decibans for p in r.evidence] for r in ranked if r.evidence}
    denied = {c for c, spoken in said.items() if min(spoken) <= DENIED_BY_ONE and sum(spoken) < 0}
    return denied.__contains__


def _part(option: Option, idle: Callable[[str], bool]) -> float:
    whole = sum(part for _, part in option.causes)
    return sum(part for cause, part in option.causes if idle(cause)) / whole if whole else 0.0
