"""Rules and facts as the engine takes them: words only, no numbers and no units."""

from __future__ import annotations

from typing import NamedTuple

import msgspec

Fact = tuple[str, str]
"""A name and one of the values it holds; a name may hold several values at once."""


class NameTest(NamedTuple):
    """A test on one name: it holds when some fact of that name has one of the values."""

    name: str
    values: frozenset[str] | None
    """The values that will do; None: any value will do, the name need only be known."""


class EngineRule(msgspec.Struct, frozen=True):
    """What must hold, what must not, and what follows.

    Two patterns of `all` on the same name speak of the same fact: one fact must satisfy both.
    """

    name: str
    all: tuple[NameTest, ...]
    """Every one must hold."""
    none: tuple[NameTest, ...]
    """None may hold; with values None: the name must be unknown."""
    then: Fact
    """The fact concluded."""
