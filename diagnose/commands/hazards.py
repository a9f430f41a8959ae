"""The written list of hazards, hazard by hazard: what each says, does and asks for."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from diagnose.book.book import Book
    from diagnose.ui.layout import Part


def listed(book: Book, as_json: bool, width: int) -> str:
    """All hazards in the book's order, as text of a width or as one JSON object a line."""
    from diagnose.ui.layout import plain

    found = rows(book)
    if as_json:
        return "\n".join(json.dumps({"kind": "hazards", **row}) for row in found)
    return "\n".join([f"hazards ({len(found)}):", *(plain(_parts(row), width) for row in found)])


def rows(book: Book) -> list[dict[str, Any]]:
    """Each hazard as data; `stops` says whether its caution stops a consult, `ways` in how many
    phrases of the corpus people tell of it."""
    told = _ways()
    return [{"id": name, "title": h.name, "signal": h.signal,
             "stops": book.cautions[h.caution].stop == "yes", "use": h.use, "first": h.first,
             "first_aid": h.first_aid, "ways": told[name]} for name, h in book.hazards.items()]


def _ways() -> Counter[str]:
    """Hazards to the phrases that tell of them."""
    from diagnose.learn import corpus
    from diagnose.reading.classifier import HAZARD

    return Counter(name for one in corpus.phrases() for kind, _, name in (m.partition(":") for m in one.means)
                   if kind == HAZARD)


def _parts(row: Mapping[str, Any]) -> Iterator[Part]:
    from diagnose.ui.layout import Part

    yield Part(f"{row['id']}: {row['title']}", lead="  ")
    does = "stops the consult" if row["stops"] else "warns and goes on"
    for text in (f"{row['signal']}: {does}. Ways to tell it: {row['ways']}.",
                 f"May one go on using it? {row['use'][0].upper()}{row['use'][1:]}.",
                 f"First: {row['first']}", row["first_aid"] and f"First aid: {row['first_aid']}"):
        if text:
            yield Part(text, lead="    ")
