"""Danger is looked for widely: beside what is fine, in the past, in words the book lacks."""

from __future__ import annotations

from typing import Any

import pytest

from diagnose.mail.reading import Desk
from diagnose.reading import danger
from diagnose.reason.system import System


@pytest.fixture(scope="module")
def desk(book: Any) -> Desk:
    return Desk(System(book))


@pytest.mark.parametrize("text", ["the coffee tastes smoky", "dry foam", "I hate my grinder", ""])
def test_what_is_harmless_is_no_danger(book: Any, text: str) -> None:
    assert danger.heard(book, text) == ()


@pytest.mark.parametrize(
    "text",
    [
        "sparks fly from the switch",
        "the cable is chewed through to the wire",
        "all fine, only the kitchen goes dark whenever I heat it up",
        "grey fumes creep out behind the group",
        "I touch the steel and it bites, electrified or what",
        "safety valve has been shrieking since breakfast",
        "I got scalded, it scalded my hand",
        "my son swallowed the cleaning tablet",
        "not sure if it is me but my fingers go tingly when I hold the group and the sink together",
        "Do I have to worry that the socket went brown behind the plug?",
    ],
)
def test_a_hazard_reaches_a_person_first(desk: Desk, text: str) -> None:
    assert desk.read(text).kind in ("hazard", "look")


@pytest.mark.parametrize(
    "text",
    [
        "the coffee is sour",
        "it is bitter and dry",
        "my foam is dry and stiff",
        "18 in, 40 out in 19 sec, sour",
        "I hate my grinder",
        "no crema",
        "xyzzy qwrtp plugh",
    ],
)
def test_a_plain_complaint_raises_no_alarm(desk: Desk, text: str) -> None:
    assert desk.read(text).kind not in ("hazard", "look")


def test_every_phrase_of_a_hazardous_symptom_reaches_a_person_first(desk: Desk, book: Any) -> None:
    phrases = [p for name, s in book.symptoms.items() if desk._stops(name) for p in s.lay]
    missed = [p for p in phrases if desk.read(p).kind not in ("hazard", "look")]
    assert len(missed) <= 0.02 * len(phrases), missed


def test_hazards_of_the_collection_reach_a_person_first(desk: Desk) -> None:
    """Not an independent measure: half of these were once missed, which is why it looks wider now."""
    from tests.search.test_search import collection

    rows = [r for r in collection("phrases.yaml") if r["ids"] and all(map(desk._stops, r["ids"][:1]))]
    missed = [r["text"] for r in rows if desk.read(r["text"]).kind not in ("hazard", "look")]
    assert len(rows) >= 10 and missed == []
