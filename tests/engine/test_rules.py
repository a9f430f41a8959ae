"""What rules mean, one behaviour at a time."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.engine import Engine, EngineError, EngineRule, Firing, NameTest
from diagnose.engine.fold import fold
from tests.engine import naive
from tests.engine.make import fired, has, rule

FAST, SLOW = ("flow", "fast"), ("flow", "slow")


def test_facts_given_and_concluded_are_all_in_the_outcome():
    engine = Engine([rule("coarse", has("flow", "fast"), then=("grind", "coarse")),
                     rule("mend", has("grind", "coarse"), then=("advice", "finer"))])
    outcome = engine.run([FAST, ("beans", "fresh")])
    assert outcome.facts == {FAST, ("beans", "fresh"), ("grind", "coarse"), ("advice", "finer")}
    assert outcome.fired == (Firing("coarse", (FAST,)), Firing("mend", (("grind", "coarse"),)))


def test_a_trace_names_the_facts_in_the_order_of_the_conditions():
    engine = Engine([rule("both", has("b"), has("a", "1", "2"))])
    assert engine.run([("a", "2"), ("b", "x")]).fired[0].on == (("b", "x"), ("a", "2"))


def test_nothing_is_left_over_from_the_run_before():
    engine = Engine([rule("seen", has("flow")), rule("unseen", none=[has("flow")])])
    for _ in range(3):
        assert fired(engine, FAST) == ["seen"]
        assert fired(engine) == ["unseen"]


def test_a_value_no_rule_mentions_is_known_all_the_same():
    engine = Engine([rule("seen", has("flow")), rule("fast", has("flow", "fast")),
                     rule("not fast", has("flow"), none=[has("flow", "fast")])])
    assert fired(engine, ("flow", "odd")) == ["not fast", "seen"]
    assert fired(engine, ("flow", "odd"), ("flow", "strange")) == ["not fast", "seen"]


def test_a_name_may_hold_several_values_and_a_rule_still_fires_once():
    engine = Engine([rule("any", has("flow")), rule("two", has("flow", "fast", "slow"))])
    assert fired(engine, FAST, SLOW) == ["any", "two"]


def test_two_conditions_on_one_name_speak_of_one_fact():
    engine = Engine([rule("r", has("flow", "fast", "slow"), has("flow", "slow", "none"))])
    assert fired(engine, FAST, ("flow", "none")) == []
    assert fired(engine, SLOW) == ["r"]


@pytest.mark.parametrize("facts", [facts for count in range(4)
                                   for facts in itertools.combinations([FAST, SLOW, ("flow", "odd")], count)])
def test_a_name_both_wanted_and_refused(facts):
    rules = [rule("set", has("flow", "fast", "slow"), none=[has("flow", "fast")]),
             rule("known", has("flow"), none=[has("flow", "fast"), has("flow", "slow")])]
    assert set(fired(Engine(rules), *facts)) == naive.run(rules, facts)[1]


@pytest.mark.parametrize(("wants", "none"), [
    ([has("flow", "fast"), has("flow", "slow")], []),
    ([has("flow", "fast")], [has("flow", "fast")]),
    ([has("flow")], [has("flow")]),
    ([has("flow", "fast")], [has("flow", "slow"), has("flow")]),
])
def test_a_rule_that_can_never_fire_is_refused(wants, none):
    with pytest.raises(EngineError, match="rule 'r' can never fire: no value of 'flow'"):
        Engine([rule("r", *wants, none=none)])


def test_a_rule_without_conditions_always_fires():
    assert fired(Engine([rule("r")])) == ["r"]


def test_a_book_without_rules_concludes_nothing():
    outcome = Engine([]).run([FAST])
    assert (outcome.facts, outcome.fired) == ({FAST}, ())


def test_a_conclusion_in_a_later_stratum_waits_for_the_earlier_one():
    rules = [rule("third", none=[has("b")], then=("c", "1")),
             rule("second", none=[has("a")], then=("b", "1")),
             rule("first", has("x"), then=("a", "1"))]
    engine = Engine(rules)
    assert fired(engine, ("x", "1")) == ["first", "third"]
    assert fired(engine) == ["second"]


def test_a_name_first_known_within_a_stratum_still_reaches_its_negations():
    rules = [rule("opens", none=[has("a")], then=("b", "1")), rule("late", has("b"), none=[has("z")]),
             rule("later", has("fired late"), none=[has("z")])]
    assert fired(Engine(rules)) == ["late", "later", "opens"]


def test_order_and_repeats_of_the_facts_do_not_matter():
    engine = Engine([rule("r", has("flow"), has("beans"))])
    facts = [FAST, SLOW, ("beans", "old"), ("beans", "new")]
    outcomes = {engine.run([*order, FAST]) for order in itertools.permutations(facts)}
    assert len(outcomes) == 1


def test_a_rule_may_conclude_what_it_wants():
    engine = Engine([rule("loop", has("a"), then=("a", "2")), rule("back", has("a", "2"), then=("a", "1"))])
    outcome = engine.run([("a", "1")])
    assert outcome.facts == {("a", "1"), ("a", "2")}
    assert len(outcome.fired) == 2


def test_every_firing_rests_on_facts_that_were_there_before():
    rules = [rule("start", has("x"), then=("a", "1")), rule("on", has("a"), then=("b", "1")),
             rule("round", has("b"), then=("a", "2"))]
    outcome = Engine(rules).run([("x", "1")])
    there = {("x", "1")}
    for firing in outcome.fired:
        assert there.issuperset(firing.on)
        there.add(next(r.then for r in rules if r.name == firing.rule))


texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1, max_size=20)


@given(name=texts, value=texts, other=texts)
@settings(max_examples=60, deadline=None)
def test_any_clean_text_will_do(name, value, other):
    rules = [rule(other, has(name, value), then=(value, name)), rule(other + "!", none=[has(name, value)])]
    engine = Engine(rules)
    for facts in ([(name, value)], [(name, other)], [(other, value)], []):
        expected = naive.run(rules, facts)
        outcome = engine.run(facts)
        assert (outcome.facts, {firing.rule for firing in outcome.fired}) == expected


values = st.frozensets(st.sampled_from("abc"), min_size=1)
patterns = st.lists(st.builds(NameTest, st.sampled_from(["x", "y"]), st.none() | values), max_size=4)


@given(wants=patterns, none=patterns)
def test_folding_keeps_the_meaning_and_leaves_no_fact_two_conditions(wants, none):
    made = EngineRule("r", tuple(wants), tuple(none), ("z", "1"))
    possible = [(name, value) for name in "xy" for value in "abcd"]
    worlds = [facts for n in range(4) for facts in itertools.combinations(possible, n)]
    try:
        clause = fold(made)
    except EngineError:
        assert not any(naive.run([made], facts)[1] for facts in worlds)
        return
    tests = [*clause.wants, *clause.refuses]
    for name, value in possible:
        assert sum(test.name == name and test.admits(value) for test in tests) <= 1
    for facts in worlds:
        met = [any(t.name == n and t.admits(v) for n, v in facts) for t in tests]
        holds = all(met[:len(clause.wants)]) and not any(met[len(clause.wants):])
        assert holds == bool(naive.run([made], facts)[1])
