"""Checks of hazards: what a remedy touches must have its caution, and the right hands."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Literal

import msgspec

from diagnose.book.book import Book
from diagnose.book.lint.issue import ERROR, Violation, check
from diagnose.book.lint.survey import Survey
from diagnose.book.model import Remedy
from diagnose.book.yaml.source import read_file


class HazardTouch(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of hazard: the words that give it away, and those of a caution against it."""

    what: str
    words: tuple[str, ...]
    harmless: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()
    deferring: tuple[str, ...] = ()
    by_owner: Literal["yes", "no"] = "no"


class HazardWords(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The word lists of all hazards."""

    touches: dict[str, HazardTouch]
    does: dict[str, HazardTouch]
    inside: HazardTouch
    defers: tuple[str, ...]
    hands: tuple[str, ...]


@cache
def table() -> HazardWords:
    """The word lists, read once."""
    return msgspec.convert(read_file(Path(__file__).with_name("hazards.yaml")).data, HazardWords)


@cache
def _pattern(phrases: tuple[str, ...]) -> re.Pattern[str]:
    said = (re.escape(p).replace(r"\*", r"\w*").replace(r"\ ", r"\s+") for p in phrases)
    return re.compile(rf"\b(?:{'|'.join(said)})(?!\w)", re.IGNORECASE)


def meets(touch: HazardTouch, texts: Iterable[str]) -> str:
    """The words by which texts touch the hazard; empty where they do not."""
    for text in texts:
        if touch.harmless:
            text = _pattern(touch.harmless).sub(" ", text)
        if found := _pattern(touch.words).search(text):
            return found[0]
    return ""


def done(remedy: Remedy) -> tuple[str, ...]:
    """The texts that have the person do something."""
    return (*remedy.steps, remedy.undo, remedy.name)


@check(ERROR)
def hazard_uncautioned(survey: Survey) -> Iterator[Violation]:
    """A remedy, or a house's question, that touches something dangerous without the caution for it."""
    for name, remedy in survey.remedies.items():
        yield from _uncautioned(survey.book, ("remedies", name), remedy.cautions, done(remedy),
                                by_owner=remedy.who != "technician")
    for name, o in survey.observations.items():
        if survey.book.house("observations", name):
            yield from _uncautioned(survey.book, ("observations", name), o.cautions, (o.how,))


def _uncautioned(book: Book, path: tuple[str, str], cautions: Iterable[str], texts: tuple[str, ...],
                 by_owner: bool = True) -> Iterator[Violation]:
    """What texts touch that none of the cautions covers; a house's NOTICE of its own covers nothing."""
    stated = [book.cautions[c] for c in cautions
              if book.cautions[c].signal != "NOTICE" or not book.house(*path)]
    said = " ".join(f"{c.text} {c.avoid}" for c in stated)
    for hazard, touch in table().touches.items():
        if touch.by_owner == "yes" and not by_owner:
            continue
        word = meets(touch, texts)
        if word and not _pattern(touch.caution).search(said):
            yield Violation(path, f"{path[1]} says {word!r} and so touches {touch.what} "
                            f"({hazard}); add the caution for it to `cautions:`")


def covering(book: Book, texts: tuple[str, ...]) -> Iterator[tuple[str, list[str]]]:
    """What dangerous things texts touch, each with the book's cautions that cover it.

    Those come first that the book's own fixes of the kind have most.
    """
    for touch in table().touches.values():
        if meets(touch, texts):
            used = Counter(c for r in book.remedies.values() if meets(touch, done(r)) for c in r.cautions)
            yield touch.what, sorted((n for n, c in book.cautions.items() if not book.house("cautions", n)
                                      and _pattern(touch.caution).search(f"{c.text} {c.avoid}")),
                                     key=lambda n: (-used[n], book.caution_rank(n)))


@check(ERROR)
def answer_uncautioned(survey: Survey) -> Iterator[Violation]:
    """An answer that has the person do something dangerous without the caution for it."""
    cautions = survey.book.cautions
    for name, practice in survey.book.practice.items():
        said = " ".join(f"{cautions[c].text} {cautions[c].avoid}" for c in practice.cautions)
        for hazard, touch in table().touches.items():
            word = meets(touch, [practice.now])
            if word and not _pattern(touch.caution).search(said):
                yield Violation(("practice", name, "now"), f"{name} says {word!r} and so touches "
                                f"{touch.what} ({hazard}); add the caution for it to `cautions:`")


@check(ERROR)
def inside_by_owner(survey: Survey) -> Iterator[Violation]:
    """Work inside the housing, on mains parts or a safety valve that is not a technician's."""
    for name, remedy in survey.remedies.items():
        if remedy.who != "technician":
            for i, step in enumerate(remedy.steps):
                yield from _inside(("remedies", name, "steps", str(i)), step)
            for field in ("before", "undo"):
                yield from _inside(("remedies", name, field), getattr(remedy, field))
    for name, o in survey.observations.items():
        yield from _inside(("observations", name, "how"), o.how)
    for name, cause in survey.causes.items():
        yield from _inside(("causes", name, "confirm"), cause.confirm)


def _inside(path: tuple[str, ...], text: str) -> Iterator[Violation]:
    if word := inside(text):
        yield Violation(path, f"the text says {word!r}, which is {table().inside.what}; make it "
                        "`who: technician`, or leave it out")


def inside(text: str) -> str:
    """The words by which a text has its reader work inside; empty where it does not, or hands it over."""
    what = table().inside
    word = meets(what, [text])
    return word if word and not _pattern(what.deferring).search(text) else ""


@check(ERROR)
def deferral_missing(survey: Survey) -> Iterator[Violation]:
    """A remedy beyond anyone's hands that does not defer to the maker's instructions."""
    for name, remedy in survey.remedies.items():
        if remedy.who == "anyone":
            continue
        said = " ".join((*remedy.steps, remedy.before, remedy.stop))
        if not _pattern(table().defers).search(said):
            yield Violation(("remedies", name), f"{name} is work for a {remedy.who} and does not say that "
                            "the maker's instructions win; say so in `before:` or a step")


@check(ERROR)
def technician_unsaid(survey: Survey) -> Iterator[Violation]:
    """Work for a technician whose first step does not say whose work it is."""
    for name, remedy in survey.book.remedies.items():
        if remedy.who == "technician" and not _pattern(table().hands).search(remedy.steps[0]):
            yield Violation(("remedies", name, "steps", "0"), f"{name} is a technician's work and its first "
                            "step does not say so; name there who does it")


CHECKS = (hazard_uncautioned, answer_uncautioned, inside_by_owner, deferral_missing, technician_unsaid)
