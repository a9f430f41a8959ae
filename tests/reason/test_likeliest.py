"""What lookup names as the causes of a symptom is what a consult would come to first."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.book import Book
from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.reason import likeliest
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.system import System
from tests.book.small import dumped, folder, house


@pytest.fixture(scope="module")
def book() -> Book:
    return load([]).book


def test_lookup_and_consult_name_the_same_first_cause_for_every_symptom(book: Book) -> None:
    system, found, differing = System(book), likeliest.of_files([], list(book.symptoms)), []
    assert found.keys() == book.symptoms.keys()
    for symptom in book.symptoms:
        case = Case(system)
        case.complain("", [symptom])
        first = next(r.cause for r in case.ranked if r.cause != OTHER)
        if found[symptom] and found[symptom][0][0] != first:
            differing.append(symptom)
    assert differing == [] and sum(map(bool, found.values())) > 200


def test_only_causes_that_are_known_to_show_it_are_named(book: Book) -> None:
    for symptom, causes in likeliest.of_files([], list(book.symptoms)).items():
        showing = [c for c, stated in book.causes.items() if symptom in stated.shows]
        assert len(causes) == min(likeliest.MOST_NAMED, len(showing))
        assert {cause for cause, _ in causes} <= set(showing)
        assert all(name == book.causes[cause].name for cause, name in causes)


def test_a_house_cause_is_named_for_the_symptoms_wanted(tmp_path: Path) -> None:
    causes = {"chute_blocked": {
        "name": "the chute is blocked", "part": "grinder", "common": "very common", "source": "house",
        "what": "Grounds clog the chute.", "shows": {"foam_dry": "always"},
        "evidence": [], "look_alikes": [], "confirm": "Look into the chute.",
        "remedies": [{"remedy": next(iter(load([]).book.remedies))}]}}
    at = folder(tmp_path, "ours", ours=dumped(house(causes=causes)))
    found = likeliest.of_files([str(at)], ["foam_dry"])
    assert list(found) == ["foam_dry"] and ("chute_blocked", "the chute is blocked") in found["foam_dry"]
