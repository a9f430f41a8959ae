"""House files as text: entries put in and taken out without touching anything else.

A file is never written anew from its content: a new entry's own text is put after the last
one of its section, so comments, order and spacing stay as the owner left them.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from diagnose.book.model import SCHEMA
from diagnose.book.yaml.source import LARGEST
from diagnose.errors import UserError
from diagnose.storage import atomic, bounded, paths

WIDTH = 76


class Addition(NamedTuple):
    """One entry to be added: its section, its id (none for `retires`), its content."""

    kind: str
    id: str
    data: dict[str, Any]


class _Dumper(yaml.SafeDumper):
    def ignore_aliases(self, data: Any) -> bool:
        return True

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        super().increase_indent(flow, False)


def entry_text(addition: Addition, indent: int = 2) -> str:
    """The text of one entry, as it will stand in its section."""
    data: Any = {addition.id: addition.data} if addition.id else [addition.data]
    text = yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=WIDTH,
                     default_flow_style=None)
    lines = text.splitlines() if addition.id else [line[2:] if line.startswith("  ") else line
                                                   for line in text.splitlines()]
    return "".join(f"{' ' * indent}{line}\n" if line else "\n" for line in lines)


def head(title: str) -> str:
    """The beginning of a new house file."""
    return f"schema: {SCHEMA}\nchapter: house\ntitle: {title}\n"


def with_entries(text: str, additions: Iterable[Addition]) -> str:
    """The text of a file with entries added; UserError where there is no place for them."""
    ends = "\r\n" if "\r\n" in text else "\n"
    text = text.replace("\r\n", "\n")
    for addition in additions:
        text = _with_entry(text, addition)
    return text.replace("\n", ends)


def _with_entry(text: str, addition: Addition) -> str:
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    section = _section(text, addition.kind)
    if section is None:
        return "".join([*lines, "\n", f"{addition.kind}:\n", entry_text(addition)])
    if section.flow_style:
        raise UserError(f"line {section.start_mark.line + 1}: {addition.kind} stands in brackets; "
                        "write it one entry a line, then add again")
    at = _after(section, lines)
    entry = entry_text(addition, section.start_mark.column)
    return "".join([*lines[:at], entry, *lines[at:]])


def _section(text: str, kind: str) -> yaml.Node | None:
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    for key, value in getattr(root, "value", ()):
        if key.value == kind:
            return value
    return None


def _after(node: yaml.Node, lines: list[str]) -> int:
    """The line after a node's last own line and the comments that belong to it."""
    at = _last_line(node)
    while at < len(lines) and lines[at].lstrip().startswith("#") and lines[at][0] in " \t":
        at += 1
    return at


def _last_line(node: yaml.Node) -> int:
    while isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        node = last[1] if isinstance(last, tuple) else last
    return int(node.end_mark.line + (node.end_mark.column > 0))


def holds(text: str, kind: str, name: str) -> bool:
    """Does the text hold this entry?"""
    section = _section(text, kind)
    return isinstance(section, yaml.MappingNode) and any(k.value == name for k, _ in section.value)


def without_entry(text: str, kind: str, name: str, why: str) -> str:
    """The text of a file with one entry made a comment, so that nothing is lost."""
    ends = "\r\n" if "\r\n" in text else "\n"
    lines = text.replace("\r\n", "\n").splitlines(keepends=True)
    section = _section("".join(lines), kind)
    pairs = list(section.value) if isinstance(section, yaml.MappingNode) else []
    found = [(key, value) for key, value in pairs if key.value == name]
    if not found or section is None or section.flow_style:
        raise UserError(f"{name} does not stand in lines of its own under {kind}; take it out by hand")
    key, value = found[0]
    first, last = key.start_mark.line, _last_line(value)
    if len(pairs) == 1:                                   # the section would be left empty
        first = _section_line("".join(lines), kind)
    kept = [f"# {line}" if line.strip() else line for line in lines[first:last]]
    note = f"# retired: {' '.join(why.split())}\n"
    return "".join([*lines[:first], note, *kept, *lines[last:]]).replace("\n", ends)


def _section_line(text: str, kind: str) -> int:
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    line: int = next(key.start_mark.line for key, _ in root.value if key.value == kind)
    return line


class ChangedError(Exception):
    """The house was changed since it was read."""


def state(folder: Path) -> dict[str, bytes]:
    """What the files of a house hold; what can't be read counts as empty."""
    found = {}
    for path in paths.chapters(folder):
        with contextlib.suppress(OSError, UserError):
            found[path.name] = bounded.read(path, LARGEST)
    return found


def save(path: Path, text: str, seen: dict[str, bytes]) -> None:
    """Write a file whole or not at all, into a house that still is as it was `seen`.

    ChangedError where it is not, UserError where the disk won't have it.
    """
    try:
        atomic.private_folder(path.parent)
        with atomic.locked(path.parent):
            if state(path.parent) != seen:
                raise ChangedError
            atomic.write(path, text.encode())
    except OSError as error:
        raise UserError(f"{path} can't be written ({error.strerror}); nothing was changed") from None
