"""Evidence is compiled only once what it hangs on is known, and weighs the same for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.casefile import build, read
from diagnose.reason.infer.infer import Reasoner, Weigher
from diagnose.reason.system import System

GUSHING = Path(__file__).parents[2] / "demo" / "01-gushing.yaml"
MOST_COMPILED = 0.35
"""Part of the book's evidence that a case of one complaint and a dozen answers may compile."""


@pytest.fixture
def system() -> System:
    return System(load([]).book)


def told(system: System) -> Case:
    ((file, tree),) = read(GUSHING)
    return build(system, file, tree)


def compiled(reasoner: Reasoner) -> list[Weigher]:
    return [w for w in reasoner.weighers if "_engine" in w.__dict__]


def test_a_case_compiles_the_evidence_it_can_use_and_little_else(system):
    case = told(system)
    assert case.inference.evidence
    rules = sum(len(w.shelf.compiled) for w in system.reasoner.weighers)
    used = sum(len(w.shelf.compiled) for w in compiled(system.reasoner))
    assert 0 < used < MOST_COMPILED * rules


def test_evidence_left_out_could_not_have_counted(system):
    case = told(system)
    facts = case.inference.facts
    fired = {f.rule for f in case.inference.firings}
    for weigher in system.reasoner.weighers:
        assert {f.rule for f in weigher._engine.run(facts).fired} <= fired


def test_every_piece_of_evidence_lies_on_one_shelf(system):
    stated = [w.name for shelf in system.reasoner.rulebook.shelves for w in shelf.stated]
    assert len(stated) == len(set(stated)) == sum(
        len(c.evidence) + sum(bool(e.otherwise) for e in c.evidence) + (c.requires is not None)
        for c in system.book.causes.values()) + sum(len(r.weigh) for r in system.book.rules.values())
