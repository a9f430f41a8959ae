"""A house can't let people use what must not be used, nor let one sign of danger deny another."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from diagnose.book.problems import KnowledgeError
from tests.book.small import COMMON, SMALL, book_of, house

BASE = copy.deepcopy(SMALL)
BASE["symptoms"]["burns"] = {"name": "it burns", "area": "danger", "finding": {"hazard": "fire"},
                             "lay": ["it smokes"]}
BASE["observations"]["smell"] |= {"several": "yes", "needs": ["heat"]}
BASE["causes"]["too_old"]["use"] = "no, until somebody has looked at it"
BASE["remedies"]["finer"]["needs"] = ["run", "plugged"]
BASE["hazards"] = {"fire": {
    "name": "it burns", "means": "Something burns.", "kind": "fire", "signal": "DANGER", "symptom": "burns",
    "caution": "fire", "stop": "yes", "use": "no, until it is out", "first": "Go out.", "source": COMMON}}


def replaced(kind: str, name: str, **changes: Any) -> dict[str, Any]:
    return house(**{kind: {name: copy.deepcopy(BASE[kind][name]) | changes | {"replaces": "yes"}}})


@pytest.mark.parametrize(("layer", "why"), [
    (replaced("hazards", "fire", first="Stay."), "can't be replaced"),
    (replaced("causes", "too_old", use="yes"), "can't take that back"),
    (replaced("causes", "too_old", use="yes, but slowly"), "can't take that back"),
    (replaced("remedies", "finer", needs=["run"]), "need to plugged"),
    (replaced("observations", "smell", needs=[]), "need to heat"),
    (replaced("observations", "smell", several="no"), "takes several answers"),
])
def test_what_must_not_be_used_stays_so(layer: dict[str, Any], why: str) -> None:
    with pytest.raises(KnowledgeError) as caught:
        book_of(BASE, layer)
    assert why in str(caught.value.problems[0])


def test_a_house_may_ask_for_more_care() -> None:
    book = book_of(BASE, replaced("remedies", "finer", needs=["run", "plugged", "heat"]))
    assert book.remedies["finer"].needs == ("run", "plugged", "heat")


@pytest.mark.parametrize(("use", "stop"), [("yes", "yes"), ("yes, but slowly", "yes"),
                                           ("no, until it is out", "no"), ("yes", "no")])
def test_a_hazard_says_one_thing_of_the_use(use: str, stop: str) -> None:
    data = copy.deepcopy(BASE)
    data["hazards"]["fire"] |= {"use": use, "stop": stop}
    with pytest.raises(KnowledgeError):
        book_of(data)
