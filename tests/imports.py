"""What each module of the program imports, wherever in it and if only for its types."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
Graph = dict[str, set[str]]


@cache
def graph() -> Graph:
    """Each module of the program to those that it imports, all without the leading `diagnose.`.

    A package's own module (`__init__.py`) has the package's name; the program's has none.
    """
    files = {_name(path): path for path in (ROOT / "diagnose").rglob("*.py")}
    return {name: {found for found in _imported(path, files.keys()) if found != name}
            for name, path in files.items()}


def _name(path: Path) -> str:
    parts = path.relative_to(ROOT / "diagnose").with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _imported(path: Path, known: Iterable[str]) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            assert not [a for a in node.names if a.name.startswith("diagnose.")], path
        elif isinstance(node, ast.ImportFrom):
            around = path.relative_to(ROOT).parts[:-node.level] if node.level else ()
            first, *rest = (*around, *filter(None, (node.module or "").split(".")))
            if first == "diagnose":
                for alias in node.names:
                    inner = ".".join([*rest, alias.name])
                    yield inner if inner in known else ".".join(rest)


def closure(module: str, found: Graph) -> set[str]:
    """All modules that a module rests on, itself among them."""
    seen: set[str] = set()
    waiting = [module]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting += found[name]
    return seen


def package(module: str) -> str:
    """The package at the top that a module belongs to; a module at the top is its own."""
    return module.partition(".")[0]
