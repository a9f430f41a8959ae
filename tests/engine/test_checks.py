"""What may not enter, each refused with one plain line."""

from __future__ import annotations

import pytest

from diagnose.engine import Engine, EngineError, EngineRule, NameTest
from tests.engine.make import fired, has, rule

BAD_TEXT = [("", "is empty"), (None, "must be text, not NoneType"), (17, "must be text, not int"),
            (True, "must be text, not bool"), (b"x", "must be text, not bytes"),
            (["x"], "must be text, not list"),
            ("x" * 1000, "has 1000 characters, at most 999"), ("x\0y", "holds a NUL character"),
            ("x\ud800", "lone surrogate"), ("\udfffé", "lone surrogate")]


def refusal(act, *arguments) -> str:
    with pytest.raises(EngineError) as caught:
        act(*arguments)
    assert "\n" not in str(caught.value)
    return str(caught.value)


@pytest.mark.parametrize(("text", "why"), BAD_TEXT)
def test_facts_of_anything_but_clean_text_are_refused_and_the_engine_goes_on(text, why):
    engine = Engine([rule("r", has("n"))])
    if not isinstance(text, list):
        assert why in refusal(engine.run, [("n", "1"), (text, "v")])
    assert why in refusal(engine.run, [("n", text)])
    assert fired(engine, ("n", "1")) == ["r"]


@pytest.mark.parametrize("fact", ["ab", ("n",), ("n", "v", "w"), None, ["n", "v"], 3])
def test_a_fact_must_be_a_name_and_a_value(fact):
    assert "a fact is a name and a value" in refusal(Engine([]).run, [fact])


@pytest.mark.parametrize(("text", "why"), BAD_TEXT)
def test_rules_of_anything_but_clean_text_are_refused(text, why):
    hashable = not isinstance(text, list)
    assert why in refusal(Engine, [EngineRule("r", (), (), ("n", text))])
    assert why in refusal(Engine, [EngineRule("r", (NameTest(text, None),), (), ("n", "v"))])
    assert why in refusal(Engine, [EngineRule(text, (), (), ("n", "v"))])
    if hashable:
        assert why in refusal(Engine, [EngineRule("r", (), (NameTest("n", frozenset([text])),), ("n", "v"))])


def test_the_refusal_names_the_rule():
    rule = EngineRule("flows", (), (), ("n", ""))
    assert refusal(Engine, [rule]) == "rule 'flows': the value of 'n' is empty"


def test_values_must_be_a_set():
    rule = EngineRule("r", (NameTest("n", "fast"),), (), ("m", "v"))
    assert "must be a set or None" in refusal(Engine, [rule])


def test_a_condition_that_allows_nothing_is_refused():
    rule = EngineRule("r", (NameTest("n", frozenset()),), (), ("m", "v"))
    assert "allows no value" in refusal(Engine, [rule])


def test_two_rules_of_one_name_are_refused():
    assert "two rules are named 'r'" in refusal(Engine, [rule("r", has("a")), rule("r", has("b"))])


ODD_TEXT = ['"', "\\", "\\u0000", "a\nb", "{}", "😀", "é", "e\u0301", " ", "$and", "0", "true", "x" * 999]


@pytest.mark.parametrize("text", ODD_TEXT)
def test_odd_but_clean_text_is_taken_as_it_is(text):
    engine = Engine([rule(text, has(text, text), then=(text, "1")),
                     rule("not", has("m"), none=[has(text, text)])])
    assert fired(engine, (text, text), ("m", "1")) == [text]
    assert fired(engine, (text, text + "x" if len(text) < 999 else "y"), ("m", "1")) == ["not"]
