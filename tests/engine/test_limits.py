"""The library's limits: at each and beyond, the answer is right or refused in plain words.

Every test here compiles a large book, and what is compiled is never quite freed, so each runs in a
process of its own.
"""

from __future__ import annotations

import multiprocessing
import traceback
from collections.abc import Callable

import pytest

from diagnose.engine import Engine, EngineError
from diagnose.engine.layout import MOST_VALUES
from tests.engine.make import fired, has, rule


def names(count: int) -> None:
    """The library branches 511 ways at one place, and hangs at the 513th."""
    engine = Engine([rule(f"r{i}", has(f"n{i}", "v")) for i in range(count)])
    for i in {0, 63, 64, count // 2, count - 1}:
        assert fired(engine, (f"n{i}", "v"), (f"n{i + 1}", "w")) == [f"r{i}"]
    assert len(fired(engine, *((f"n{i}", "v") for i in range(count)))) == count


def values(count: int) -> None:
    """The same branching, at the values of one name."""
    engine = Engine([rule(f"r{i}", has("n", f"v{i}")) for i in range(count)])
    for i in {0, count // 2, count - 1}:
        assert fired(engine, ("n", f"v{i}"), ("n", "other")) == [f"r{i}"]
    assert len(fired(engine, *(("n", f"v{i}") for i in range(count)))) == count


def sharing(count: int) -> None:
    """Rules that share one test: the library crashes at 256."""
    engine = Engine([rule(f"r{i}", has("n", "v")) for i in range(count)])
    assert len(fired(engine, ("n", "v"))) == count
    assert fired(engine, ("n", "w")) == []


def sharing_in_joins(count: int) -> None:
    """The same, where the test is one of two."""
    engine = Engine([rule(f"r{i}", has("n", "v"), has("m", f"v{i % 7}")) for i in range(count)])
    assert len(fired(engine, ("n", "v"), ("m", "v3"))) == len(range(3, count, 7))
    assert fired(engine, ("m", "v3")) == []


def sharing_known(count: int) -> None:
    """The same, for "known", for "unknown" and for "anything but"."""
    rules = [rule(f"known {i}", has("n")) for i in range(count)]
    rules += [rule(f"unknown {i}", has("m"), none=[has("n")]) for i in range(count)]
    rules += [rule(f"other {i}", has("n"), none=[has("n", "v")]) for i in range(count)]
    engine = Engine(rules)
    assert len(fired(engine, ("m", "x"))) == count
    assert len(fired(engine, ("n", "w"), ("m", "x"))) == 2 * count
    assert len(fired(engine, ("n", "v"), ("m", "x"))) == count


def sharing_a_choice(count: int) -> None:
    """Rules that share a test for one of several values, which the library copies for each."""
    engine = Engine([rule(f"r{i}", has("n", "v", "w")) for i in range(count)])
    assert len(fired(engine, ("n", "w"))) == count
    assert len(fired(engine, ("n", "w"), ("n", "v"), ("n", "u"))) == count


def gated(count: int) -> None:
    """Rules behind one gate, and rules with nothing but a negation."""
    rules = [rule(f"r{i}", has("n", "v"), none=[has(f"x{i % 5}")]) for i in range(count)]
    rules += [rule(f"bare {i}", none=[has(f"x{i % 5}")]) for i in range(count)]
    engine = Engine(rules)
    for _ in range(2):
        assert len(fired(engine, ("n", "v"))) == 2 * count
        assert len(fired(engine, ("n", "v"), ("x0", "1"))) == 2 * (count - len(range(0, count, 5)))


def true_at_once(count: int) -> None:
    """Different tests that one fact meets: the library takes 64."""
    rules = [rule(f"r{i}", has("n", "v", f"w{i}")) for i in range(count)]
    rules += [rule(f"not {i}", has("n"), none=[has("n", f"w{i}")]) for i in range(count)]
    engine = Engine(rules)
    for _ in range(2):
        assert len(fired(engine, ("n", "v"))) == 2 * count
        assert len(fired(engine, ("n", "w0"))) == count


def taken_back(count: int) -> None:
    """Facts taken back once a rule of many conditions has fired: the library reads past what it holds."""
    facts = [(f"n{i}", "v") for i in range(count)]
    for _ in range(30):
        engine = Engine([rule("plain", *(has(*fact) for fact in facts)),
                         rule("guarded", *(has(*fact) for fact in facts), none=[has("x")])])
        assert fired(engine, *facts) == ["guarded", "plain"]
        assert fired(engine, *facts[1:]) == fired(engine, *facts[:-1]) == []
        assert fired(engine, *facts, ("x", "1")) == ["plain"]


def joined(count: int) -> None:
    """Conditions in one rule: the library joins 16 facts."""
    wants = [has(f"n{i}", "v") for i in range(count)]
    refused = [has(f"x{i}") for i in range(count)]
    engine = Engine([rule("plain", *wants), rule("guarded", *wants, none=refused)])
    facts = [(f"n{i}", "v") for i in range(count)]
    outcome = engine.run(facts)
    assert {firing.rule: firing.on for firing in outcome.fired} == {
        "plain": tuple(facts), "guarded": tuple(facts)}
    assert outcome.facts == {*facts, ("fired plain", "yes"), ("fired guarded", "yes")}
    assert fired(engine, *facts[:-1]) == []
    assert fired(engine, *facts[1:]) == []
    assert fired(engine, *facts, (f"x{count - 1}", "1")) == ["plain"]


def rules_in_all(count: int) -> None:
    """Rules in one ruleset: the library takes 4,096; here in a chain, so that rulesets must talk."""
    rules = [rule(f"r{i}", has(f"n{i % 900}", f"v{i}"), then=(f"n{(i + 1) % 900}", f"v{i + 1}"))
             for i in range(count)]
    engine = Engine(rules)
    outcome = engine.run([(f"n{(count - 150) % 900}", f"v{count - 150}")])
    assert len(outcome.fired) == 150
    assert len(engine.run([("n0", "v0"), ("n1", "v1")]).fired) == count


CASES = [(names, 510), (names, 511), (names, 512), (names, 513), (names, 1500),
         (values, 511), (values, 512), (values, 513), (values, 1500),
         (sharing, 255), (sharing, 256), (sharing, 257), (sharing, 1000),
         (sharing_in_joins, 255), (sharing_in_joins, 258), (sharing_in_joins, 1000),
         (sharing_known, 255), (sharing_known, 258), (sharing_known, 600),
         (sharing_a_choice, 56), (sharing_a_choice, 57), (sharing_a_choice, 300),
         (gated, 239), (gated, 241), (gated, 257), (gated, 600),
         (true_at_once, 28), (true_at_once, 33), (true_at_once, 65), (true_at_once, 200),
         (joined, 13), (joined, 14), (joined, 15), (joined, 16), (joined, 17), (joined, 60),
         (taken_back, 3), (taken_back, 4), (taken_back, 5), (taken_back, 6), (taken_back, 8),
         (rules_in_all, 4000), (rules_in_all, 4097), (rules_in_all, 8200)]


def _inside(check: Callable[[int], None], count: int, pipe) -> None:
    try:
        check(count)
        pipe.send("")
    except BaseException:
        pipe.send(traceback.format_exc())


@pytest.mark.parametrize(("check", "count"), CASES, ids=lambda value: getattr(value, "__name__", None))
def test_at_and_beyond_the_limit(check, count):
    context = multiprocessing.get_context("fork")
    here, there = context.Pipe()
    process = context.Process(target=_inside, args=(check, count, there))
    process.start()
    there.close()
    try:
        assert here.poll(60), "it hangs"
        assert here.recv() == ""
    except EOFError:
        pytest.fail("it crashed")
    finally:
        process.kill()
        process.join()


def test_a_condition_may_list_many_values():
    many = [f"v{i}" for i in range(MOST_VALUES)]
    engine = Engine([rule("in", has("n", *many)), rule("out", has("n"), none=[has("n", *many)])])
    assert fired(engine, ("n", many[-1])) == ["in"]
    assert fired(engine, ("n", "other")) == ["out"]


def test_a_condition_with_too_many_values_is_refused():
    many = [f"v{i}" for i in range(MOST_VALUES + 1)]
    with pytest.raises(EngineError, match="a condition on 'n' lists more than 480 values"):
        Engine([rule("in", has("n", *many))])


def test_too_many_names_are_refused(monkeypatch):
    monkeypatch.setattr("diagnose.engine.layout.MOST_KEYS", 3)
    engine = Engine([rule("r", has("a"), has("b"), has("c"))])
    assert fired(engine, ("a", "1"), ("b", "1"), ("c", "1")) == ["r"]
    with pytest.raises(EngineError, match="more than 3 names"):
        Engine([rule("r", has("a"), has("b"), has("c"), has("d"))])


def test_too_many_facts_at_once_are_refused(monkeypatch):
    monkeypatch.setattr("diagnose.engine.ruleset.MOST_HELD", 5)
    engine = Engine([rule("r", has("n"))])
    with pytest.raises(EngineError, match="more than 5 facts at once"):
        engine.run([("n", str(i)) for i in range(6)])
    assert fired(engine, *(("n", str(i)) for i in range(5))) == ["r"]


def test_facts_that_collide_in_the_librarys_hash_are_told_apart():
    """The library takes these two for one fact when it names them itself."""
    one, other = ("q429", "w20369"), ("q905", "w48761")
    engine = Engine([rule("one", has(*one)), rule("other", has(*other)),
                     rule("both", has(*one), has(*other))])
    assert fired(engine, one) == ["one"]
    assert fired(engine, one, other) == ["both", "one", "other"]
    assert fired(engine, other) == ["other"]
