"""Why a cause stands where it stands, and the chain down to the answers, as reasons."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from diagnose.case.case import Case
from diagnose.present.reason import Reason
from diagnose.reason.explain import explain, how
from diagnose.reason.rank import Part, Ranked


def why(case: Case, ranked: Ranked, places: bool = False,
        kinds: Collection[str] = explain.KINDS) -> list[Reason]:
    """Why a cause stands where it stands, the weightiest reason first."""
    weights = dict(zip(explain.why(case.inference, ranked, case.values, places, ("evidence",)),
                       map(_weight, _fired(ranked)), strict=True)) if "evidence" in kinds else {}
    return [Reason(line, weights.get(line, ""))
            for line in explain.why(case.inference, ranked, case.values, places, kinds)]


def _fired(ranked: Ranked) -> list[Part]:
    """The evidence worth a sentence, the weightiest first."""
    return sorted((p for p in ranked.parts if p.fired and abs(p.decibans) >= explain.SMALL),
                  key=lambda p: -abs(p.decibans))


def _weight(part: Part) -> str:
    """How much evidence weighs and for which side, as the book grades it."""
    return part.fired.meaning.grade if part.fired else ""


def chain(case: Case, ranked: Ranked, places: bool = False) -> list[Reason]:
    """What speaks for and against a cause, each reason followed by what it rests on."""
    links = how.cause(case.inference, ranked, case.values)
    return [line for link, part in zip(links, _fired(ranked), strict=False)
            for line in _lines(link, places, _weight(part))]


def of_caution(case: Case, name: str, places: bool = False) -> list[Reason]:
    """The answers that raised a caution."""
    return [line for link in how.caution(case.inference, name, case.values)
            for line in _lines(link, places)]


def _lines(link: how.Because, places: bool, weight: str = "", depth: int = 0) -> Iterator[Reason]:
    """A link and all below it, each set in under what it explains."""
    yield Reason(next(link.lines(places, depth)), weight, depth)
    for part in link.parts:
        yield from _lines(part, places, depth=depth + 1)
