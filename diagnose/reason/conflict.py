"""Contradictions: answers that can't all hold, to be put to the person once, politely."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec

from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.rank import Ranked


class Conflict(msgspec.Struct, frozen=True):
    """What can't hold together, in words, and the observations to look at again."""

    key: str
    text: str
    observations: tuple[str, ...]


LONE_ANSWER_AGAINST = 20.0
"""Decibans against a cause, all from one answer, from which that answer is worth a second look: a decisive
one, or two together. At 30 the worked cases, in which answers seldom contradict, stay as they are."""
CLEAR_LEAD = 5.0
"""Decibans by which the cause would then lead; less would not be worth the question."""


def conflicts(inference: Inference) -> list[Conflict]:
    """Hard contradictions: numbers that refuse to be worked out, findings that exclude each other."""
    return [*_refused(inference), *_exclusive(inference)]


def _refused(inference: Inference) -> list[Conflict]:
    return [Conflict(f"measure {name}", text,
                     tuple(sorted(inference.roots(name))))
            for name, text in sorted(inference.measured.refused.items())]


def _exclusive(inference: Inference) -> list[Conflict]:
    """Findings that exclude each other, where an answer can be looked at again; two complaints stand."""
    found = []
    for name, values in inference.findings.items():
        asked = tuple(sorted(inference.roots(name)))
        if asked and len(values) > 1 and inference.book.findings[name].several == "no":
            stated = inference.book.findings[name].values
            says = "; and: ".join(stated[v].says for v in values)
            found.append(Conflict(f"finding {name} {' '.join(values)}",
                                  f"These can't both be so: {says}.", asked))
    return found


def unconfirmed_complaint(inference: Inference) -> list[Conflict]:
    """A complaint that the answers do not bear out, where no other complaint holds."""
    book = inference.book
    if not inference.complaints or any(map(inference.holds, inference.complaints)):
        return []
    for symptom in inference.complaints:
        stated = book.symptoms[symptom]
        known = [n for n in stated.unless_known if n in inference.by_name]
        asked = tuple(dict.fromkeys(o for n in known for o in sorted(inference.roots(n))))
        if asked:
            return [Conflict(f"complaint {symptom} {' '.join(asked)}",
                             f"You told me: {stated.name}. Your answer to this does not fit that: "
                             f"{book.observations[asked[0]].ask}", asked)]
    return []


def lone_answers(inference: Inference, ranked: list[Ranked],
                 without: Callable[[str], Mapping[str, float]]) -> list[Conflict]:
    """Soft contradictions: one answer alone keeps down a cause that all else points to.

    `without` gives the scores of all causes as if an observation had not been answered.
    """
    leader = max(r.score for r in ranked)
    found: dict[str, Conflict] = {}
    for rival in ranked:
        if rival.cause == OTHER or rival.score >= leader - 1e-9:
            continue
        for name, against in _against(inference, rival).items():
            if name not in found and against >= LONE_ANSWER_AGAINST \
                    and rival.score + against >= leader + CLEAR_LEAD \
                    and _clear(without(name), rival.cause):
                found[name] = _lone(inference, rival.cause, name)
    return [found[name] for name in sorted(found)]


def _against(inference: Inference, ranked: Ranked) -> dict[str, float]:
    """Decibans against a cause by the single observation that they rest on."""
    total: dict[str, float] = {}
    for part in ranked.evidence:
        if part.decibans < 0 and part.fired is not None:
            names = frozenset().union(*(inference.roots(name) for name, _ in part.fired.on))
            if len(names) == 1:
                (name,) = names
                total[name] = total.get(name, 0.0) - part.decibans
    return total


def _clear(scores: Mapping[str, float], cause: str) -> bool:
    """Does a cause stand clearly first?"""
    return all(scores[cause] >= score + CLEAR_LEAD for c, score in scores.items() if c != cause)


def _lone(inference: Inference, cause: str, observation: str) -> Conflict:
    book = inference.book
    ask = book.observations[observation].ask
    return Conflict(f"answer {observation}",
                    f"All else points to this: {book.causes[cause].name}. Only your answer to this "
                    f"speaks clearly against it: {ask}", (observation,))
