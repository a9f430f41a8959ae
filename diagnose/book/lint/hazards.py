"""Checks of hazards: what a remedy touches must have its caution, and the right hands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Literal

import msgspec

from diagnose.book.lint.issue import ERROR, Found, check
from diagnose.book.lint.survey import Survey
from diagnose.book.model import Remedy
from diagnose.book.yaml.source import read_file


class Touch(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of hazard: the words that give it away, and those of a caution against it."""

    what: str
    words: tuple[str, ...]
    harmless: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()
    deferring: tuple[str, ...] = ()
    by_owner: Literal["yes", "no"] = "no"


class Table(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The word lists of all hazards."""

    touches: dict[str, Touch]
    inside: Touch
    defers: tuple[str, ...]


@cache
def table() -> Table:
    """The word lists, read once."""
    return msgspec.convert(read_file(Path(__file__).with_name("hazards.yaml")).data, Table)


@cache
def _pattern(phrases: tuple[str, ...]) -> re.Pattern[str]:
    said = (re.escape(p).replace(r"\*", r"\w*").replace(r"\ ", r"\s+") for p in phrases)
    return re.compile(rf"\b(?:{'|'.join(said)})(?!\w)", re.IGNORECASE)


def _meets(touch: Touch, texts: Iterable[str]) -> str:
    """The words by which texts touch the hazard; empty where they do not."""
    for text in texts:
        if touch.harmless:
            text = _pattern(touch.harmless).sub(" ", text)
        if found := _pattern(touch.words).search(text):
            return found[0]
    return ""


def _done(remedy: Remedy) -> tuple[str, ...]:
    """The texts that have the person do something."""
    return (*remedy.steps, remedy.undo, remedy.name)


@check(ERROR)
def hazard_uncautioned(survey: Survey) -> Iterator[Found]:
    """A remedy that touches something dangerous without the caution for it."""
    cautions = survey.book.cautions
    for name, remedy in survey.book.remedies.items():
        said = " ".join(f"{cautions[c].text} {cautions[c].avoid}" for c in remedy.cautions)
        for hazard, touch in table().touches.items():
            if touch.by_owner == "yes" and remedy.who == "technician":
                continue
            word = _meets(touch, _done(remedy))
            if word and not _pattern(touch.caution).search(said):
                yield Found(("remedies", name), f"{name} says {word!r} and so touches {touch.what} "
                            f"({hazard}); add the caution for it to `cautions:`")


@check(ERROR)
def inside_by_owner(survey: Survey) -> Iterator[Found]:
    """A remedy inside the housing, on mains parts or a safety valve that is not a technician's."""
    inside = table().inside
    for name, remedy in survey.book.remedies.items():
        if remedy.who == "technician":
            continue
        for i, step in enumerate(remedy.steps):
            word = _meets(inside, [step])
            if word and not _pattern(inside.deferring).search(step):
                yield Found(("remedies", name, "steps", str(i)), f"the step says {word!r}, which is "
                            f"{inside.what}; make it `who: technician`, or leave that step out")


@check(ERROR)
def deferral_missing(survey: Survey) -> Iterator[Found]:
    """A remedy beyond anyone's hands that does not defer to the maker's instructions."""
    for name, remedy in survey.book.remedies.items():
        if remedy.who == "anyone":
            continue
        said = " ".join((*remedy.steps, remedy.before, remedy.stop))
        if not _pattern(table().defers).search(said):
            yield Found(("remedies", name), f"{name} is work for a {remedy.who} and does not say that "
                        "the maker's instructions win; say so in `before:` or a step")


CHECKS = (hazard_uncautioned, inside_by_owner, deferral_missing)
