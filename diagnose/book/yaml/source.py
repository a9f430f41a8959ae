"""Strict YAML: text in, plain maps, lists and words out, with the place of every value.

Scalars stay text (YAML readers disagree on `no`, `012` and `1:30`), keys are unique,
anchors, aliases and tags are refused before anything is built, and nesting has an end.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml
from yaml import events as ev

from diagnose.book.problems import KnowledgeError, Place, Problem
from diagnose.errors import UserError
from diagnose.storage import bounded

DEPTH = 16
LARGEST = 4_000_000
KeyPath = tuple[str, ...]
"""The keys down to a place of a file, or of the book that files make."""
_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Tree:
    """A file's content (`data`) and where each value stands (`places`, by path of keys)."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.data: Any = None
        self.places: dict[KeyPath, tuple[int, int]] = {}
        self.problems: list[Problem] = []

    def place(self, path: KeyPath) -> Place:
        """The place of a value, or of the nearest thing around it that has one."""
        while path and path not in self.places:
            path = path[:-1]
        return Place(self.name, *self.places.get(path, (1, 1)))


def read_file(path: Path, name: str | None = None) -> Tree:
    """Read one file; `name` is how problems call it.

    Raises KnowledgeError where the file can't be read or is no YAML at all.
    """
    name = name or str(path)
    try:
        text = bounded.read(path, LARGEST).decode("utf-8")
    except UserError:
        raise _error(name, f"file is larger than {LARGEST // bounded.MB} MB; split it") from None
    except OSError as error:
        raise _error(name, f"can't be read: {error.strerror}") from None
    except UnicodeDecodeError as error:
        raise _error(name, f"is not UTF-8 text (byte {error.start}); save it as UTF-8") from None
    return read_text(text, name)


def read_text(text: str, name: str) -> Tree:
    """Read YAML text; problems that leave the rest readable are kept in `problems`."""
    tree = Tree(name)
    try:
        stream = iter(yaml.parse(text, Loader=_Loader))
        _Builder(tree, stream).document()
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        what = getattr(error, "problem", None) or str(error).splitlines()[0]
        raise _error(name, f"is not readable as YAML: {what}", mark or _mark(text, error)) from None
    return tree


def _mark(text: str, error: yaml.YAMLError) -> yaml.Mark | None:
    """Where a character stands that YAML does not take; such errors only count characters."""
    at = getattr(error, "position", None)
    if at is None:
        return None
    return yaml.Mark("", at, text.count("\n", 0, at), at - text.rfind("\n", 0, at) - 1, None, None)


def _error(name: str, text: str, mark: Any = None) -> KnowledgeError:
    place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name, 1)
    return KnowledgeError([Problem(place, text)])


class _Builder:
    """Builds plain data from parse events, noting places as it goes."""

    def __init__(self, tree: Tree, stream: Iterator[Any]) -> None:
        self.tree, self.stream = tree, stream

    def document(self) -> None:
        for event in self.stream:
            if isinstance(event, ev.DocumentStartEvent):
                if self.tree.data is not None:
                    raise self._refuse(event, "a second document (---); one file holds one")
                self.tree.data = self.node(next(self.stream), ())
        if self.tree.data is None:
            raise _error(self.tree.name, "is empty")

    def node(self, event: Any, path: KeyPath) -> Any:
        if isinstance(event, ev.AliasEvent) or getattr(event, "anchor", None):
            raise self._refuse(event, "anchors (&) and aliases (*) are not read; write it out")
        if getattr(event, "tag", None) not in (None, "!"):
            raise self._refuse(event, f"tag {event.tag} is not read; leave it out")
        if len(path) > DEPTH:
            raise self._refuse(event, f"nested deeper than {DEPTH} levels")
        self.tree.places.setdefault(path, _at(event))
        if isinstance(event, ev.ScalarEvent):
            return event.value
        if isinstance(event, ev.SequenceStartEvent):
            return self._list(path)
        return self._map(path)

    def _list(self, path: KeyPath) -> list[Any]:
        items: list[Any] = []
        for event in self.stream:
            if isinstance(event, ev.SequenceEndEvent):
                break
            items.append(self.node(event, (*path, str(len(items)))))
        return items

    def _map(self, path: KeyPath) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for event in self.stream:
            if isinstance(event, ev.MappingEndEvent):
                break
            if not isinstance(event, ev.ScalarEvent) or event.anchor:
                raise self._refuse(event, "a key must be one plain word")
            key, here = event.value, (*path, event.value)
            if key in found:
                first = self.tree.places[here][0]
                self.tree.problems.append(
                    Problem(self._place(event), f"key {key!r} stands already in line {first}; "
                            "keep one"))
            else:
                self.tree.places[here] = _at(event)
            value = self.node(next(self.stream), here)
            found.setdefault(key, value)
        return found

    def _place(self, event: Any) -> Place:
        return Place(self.tree.name, *_at(event))

    def _refuse(self, event: Any, text: str) -> KnowledgeError:
        return KnowledgeError([Problem(self._place(event), text)])


def _at(event: Any) -> tuple[int, int]:
    return event.start_mark.line + 1, event.start_mark.column + 1
