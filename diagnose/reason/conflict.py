"""Contradictions: answers that can't all hold, to be put to the person once, politely."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.reason.infer import Inference
from diagnose.reason.prior import OTHER
from diagnose.reason.rank import Ranked


@dataclass(frozen=True)
class Conflict:
    """What can't hold together, in words, and the observations to look at again."""

    key: str
    text: str
    observations: tuple[str, ...]


LONE_VOICE = 20.0
"""Decibans against a cause, all from one answer, from which that answer is worth a second look."""
CLEAR_LEAD = 5.0
"""Decibans by which the cause would then lead; less would not be worth the question."""


def conflicts(inference: Inference) -> list[Conflict]:
    """Hard contradictions: numbers that refuse to be worked out, findings that exclude each other."""
    return [*_refused(inference), *_exclusive(inference)]


def _refused(inference: Inference) -> list[Conflict]:
    book = inference.book
    return [Conflict(f"measure {name}", text,
                     tuple(g for g in book.measures[name].given.values()
                           if g in book.observations))
            for name, text in sorted(inference.measured.refused.items())]


def _exclusive(inference: Inference) -> list[Conflict]:
    found = []
    for name, values in inference.findings.items():
        if len(values) > 1:
            stated = inference.book.findings[name].values
            says = ", but also: ".join(stated[v].says for v in values)
            found.append(Conflict(f"finding {name} {' '.join(values)}",
                                  f"These two can't both hold: {says}.",
                                  _behind(inference, name)))
    return found


def unborne(inference: Inference) -> list[Conflict]:
    """A complaint that the answers do not bear out, where no other complaint holds."""
    book = inference.book
    if not inference.complaints or any(map(inference.holds, inference.complaints)):
        return []
    for symptom in inference.complaints:
        stated = book.symptoms[symptom]
        known = [n for n in stated.unless_known if n in inference.by_name]
        asked = tuple(dict.fromkeys(o for n in known for o in roots(inference, n)))
        if asked:
            return [Conflict(f"complaint {symptom} {' '.join(asked)}",
                             f"You came with this: {stated.name}. The answer to this does not "
                             f"bear it out: {book.observations[asked[0]].ask}", asked)]
    return []


def lone_voices(inference: Inference, ranked: list[Ranked]) -> list[Conflict]:
    """Soft contradictions: one answer alone keeps down a cause that all else points to."""
    leader = max(r.score for r in ranked)
    found = {}
    for rival in ranked:
        if rival.cause == OTHER or rival.score >= leader - 1e-9:
            continue
        for observation, against in _against(inference, rival).items():
            freed = rival.score + against
            if against >= LONE_VOICE and freed >= leader + CLEAR_LEAD:
                found.setdefault(observation, _lone(inference, rival.cause, observation))
    return [found[key] for key in sorted(found)]


def _against(inference: Inference, ranked: Ranked) -> dict[str, float]:
    """Decibans against a cause by the single observation that they rest on."""
    total: dict[str, float] = {}
    for part in ranked.parts:
        if part.kind != "evidence" or part.decibans >= 0 or part.fired is None:
            continue
        names = {o for fact in part.fired.on for o in roots(inference, fact[0])}
        if len(names) == 1:
            (name,) = names
            total[name] = total.get(name, 0.0) - part.decibans
    return total


def _lone(inference: Inference, cause: str, observation: str) -> Conflict:
    book = inference.book
    ask = book.observations[observation].ask
    return Conflict(f"answer {observation}",
                    f"All else points to this: {book.causes[cause].name}. Only one answer speaks "
                    f"clearly against it, the one to: {ask}", (observation,))


def roots(inference: Inference, name: str) -> tuple[str, ...]:
    """The observations that a fact of this name rests on."""
    book = inference.book
    if name in book.observations:
        return (name,)
    if name in book.measures:
        return tuple(g for g in book.measures[name].given.values() if g in book.observations)
    return _behind(inference, name)


def _behind(inference: Inference, name: str) -> tuple[str, ...]:
    """The observations that a finding was concluded from."""
    book, found, names = inference.book, [], [name]
    while names:
        at = names.pop()
        for firing in inference.firings:
            meaning = inference.meanings[firing.rule]
            if meaning.kind in ("finding", "symptom") and at in meaning.path:
                for fact, _ in firing.on:
                    if fact in book.observations and fact not in found:
                        found.append(fact)
                    elif fact in book.findings and fact != at:
                        names.append(fact)
    return tuple(found)
