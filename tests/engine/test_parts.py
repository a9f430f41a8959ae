"""Clauses are compiled as facts wake them, and come to the same whatever was compiled before."""

from __future__ import annotations

import pytest

from diagnose.engine import Engine, ruleset
from diagnose.engine.ruleset import Ruleset
from tests.engine.make import has, rule

RULES = [*(rule(f"choice {i}", has("kind", f"k{i}"), has("shown")) for i in range(40)),
         *(rule(f"next {i}", has(f"n{i}"), none=[has("off")], then=(f"n{i + 1}", "v")) for i in range(40))]
CASES = [[("kind", "k3"), ("shown", "yes")], [("n30", "v")], [("n5", "v"), ("off", "yes")], [("n0", "v")],
         [("kind", "k9"), ("kind", "k3"), ("shown", "no"), ("n38", "v")]]


@pytest.fixture
def compiled(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many clauses each ruleset holds that was compiled."""
    sizes: list[int] = []
    init = Ruleset.__init__

    def counted(self, clauses, strata):
        sizes.append(len(clauses))
        init(self, clauses, strata)
    monkeypatch.setattr(Ruleset, "__init__", counted)
    return sizes


def test_what_no_fact_could_wake_is_not_compiled(compiled):
    engine = Engine(RULES)
    assert compiled == []
    assert [f.rule for f in engine.run(CASES[0]).fired] == ["choice 3"]
    assert sum(compiled) == 1
    assert len(engine.run(CASES[1]).fired) == 10
    assert sum(compiled) == 11


@pytest.mark.parametrize("before", [[], CASES, CASES[::-1], [[("n0", "v")]]])
def test_what_ran_before_makes_no_difference(before):
    engine = Engine(RULES)
    for case in before:
        engine.run(case)
    assert [engine.run(case) for case in CASES] == [Engine(RULES).run(case) for case in CASES]


def test_an_engine_in_long_use_is_compiled_whole(compiled, monkeypatch):
    monkeypatch.setattr(ruleset, "MOST_APART", 3)
    engine = Engine(RULES)
    for i in range(10):
        engine.run([("kind", f"k{i}"), ("shown", "yes")])
    assert len(compiled) == 4 and sum(compiled) == len(RULES)
