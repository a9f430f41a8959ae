"""Where too little is known to advise anything: what it would take to know more."""

from __future__ import annotations

from dataclasses import replace

from diagnose.case.case import Case
from diagnose.present.fill import put_in
from diagnose.present.parts import LossData
from diagnose.reason.infer.prior import OTHER

MOST_NEEDED = MOST_WATCHED = 3
WORTH_WATCHING = 0.05
"""Posterior from which a cause's sign is worth looking out for."""


def data(case: Case) -> LossData:
    """What it would need to know, what to watch for, and the best guess there is."""
    guess = case.options[0].remedy if case.options else ""
    return LossData(needs=[case.book.observations[n].ask for n in needed(case)], watch=_watch(case),
                    guess=case.book.remedies[guess].name if guess else "")


def needed(case: Case) -> list[str]:
    """The questions that would help most, those that could not be answered among them."""
    asker, state = case.system.asker, case.state
    kept = case.system.questions.needy if case.use.no else frozenset()
    reopened = replace(state, closed=(frozenset(state.closed) - case.unknown) | kept)
    chances = asker.look(reopened).chances
    names = [asker.first_input(n, reopened) for n in asker.candidates(chances, reopened)]
    return list(dict.fromkeys(names))[:MOST_NEEDED]


def _watch(case: Case) -> list[str]:
    """How each of the likeliest causes would show itself, where it may be used."""
    if case.use.no:
        return []
    likely = [r.cause for r in case.ranked if r.cause != OTHER and r.probability >= WORTH_WATCHING]
    return [put_in(case.inference, case.book.causes[c].confirm) for c in likely[:MOST_WATCHED]]
