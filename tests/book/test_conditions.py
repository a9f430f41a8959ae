"""Conditions against a tiny direct evaluator of Kleene's strong logic, and their bands and names.

Kleene, "Introduction to Metamathematics", 1952, section 64: a conjunction fails when one part
fails and holds when all hold; with an unknown part it may be neither. From memory.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.book import conditions
from diagnose.book.bands import Bands
from diagnose.book.conditions import ConditionError, Every, Known, Node, Not, Some
from diagnose.book.problems import nearest
from tests.book.small import SMALL, book_of

DOMAIN = {"a": ("x", "y", "z"), "b": ("x", "y", "z"), "c": ("x", "y", "z")}


def _select(test: conditions.Test) -> tuple[frozenset[str], frozenset[str], bool]:
    inside = frozenset(test.words)
    return inside, frozenset(DOMAIN[test.name]) - inside, True


def kleene(node: Node, known: dict[str, str]) -> bool | None:
    """True, False, or None where what is known decides neither."""
    match node:
        case conditions.Test(name, words):
            return known[name] in words if name in known else None
        case Known(name):
            return name in known
        case Not(part):
            return kleene(part, known) is not True     # absence: known to fail, or not known
        case Every(parts):
            found = [kleene(part, known) for part in parts]
            return False if False in found else None if None in found else True
        case Some(parts):
            found = [kleene(part, known) for part in parts]
            return True if True in found else None if None in found else False
    raise TypeError(node)


_names = st.sampled_from(sorted(DOMAIN))
_leaf = st.one_of(
    st.builds(lambda n, w: {n: w}, _names, st.lists(st.sampled_from("xyz"), min_size=1, max_size=2,
                                                    unique=True)),
    st.builds(lambda n: {"known": n}, _names), st.builds(lambda n: {"unknown": n}, _names))
_data = st.recursive(_leaf, lambda inner: st.builds(
    lambda key, parts: {key: parts}, st.sampled_from(["all", "any", "none"]),
    st.lists(inner, min_size=1, max_size=3)), max_leaves=7)
_known = st.dictionaries(_names, st.sampled_from("xyz"))


def _met(alternatives: tuple[conditions.Alternative, ...], known: dict[str, str]) -> bool:
    return any(all((known.get(n) in v if v is not None else n in known) == wanted
                   for n, v, wanted in alternative) for alternative in alternatives)


@settings(max_examples=400)
@given(_data, _known)
def test_alternatives_hold_when_the_condition_does(data: dict[str, Any], known: dict[str, str]) -> None:
    node = conditions.read(data)
    try:
        held = conditions.holds(node, _select)
    except ConditionError:
        return
    assert _met(held, known) == (kleene(node, known) is True)


@settings(max_examples=400)
@given(_data, _known)
def test_alternatives_fail_when_the_condition_is_known_to(data: dict[str, Any], known: dict[str, str]
                                                          ) -> None:
    node = conditions.read(data)
    try:
        failed = conditions.fails(node, _select)
    except ConditionError:
        return
    assert _met(failed, known) == (kleene(node, known) is False)


@given(_data)
def test_no_alternative_covers_another(data: dict[str, Any]) -> None:
    try:
        held = conditions.holds(conditions.read(data), _select)
    except ConditionError:
        return
    assert len(set(held)) == len(held) and not any(a < b for a in held for b in held)


@settings(max_examples=300)
@given(_data, st.sampled_from(["holds", "fails"]))
def test_the_count_refuses_what_the_spreading_refuses(data: dict[str, Any], how: str) -> None:
    node = conditions.read(data)

    def refused(call: Any) -> bool:
        try:
            call()
        except ConditionError:
            return True
        return False

    spreading = {"holds": conditions.holds, "fails": conditions.fails}[how]
    assert refused(lambda: conditions.spread(node, how)) == refused(lambda: spreading(node, _select))


def test_a_circle_of_a_hundred_thousand_alternatives_is_refused_at_once() -> None:
    wide = {"all": [{"any": [{"a": "x"}, {"b": "y"}, {"c": "z"}]} for _ in range(200)]}
    with pytest.raises(ConditionError, match="more than 96"):
        conditions.spread(conditions.read(wide))


@pytest.mark.parametrize("data", [
    None, [], {}, "a", 3, {"any": "a"}, {"any": []}, {"all": {}}, {"none": None}, {"known": {}},
    {"unknown": []}, {"known": [["a"]]}, {"a": None}, {"a": ""}, {"a": []}, {"a": [["x"]]}, {"a": {"b": "x"}},
    {"any": ["a"]},
])
def test_what_is_no_condition_is_refused(data: Any) -> None:
    with pytest.raises(ConditionError):
        conditions.read(data)


@pytest.mark.parametrize(("text", "bounds"), [
    ("< 20 s", (("<", "20 s"),)), (">=3", ((">=", "3"),)), ("<= target.x.low", (("<=", "target.x.low"),)),
    ("between 20 s and 30 s", ((">=", "20 s"), ("<=", "30 s"))), ("beans", ()), ("=20", ()),
])
def test_comparisons(text: str, bounds: tuple[tuple[str, str], ...]) -> None:
    node = conditions.read({"a": text})
    assert isinstance(node, conditions.Test) and node.bounds == bounds and bool(node.words) != bool(bounds)


# Bands: a band stands for exactly the numbers that compare alike with every threshold.

_numbers = st.floats(-1e6, 1e6).map(lambda x: round(x, 3))


@given(st.lists(_numbers, min_size=1, max_size=8), _numbers, st.sampled_from(["<", "<=", ">", ">="]),
       st.data())
def test_a_band_is_selected_when_its_numbers_compare(points: list[float], value: float, sign: str,
                                                     data: st.DataObject) -> None:
    bands = Bands(points)
    point = data.draw(st.sampled_from(points))
    value = data.draw(st.sampled_from([value, *points]))
    true = {"<": value < point, "<=": value <= point, ">": value > point, ">=": value >= point}[sign]
    assert (bands.of(value) in bands.select(sign, point)) == true


@given(st.lists(_numbers, max_size=8), _numbers)
def test_a_number_lies_within_the_limits_of_its_band(points: list[float], value: float) -> None:
    bands = Bands(points)
    low, high = bands.limits(bands.of(value))
    assert low <= value <= high and (low == high == value or low < value < high)


def test_bands_without_thresholds() -> None:
    assert Bands([]).words == ("b0",) and Bands([]).limits("b0") == (-math.inf, math.inf)


# Names.

def test_a_target_is_read_in_the_unit_compared() -> None:
    names = book_of(SMALL).names
    assert names.threshold("shot_time", "0.5 min") == 30 and names.threshold("shot_time", "0:20") == 20
    assert names.threshold("shot_time", "target.shot_time.high") == 32
    assert names.target("target.shot_time") == (29, "s")


@pytest.mark.parametrize("text", ["target.shot_tim", "target.shot_time.mid", "target", "target.a.b.c",
                                  "20 g", "nan", "soon", "1e400"])
def test_what_is_no_threshold(text: str) -> None:
    with pytest.raises(ConditionError):
        book_of(SMALL).names.threshold("shot_time", text)


def test_nearest_names_something_like_it_or_nothing() -> None:
    assert nearest("shot_tme", ["shot_time", "dose"]) == "; did you mean 'shot_time'?"
    assert nearest("qqqq", ["shot_time", "dose"]) == "" and nearest("x", []) == ""
