"""No module of these rooms imports itself through others, not even for its types."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def imports(room: str) -> dict[str, set[str]]:
    """Each module of a room to those of the same room that it imports, wherever in it."""
    files = {p.stem: p for p in (ROOT / room).glob("*.py") if p.stem != "__init__"}
    return {name: {n for n in _imported(path, room.replace("/", ".")) if n in files}
            for name, path in files.items()}


def _imported(path: Path, package: str) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module == package:
            yield from (a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.startswith(package + "."):
            yield node.module.removeprefix(package + ".")


@pytest.mark.parametrize("room", ["diagnose/consult", "diagnose/kb/lint", "diagnose/ui"])
def test_a_room_has_no_circle_of_imports(room: str) -> None:
    found = imports(room)
    assert any(found.values())
    order = list(TopologicalSorter(found).static_order())  # raises CycleError, naming the circle
    assert set(order) == set(found)


def test_the_stages_know_nothing_of_the_session_that_puts_them_together() -> None:
    found = imports("diagnose/consult")
    assert {"stages", "placing", "parting", "sitting"} <= found["session"]
    assert [name for name, others in found.items() if "session" in others] == []
