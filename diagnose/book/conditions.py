"""The condition language: read, check against the names of the book, bring to alternatives.

A condition is read into a tree of tests. Two questions can be put to it: when does it
hold (`holds`), and when is it known to fail (`fails`, Kleene's strong logic: every name
it hangs on has been observed). Both come back as alternatives, each a set of literals,
which is what the rule engine takes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from itertools import product
from math import prod
from typing import Any, NamedTuple

import msgspec

MOST_ALTERNATIVES = 96
_COMPARE = re.compile(r"(<=|>=|<|>)\s*(.+)")
_BETWEEN = re.compile(r"between\s+(.+?)\s+and\s+(.+)")


class ConditionError(ValueError):
    """A condition that can't be read or does not fit the book: one plain line."""


class Literal(NamedTuple):
    """A test on one name: it has (or has not) one of these values; None: any value."""

    name: str
    values: frozenset[str] | None
    holds: bool


Alternative = frozenset[Literal]


class Test(msgspec.Struct, frozen=True):
    """One name tested: against words, or by comparing with thresholds (operator, text)."""

    name: str
    words: tuple[str, ...] = ()
    bounds: tuple[tuple[str, str], ...] = ()


class Known(msgspec.Struct, frozen=True):
    """The name has some value."""

    name: str


class Not(msgspec.Struct, frozen=True):
    """The part does not hold (it fails, or is not known)."""

    part: Node


class Every(msgspec.Struct, frozen=True):
    """All parts hold."""

    parts: tuple[Node, ...]


class Some(msgspec.Struct, frozen=True):
    """At least one part holds."""

    parts: tuple[Node, ...]


Node = Test | Known | Not | Every | Some
Select = Callable[[Test], tuple[frozenset[str], frozenset[str], bool]]
"""A test to the values that satisfy it, those that don't, and whether a name has one value."""


def read(data: Any) -> Node:
    """Read a condition's plain data; ConditionError says what is wrong in it."""
    if not isinstance(data, dict) or not data:
        raise ConditionError("a condition is a map such as {name: value}")
    return _join(Every, [_item(key, value) for key, value in data.items()])


def _item(key: str, value: Any) -> Node:
    if key in ("all", "any", "none"):
        parts = [read(part) for part in _parts(key, value)]
        if key == "none":
            return _join(Every, [Not(part) for part in parts])
        return _join(Every if key == "all" else Some, parts)
    if key in ("known", "unknown"):
        names = [value] if isinstance(value, str) else value
        if not isinstance(names, list) or not all(isinstance(n, str) for n in names) or not names:
            raise ConditionError(f"`{key}` takes a name or a list of names")
        return _join(Every, [Known(name) if key == "known" else Not(Known(name)) for name in names])
    return _test(key, value)


def _parts(key: str, value: Any) -> list[Any]:
    if isinstance(value, dict) and value:
        return [{name: test} for name, test in value.items()]
    if isinstance(value, list) and value:
        return value
    raise ConditionError(f"`{key}` takes a list of conditions")


def _test(name: str, value: Any) -> Test:
    if isinstance(value, list) and value and all(isinstance(v, str) for v in value):
        return Test(name, words=tuple(value))
    if not isinstance(value, str) or not value:
        raise ConditionError(f"{name}: a word, a list of words, or a comparison is wanted")
    if found := _BETWEEN.fullmatch(value):
        return Test(name, bounds=((">=", found[1]), ("<=", found[2])))
    if found := _COMPARE.fullmatch(value):
        return Test(name, bounds=((found[1], found[2]),))
    return Test(name, words=(value,))


def _join(kind: type[Every] | type[Some], parts: list[Node]) -> Node:
    return parts[0] if len(parts) == 1 else kind(tuple(parts))


def sufficient_tests(node: Node) -> Iterator[Test]:
    """The tests of which each meets a condition, as far as what must hold with it is nothing."""
    match node:
        case Test():
            yield node
        case Some(parts):
            for part in parts:
                yield from sufficient_tests(part)
        case Every(parts):
            wanted = [part for part in parts if not isinstance(part, Not)]
            if len(wanted) == 1:
                yield from sufficient_tests(wanted[0])


def facts(node: Node) -> Iterator[tuple[str, str]]:
    """The names with the words that a condition asks for, those apart that it only rules out."""
    if isinstance(node, Test):
        yield from ((node.name, word) for word in node.words)
    elif isinstance(node, Every | Some):
        for part in node.parts:
            yield from facts(part)


def tests(node: Node) -> Iterable[Test | Known]:
    """Every test in a condition."""
    if isinstance(node, Test | Known):
        yield node
    elif isinstance(node, Not):
        yield from tests(node.part)
    else:
        for part in node.parts:
            yield from tests(part)


