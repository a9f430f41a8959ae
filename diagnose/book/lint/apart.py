"""Checks of discrimination: causes that no question tells apart, look-alikes that stay alike."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations

from diagnose.book.lint.issue import ADVICE, ERROR, Violation, check
from diagnose.book.lint.survey import Survey

FEWEST_LOOK_ALIKES = 2
Signature = frozenset[tuple[object, str]]


def _signature(survey: Survey, cause: str) -> Signature:
    """What weighs on a cause, and how much: equal ones can't be told apart."""
    return frozenset((frozenset(w.alternatives), w.grade) for w in survey.weighs[cause])


@check(ERROR)
def causes_alike(survey: Survey) -> Iterator[Violation]:
    """Two causes of one complaint that no question tells apart."""
    same: dict[Signature, list[str]] = defaultdict(list)
    for cause in survey.book.causes:
        same[_signature(survey, cause)].append(cause)
    for alike in same.values():
        for one, other in combinations(alike, 2):
            shared = set(survey.book.causes[one].shows) & set(survey.book.causes[other].shows)
            if shared:
                yield Violation(("causes", other), f"no question tells {other} from {one}, and both show "
                                f"{sorted(shared)[0]}; give one of them evidence of its own",
                                (("causes", one),))


@check(ERROR)
def look_alikes_few(survey: Survey) -> Iterator[Violation]:
    """A cause with fewer than two look-alikes."""
    for name, cause in survey.book.causes.items():
        if len(cause.look_alikes) < FEWEST_LOOK_ALIKES:
            yield Violation(("causes", name), f"{name} names {len(cause.look_alikes)} look-alikes; name "
                            "at least two, each with what tells it apart")


@check(ERROR)
def look_alike_not_apart(survey: Survey) -> Iterator[Violation]:
    """A look-alike of which no question named bears differently on the two causes."""
    for name, cause in survey.book.causes.items():
        for i, other in enumerate(cause.look_alikes):
            if not any(_separates(survey, name, other.cause, ask) for ask in other.ask):
                asked = ", ".join(other.ask) or "nothing"
                yield Violation(("causes", name, "look_alikes", str(i)), f"{asked} bears alike on {name} "
                                f"and {other.cause}; name a question that is evidence for one of them, "
                                "or make it evidence")


@check(ADVICE)
def look_alike_idle_ask(survey: Survey) -> Iterator[Violation]:
    """A question named beside a look-alike that does not help to tell it apart."""
    for name, cause in survey.book.causes.items():
        for i, other in enumerate(cause.look_alikes):
            idle = [a for a in other.ask if not _separates(survey, name, other.cause, a)]
            if idle and len(idle) < len(other.ask):
                yield Violation(("causes", name, "look_alikes", str(i)), f"{', '.join(idle)} bears alike "
                                f"on {name} and {other.cause}; drop it from `ask:`, or make it evidence")


@check(ERROR)
def look_alike_itself(survey: Survey) -> Iterator[Violation]:
    """A cause named as its own look-alike, or a look-alike named twice."""
    for name, cause in survey.book.causes.items():
        named = [other.cause for other in cause.look_alikes]
        for i, other in enumerate(named):
            if other == name or other in named[:i]:
                yield Violation(("causes", name, "look_alikes", str(i)),
                                f"{other} is {'the cause itself' if other == name else 'named twice'}; "
                                "name another cause")


def _separates(survey: Survey, one: str, other: str, ask: str) -> bool:
    return _resting(survey, one, ask) != _resting(survey, other, ask)


def _resting(survey: Survey, cause: str, ask: str) -> Signature:
    """What weighs on a cause and rests, in the end, on what is asked."""
    asked = survey.leaves(ask)
    found = set()
    for weigh in survey.weighs[cause]:
        path = weigh.path if weigh.path in survey.holds else (*weigh.path[:-1], "when")
        rests = survey.rests_on(path)
        inputs = {i for leaf in rests if leaf in survey.book.measures for i in survey.inputs(leaf)}
        if asked & (rests | inputs):
            found.add((frozenset(weigh.alternatives), weigh.grade))
    return frozenset(found)


CHECKS = (causes_alike, look_alikes_few, look_alike_not_apart, look_alike_idle_ask,
          look_alike_itself)
