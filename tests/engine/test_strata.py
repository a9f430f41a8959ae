"""Strata: the least that will do, and cycles through negation refused by name."""

from __future__ import annotations

import random

import pytest

from diagnose.engine import Engine, EngineError, EngineRule, Fact, levels
from tests.engine.books import book
from tests.engine.make import has, rule


def test_rules_that_refuse_only_what_is_observed_stay_at_the_bottom():
    assert levels([rule("a", has("x"), none=[has("y")])]) == {"a": 0}


def test_a_refused_conclusion_lifts_and_a_wanted_one_carries_along():
    rules = [rule("c", has("fired b")), rule("b", none=[has("fired a", "yes")]), rule("a", has("x"))]
    assert levels(rules) == {"a": 0, "b": 1, "c": 1}


def test_another_value_of_the_name_does_not_lift():
    rules = [rule("a", has("x"), then=("y", "1")), rule("b", none=[has("y", "2")])]
    assert levels(rules) == {"a": 0, "b": 0}


def test_a_cycle_without_negation_is_no_trouble():
    rules = [rule("a", has("q"), then=("p", "1")), rule("b", has("p"), then=("q", "1"))]
    assert levels(rules) == {"a": 0, "b": 0}


@pytest.mark.parametrize("make", [levels, Engine])
def test_a_cycle_through_negation_is_refused_with_its_rules_and_names(make):
    rules = [rule("apart", has("x"), none=[has("z")]), rule("a", has("q"), then=("p", "1")),
             rule("b", has("r"), none=[has("p", "1")], then=("q", "1"))]
    with pytest.raises(EngineError) as caught:
        make(rules)
    text = str(caught.value)
    assert "'b' refuses 'p: 1' from 'a'" in text
    assert "'a' wants 'q: 1' from 'b'" in text
    assert "apart" not in text
    assert "\n" not in text


def test_a_rule_that_refuses_its_own_conclusion_is_refused():
    with pytest.raises(EngineError, match="'a' refuses 'p: 1' from 'a'"):
        levels([rule("a", none=[has("p")], then=("p", "1"))])


def test_a_cycle_far_down_a_long_chain_is_found():
    rules = [rule(f"r{i}", has(f"n{i}"), none=[has(f"m{i}")], then=(f"n{i + 1}", "1")) for i in range(300)]
    rules.append(rule("back", has("n300"), then=("m150", "1")))
    with pytest.raises(EngineError, match="'r150' refuses 'm150: 1' from 'back'"):
        levels(rules)


@pytest.mark.parametrize("seed", range(20))
def test_strata_are_the_least_that_will_do(seed):
    rules = book(random.Random(seed), 60)
    assert levels(rules) == _by_definition(rules)


def _by_definition(rules: list[EngineRule]) -> dict[str, int]:
    """Every rule against every rule, over and over, from nothing."""
    found = dict.fromkeys((rule.name for rule in rules), 0)
    while True:
        better = {user.name: max((found[maker.name] + step for maker in rules
                                  for step in _steps(user, maker.then)), default=0) for user in rules}
        if better == found:
            return found
        found = better


def _steps(user: EngineRule, fact: Fact) -> list[int]:
    name, value = fact
    sets = [p.values for p in user.all if p.name == name]
    steps = [0] if sets and all(s is None or value in s for s in sets) else []
    return steps + [1 for p in user.none if p.name == name and (p.values is None or value in p.values)]
