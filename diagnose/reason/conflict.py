"""Contradictions: answers that can't all hold, to be put to the person once, politely."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.reason.infer import Inference


@dataclass(frozen=True)
class Conflict:
    """What can't hold together, in words, and the observations to look at again."""

    key: str
    text: str
    observations: tuple[str, ...]


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
