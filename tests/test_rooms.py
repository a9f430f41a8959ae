"""The program's rooms stand in order: imports run from top to bottom, in no circle, on few levels."""

from __future__ import annotations

from graphlib import TopologicalSorter

import pytest

from tests.imports import Graph, graph, package

ORDER = ("", "errors", "storage", "compute", "book", "search", "reading", "engine", "reason", "case",
         "present", "dialogue", "learn", "notebook", "ui", "report", "house", "mail", "teach", "calc",
         "commands", "cli", "__main__")
"""The packages and modules at the top, each importing only those before it."""
MOST_LEVELS = 6


def folder(module: str) -> str:
    """The folder, whose parts are parted by dots, that a module stands in."""
    return module.rpartition(".")[0]


def modules() -> Graph:
    """The modules, packages apart: what a package's own module takes in is no level."""
    found = graph()
    packages = {folder(name) for name in found}
    return {name: others - packages for name, others in found.items() if name not in packages}


def levels(found: Graph) -> dict[str, int]:
    """How many modules stand under one another down from each; CycleError names a circle."""
    made: dict[str, int] = {}
    for name in TopologicalSorter(found).static_order():
        made[name] = 1 + max((made[other] for other in found[name]), default=0)
    return made


def inside(place: str) -> Graph:
    """The modules of one folder, with what they import of each other."""
    here = {name for name in modules() if folder(name) == place}
    return {name: modules()[name] & here for name in here}


def test_every_room_has_its_place() -> None:
    assert {package(name) for name in graph()} == set(ORDER)


def test_imports_run_from_top_to_bottom() -> None:
    at = {name: number for number, name in enumerate(ORDER)}
    wrong = [f"{name} imports {other}" for name, others in graph().items() for other in others
             if at[package(other)] > at[package(name)]]
    assert not wrong


def test_no_module_imports_itself_through_others() -> None:
    order = list(TopologicalSorter(graph()).static_order())  # raises CycleError, naming the circle
    assert set(order) == set(graph()) and len(order) > 150


def test_the_packages_inside_a_room_import_each_other_one_way() -> None:
    between: Graph = {}
    for name, others in graph().items():
        for other in others:
            if package(name) == package(other):
                ours, theirs = (".".join(m.split(".")[:2]) for m in (name, other))
                between.setdefault(ours, set()).update({theirs} - {ours})
    known = {name: others & between.keys() for name, others in between.items()}
    assert levels(known)


@pytest.mark.parametrize("place", sorted({folder(name) for name in modules()} - {""}))
def test_a_folder_has_few_levels(place: str) -> None:
    assert max(levels(inside(place)).values()) <= MOST_LEVELS


def test_nothing_else_of_the_dialogue_knows_the_session_that_puts_it_together() -> None:
    knowing = [name for name, others in graph().items()
               if package(name) == "dialogue" and "dialogue.session" in others]
    assert knowing == []
