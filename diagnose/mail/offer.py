"""The list to choose from that goes into a letter nobody could place."""

from __future__ import annotations

from collections import defaultdict

from diagnose.book.book import Book
from diagnose.reason.weights import COMMON, TYPICAL, odds

AREAS = ("flow", "taste", "look", "milk", "steam", "heat", "grinder", "leaks", "water", "electrical")
"""The parts of the work, in the order people meet them."""
EACH = 2


def common_troubles(book: Book) -> list[str]:
    """The names of the commonest complaints of each part of the work."""
    weight: dict[str, float] = defaultdict(float)
    for cause in book.causes.values():
        for symptom, typical in cause.shows.items():
            weight[symptom] += odds(COMMON[cause.common] + TYPICAL[typical])
    found = []
    for area in AREAS:
        inside = [n for n, s in book.symptoms.items() if s.area == area]
        found += sorted(inside, key=lambda n: -weight[n])[:EACH]
    return [book.symptoms[n].name for n in found]
