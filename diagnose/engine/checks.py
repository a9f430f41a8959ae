"""What may enter the engine: short, clean text of the right type."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.engine.errors import EngineError
from diagnose.engine.rule import EngineRule, Fact, NameTest

LONGEST = 999
"""Characters in a name or value; far under the 65,535 bytes at which the library miscounts."""


def shown(value: object) -> str:
    """The value as a message may show it: quoted, on one line, cut when long."""
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def check_text(text: object, what: str) -> None:
    """Refuse what is not text, empty text, overlong text, NUL and lone surrogates.

    NUL is kept for the engine's own facts, so no name of the book can meet them.
    """
    if not isinstance(text, str):
        raise EngineError(f"{what} must be text, not {type(text).__name__}: {shown(text)}")
    if not text:
        raise EngineError(f"{what} is empty")
    if len(text) > LONGEST:
        raise EngineError(f"{what} has {len(text)} characters, at most {LONGEST} are taken: {shown(text)}")
    if "\0" in text:
        raise EngineError(f"{what} holds a NUL character: {shown(text)}")
    if not text.isascii() and any("\ud800" <= letter <= "\udfff" for letter in text):
        raise EngineError(f"{what} holds half a character (a lone surrogate): {shown(text)}")


def check_fact(fact: object) -> Fact:
    """Return `fact` when it is a name and a value, both clean text; raise EngineError otherwise."""
    if not (isinstance(fact, tuple) and len(fact) == 2):
        raise EngineError(f"a fact is a name and a value, not {shown(fact)}")
    name, value = fact
    check_text(name, "the name of a fact")
    check_text(value, f"the value of {shown(name)}")
    return name, value


def check_rules(rules: Iterable[EngineRule]) -> tuple[EngineRule, ...]:
    """Return the rules when every one is well formed and named once; raise EngineError otherwise."""
    taken = tuple(rules)
    names: set[str] = set()
    for rule in taken:
        check_text(rule.name, "the name of a rule")
        if rule.name in names:
            raise EngineError(f"two rules are named {shown(rule.name)}: give each a name of its own")
        names.add(rule.name)
        _check_rule(rule)
    return taken


def _check_rule(rule: EngineRule) -> None:
    try:
        check_fact(rule.then)
        for pattern in (*rule.all, *rule.none):
            _check_pattern(pattern)
    except EngineError as error:
        raise EngineError(f"rule {shown(rule.name)}: {error}") from None


def _check_pattern(pattern: NameTest) -> None:
    check_text(pattern.name, "the name in a condition")
    if pattern.values is None:
        return
    if not isinstance(pattern.values, (frozenset, set)):
        raise EngineError(f"the values of {shown(pattern.name)} must be a set or None, "
                          f"not {shown(pattern.values)}")
    if not pattern.values:
        raise EngineError(f"the condition on {shown(pattern.name)} allows no value, so it can never hold")
    for value in pattern.values:
        check_text(value, f"a value of {shown(pattern.name)}")
