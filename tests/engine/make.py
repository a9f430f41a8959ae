"""Short ways to write rules, and to run code that may crash or leak in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from diagnose.engine import Engine, EngineRule, Fact, NameTest

ROOT = Path(__file__).parents[2]


def has(name: str, *values: str) -> NameTest:
    """The name has one of the values; without values, the name is known."""
    return NameTest(name, frozenset(values) if values else None)


def rule(name: str, *wants: NameTest, none: Iterable[NameTest] = (), then: Fact | None = None) -> EngineRule:
    """A rule; without `then` it concludes that it fired."""
    return EngineRule(name, tuple(wants), tuple(none), then or (f"fired {name}", "yes"))


def fired(engine: Engine, *facts: Fact) -> list[str]:
    """Names of the rules that fire on the facts, sorted."""
    return sorted(firing.rule for firing in engine.run(facts).fired)


def apart(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run Python with the arguments from the project's root and return how it ended."""
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.run([sys.executable, *arguments], capture_output=True, text=True,
                          cwd=ROOT, env=environment, timeout=120)
