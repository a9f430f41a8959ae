"""May one go on using it? Worked out from the hazards told, what stops, and the leading causes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import msgspec

from diagnose.book.book import Book
from diagnose.case import hazards
from diagnose.reason.infer.infer import Inference
from diagnose.reason.rank import Ranked

LEADING_SHARE = 0.3
"""Share of the suspicion on causes that say the same from which it counts."""
LEVELS = ("no", "yes, but", "yes")
UNTIL_MENDED = "no, until somebody qualified has found and mended it"


class UseVerdict(msgspec.Struct, frozen=True):
    """The answer in one line, and how far it goes."""

    text: str
    """`yes`, `yes, but ...` or `no, until ...`."""

    @property
    def no(self) -> bool:
        """Is it out of use for now?"""
        return self.text.startswith("no")


def verdict(inference: Inference, ranked: Sequence[Ranked], cleared: Collection[str] = ()) -> UseVerdict:
    """The gravest of all that is said; `cleared` are the cautions that were dealt with."""
    said = list(dict.fromkeys([*_told(inference, cleared), *_caused(inference.book, ranked)]))
    gravest = next((level for level in LEVELS if any(s.startswith(level) for s in said)), "yes")
    found = [s for s in said if s.startswith(gravest)] or ["yes"]
    if gravest == "no" and len(found) > 1:
        return UseVerdict(f"{found[0]}; and {found[1].removeprefix('no, ')}")
    return UseVerdict(found[0])


def _told(inference: Inference, cleared: Collection[str]) -> Iterator[str]:
    """What hazards and cautions that stop say, the hurt and the gravest first."""
    book, spoken = inference.book, set()
    for name in hazards.told(inference):
        stated = book.hazards[name]
        spoken.add(stated.caution)
        if not is_cleared(book, stated.caution, cleared):
            yield stated.use
    for name in inference.cautions:
        if name not in spoken and book.cautions[name].stop == "yes" \
                and not is_cleared(book, name, cleared):
            yield next((h.use for h in book.hazards.values()
                        if h.caution == name and h.stop == "yes"), UNTIL_MENDED)


def is_cleared(book: Book, caution: str, cleared: Collection[str]) -> bool:
    """Was what a caution asks done, where that lets one go on at all?"""
    return bool(book.cautions[caution].go_on) and caution in cleared


def _caused(book: Book, ranked: Sequence[Ranked]) -> Iterator[str]:
    """What the causes say that lead; of those that say alike the likeliest speaks."""
    for level in LEVELS[:2]:
        alike = [r for r in ranked if r.cause in book.causes
                 and book.causes[r.cause].use.startswith(level)]
        if sum(r.probability for r in alike) >= LEADING_SHARE:
            yield book.causes[max(alike, key=lambda r: r.probability).cause].use