def names(node: Node) -> frozenset[str]:
    """The names a condition hangs on."""
    return frozenset(test.name for test in tests(node))


def spread(node: Node, how: str = "holds") -> int:
    """How many alternatives the engine would have to try for a condition to hold (or, for
    `fails` and `absent`, not to); ConditionError where they are too many.

    Counts without building them, as `holds` and `fails` would.
    """
    match node:
        case Test() | Known():
            return 1
        case Not(part):
            return spread(part, "absent" if how == "holds" else "holds")
        case Every(parts) | Some(parts):
            counts = [spread(part, how) for part in parts]
            if isinstance(node, Some) == (how == "holds"):
                return sum(counts)
            if (size := prod(counts)) > MOST_ALTERNATIVES:
                raise _too_wide()
            return size
    raise TypeError(node)


def _too_wide() -> ConditionError:
    return ConditionError(
        f"spreads into more than {MOST_ALTERNATIVES} alternatives; split it into findings")


def holds(node: Node, select: Select) -> tuple[Alternative, ...]:
    """The alternatives under which the condition holds."""
    return _alternatives(_holds(node, select))


def fails(node: Node, select: Select) -> tuple[Alternative, ...]:
    """The alternatives under which the condition is known to fail."""
    return _alternatives(_fails(node, select))


_Form = list[list[Literal]]


def _holds(node: Node, select: Select) -> _Form:
    match node:
        case Test():
            return [[Literal(node.name, select(node)[0], True)]]
        case Known():
            return [[Literal(node.name, None, True)]]
        case Not():
            return _absent(node.part, select)
        case Every():
            return _both([_holds(part, select) for part in node.parts])
        case Some():
            return [form for part in node.parts for form in _holds(part, select)]


def _absent(node: Node, select: Select) -> _Form:
    match node:
        case Test():
            return [[Literal(node.name, select(node)[0], False)]]
        case Known():
            return [[Literal(node.name, None, False)]]
        case Not():
            return _holds(node.part, select)
        case Every():
            return [form for part in node.parts for form in _absent(part, select)]
        case Some():
            return _both([_absent(part, select) for part in node.parts])


def _fails(node: Node, select: Select) -> _Form:
    match node:
        case Test():
            inside, outside, single = select(node)
            other = Literal(node.name, outside, True)
            return [[other] if single else [other, Literal(node.name, inside, False)]]
        case Known():
            return [[Literal(node.name, None, False)]]
        case Not():
            return _holds(node.part, select)
        case Every():
            return [form for part in node.parts for form in _fails(part, select)]
        case Some():
            return _both([_fails(part, select) for part in node.parts])


def _both(forms: list[_Form]) -> _Form:
    size = 1
    for form in forms:
        size *= max(1, len(form))
        if size > MOST_ALTERNATIVES:
            raise _too_wide()
    return [[literal for part in parts for literal in part] for parts in product(*forms)]


def _alternatives(form: _Form) -> tuple[Alternative, ...]:
    """Fold tests on one name, drop what can't hold and what a weaker alternative covers."""
    folded = dict.fromkeys(a for literals in form if (a := _folded(literals)) is not None)
    return tuple(a for a in folded if not any(b < a for b in folded)) if len(folded) > 1 else tuple(folded)


def _folded(literals: list[Literal]) -> Alternative | None:
    """The tests, one for each name; None where no value meets them. Mostly each name is tested once."""
    if len(literals) == 1 or len({name for name, _, _ in literals}) == len(literals):
        return None if any(wanted and values == frozenset() for _, values, wanted in literals) \
            else frozenset(literals)
    return _fold(literals)


def _fold(literals: list[Literal]) -> Alternative | None:
    kept: dict[str, frozenset[str] | None] = {}
    refused: dict[str, frozenset[str] | None] = {}
    for name, values, wanted in literals:
        side = kept if wanted else refused
        if name not in side:
            side[name] = values
        elif wanted:
            side[name] = _meet(side[name], values)
        else:
            old = side[name]
            side[name] = None if old is None or values is None else old | values
    for name, values in kept.items():
        no = refused.get(name, frozenset())
        if values == frozenset() or no is None:
            return None
        if values is not None and not (values := values - no):
            return None
        kept[name] = values
    return frozenset(Literal(n, v, True) for n, v in kept.items()) | frozenset(
        Literal(n, v, False) for n, v in refused.items())


def _meet(a: frozenset[str] | None, b: frozenset[str] | None) -> frozenset[str] | None:
    if a is None:
        return b
    return a if b is None else a & b
