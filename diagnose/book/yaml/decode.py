"""From plain data to typed entries, every problem with its place, nearest word and mend."""

from __future__ import annotations

import copy
import math
import re
import types
import typing
from functools import cache
from typing import Any

import msgspec

from diagnose.book import model
from diagnose.book.problems import Problem, nearest
from diagnose.book.yaml.source import Tree

ID = re.compile(r"[a-z][a-z0-9_]{1,47}")
RESERVED = {"all", "any", "none", "known", "unknown", "target", "always", "closed", "complaint"}
_DECIMAL = re.compile(r"\+?(\d*)(?:\.(\d*))?(?<=[\d.])(?<!^\.)")
_PATH = re.compile(r"\.([A-Za-z_]\w*)|\[(\d+|\.\.\.)\]")
_ENTRY = {
    kind: typing.get_args(hint)[1]
    for kind, hint in typing.get_type_hints(model.Chapter).items()
    if kind in model.KINDS
}


@cache
def _stated() -> tuple[dict[type, dict[str, tuple[str, ...]]], dict[str, tuple[str, ...]]]:
    """The words that each field of an entry allows, and the fields of each; wanted for what is wrong."""
    words: dict[type, dict[str, tuple[str, ...]]] = {}
    fields: dict[str, tuple[str, ...]] = {}
    for name, kind in vars(model).items():
        if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
            fields[name] = kind.__struct_fields__
            for field, hint in typing.get_type_hints(kind).items():
                for part in (hint, *typing.get_args(hint)):
                    if typing.get_origin(part) is typing.Literal:
                        words.setdefault(kind, {})[field] = typing.get_args(part)
    return words, fields


def decode(tree: Tree) -> tuple[model.Chapter | None, list[Problem]]:
    """One chapter from a file's content, with all its problems.

    The chapter holds the entries that are sound, so that a house file with one broken
    entry still brings the rest; it is None where nothing can be kept.
    """
    problems = list(tree.problems)
    if not isinstance(tree.data, dict):
        return None, [*problems, Problem(tree.place(()), "must be a map of sections")]
    head: dict[str, Any] = {}
    sections: dict[str, dict[str, Any]] = {}
    for key, value in tree.data.items():
        if key not in _ENTRY:
            head[key] = value
        elif not isinstance(value, dict):
            problems.append(Problem(tree.place((key,)), f"{key!r} must map ids to entries"))
        else:
            sections[key] = _section(tree, key, value, problems)
    chapter = _convert(head, model.Chapter, tree, (), problems)
    return chapter and msgspec.structs.replace(chapter, **sections), problems


def _section(tree: Tree, kind: str, entries: dict[str, Any], problems: list[Problem]
             ) -> dict[str, Any]:
    sound = {}
    for name, data in entries.items():
        path = (kind, name)
        if not ID.fullmatch(name) or name in RESERVED:
            problems.append(Problem(
                tree.place(path), f"{name!r} can't be an id; use small letters, digits and "
                "_ (2 to 48, no reserved word)"))
        entry = _convert(data, _ENTRY[kind], tree, path, problems)
        if entry is not None:
            sound[name] = entry
    return sound


def _convert(data: Any, kind: Any, tree: Tree, path: tuple[str, ...], problems: list[Problem]) -> Any:
    """Convert, noting problem after problem: each wrong value is taken out and the rest tried."""
    dropped: set[str] = set()
    rest = data
    for _ in range(30):
        try:
            entry = msgspec.convert(rest, kind, strict=False)
            problems.extend(_not_finite(entry, tree, path))
            return entry if not dropped else None
        except msgspec.ValidationError as error:
            text, where = _split(str(error), rest, kind)
            if dropped and "missing required" in text:
                return None
            if (number := _number(text, rest, where)) is not None:
                rest = _with(rest, where, number)
                continue
            problems.append(_problem(text, tree, path, where, data, kind))
            found = re.search(r"unknown field `(.*)`", text)
            where = (*where, found[1]) if found else where
            if not where or "missing required" in text:
                return None
            dropped.add(where[-1])
            rest = _without(rest, where)
    return None


def _number(text: str, data: Any, where: tuple[str, ...]) -> str | None:
    """A number written as people do (`012`, `+5`, `.5`) as the typed reading takes it."""
    if not where or "`str`" not in text or not re.search("`(float|int)", text):
        return None
    value = _value(data, where)
    found = _DECIMAL.fullmatch(value) if isinstance(value, str) else None
    plain = f"{found[1].lstrip('0') or 0}{'.' + found[2] if found[2] else ''}" if found else None
    return None if plain == value else plain


def _with(data: Any, where: tuple[str, ...], value: str) -> Any:
    changed = copy.deepcopy(data)
    spot = _value(changed, where[:-1])
    spot[int(where[-1]) if isinstance(spot, list) else where[-1]] = value
    return changed


def _without(data: Any, where: tuple[str, ...]) -> Any:
    rest = copy.deepcopy(data)
    spot = rest
    for key in where[:-1]:
        spot = spot[int(key)] if isinstance(spot, list) else spot[key]
    if isinstance(spot, list):
        spot.pop(int(where[-1]))
    elif isinstance(spot, dict):
        spot.pop(where[-1], None)
    return rest


def _split(message: str, data: Any, kind: Any) -> tuple[str, tuple[str, ...]]:
    """msgspec's message into its text and the path, with `[...]` resolved to the key."""
    text, _, spot = message.partition(" - at `")
    parts = [a or b for a, b in _PATH.findall(spot.rstrip("`").removeprefix("$"))]
    if spot.startswith("key in"):
        parts = []
    while "..." in parts:
        i = parts.index("...")
        parts[i] = _which(message, data, kind, parts[:i])
    return text, tuple(parts)


def _which(message: str, data: Any, kind: Any, before: list[str]) -> str:
    """The key of the map at `before` whose value gives this very message."""
    spot = data
    for key in before:
        spot = spot[int(key)] if isinstance(spot, list) else spot[key]
    for key in spot:
        alone = copy.deepcopy(data)
        there = alone
        for part in before:
            there = there[int(part)] if isinstance(there, list) else there[part]
        kept = there[key]
        there.clear()
        there[key] = kept
        try:
            msgspec.convert(alone, kind, strict=False)
        except msgspec.ValidationError as error:
            if str(error) == message:
                return str(key)
    return next(iter(spot), "")


def _problem(text: str, tree: Tree, path: tuple[str, ...], where: tuple[str, ...],
             data: Any, kind: type) -> Problem:
    found = re.search(r"unknown field `(.*)`", text)
    if found:
        fields = {f for names in _stated()[1].values() for f in names}
        place = tree.place((*path, *where, found[1]))
        if " " in found[1]:
            return Problem(place, f"{found[1]!r} stands where a key should: a text with a comma "
                           "inside { } needs quotes")
        if found[1] in fields:
            return Problem(place, f"key {found[1]!r} has no place here; leave it out, or put it where it "
                           "belongs")
        return Problem(place, f"unknown key {found[1]!r}{nearest(found[1], fields)}")
    found = re.search(r"missing required field `(.*)`", text)
    if found:
        name = ".".join((*path, *where)) or "the chapter"
        return Problem(tree.place((*path, *where)), f"{name}: {found[1]!r} is missing; add it")
    value = _value(data, where)
    return Problem(tree.place((*path, *where)), _wrong(text, where, value, kind))


def _value(data: Any, where: tuple[str, ...]) -> Any:
    for key in where:
        data = data[int(key)] if isinstance(data, list) else data[key]
    return data


def _allowed(where: tuple[str, ...], kind: type) -> tuple[str, ...]:
    """The words allowed at a path of an entry: those of its own field, or of a part inside it."""
    stated, _ = _stated()
    inner = [k for k in stated if k is not kind and not issubclass(k, model.BookEntry)]
    for key in reversed(where):
        for owner in ((kind, *inner) if len(where) < 3 else (*inner, kind)):
            if key in stated.get(owner, {}):
                return stated[owner][key]
    return ()


def _wrong(text: str, where: tuple[str, ...], value: Any, kind: type) -> str:
    shown = repr(value) if isinstance(value, str) else f"a {_shape(value)}"
    words = _allowed(where, kind)
    name = where[-1] if where else "entry"
    if "enum" in text and words:
        return f"{name}: {shown} is not one of {', '.join(words)}{nearest(str(value), words)}"
    if isinstance(value, str) and re.search("`(float|int)", text) and "got `str`" in text:
        return f"{name}: {shown} is not a number; write digits with a point"
    if "out of range" in text:
        return f"{name}: {shown} is not a finite number"
    wants = {"object": "map", "array": "list", "str": "text", "float": "number"}
    said = re.sub(r"`(\w+)[^`]*`", lambda m: wants.get(m[1], m[1]), text)
    return f"{name}: {shown} does not fit: {said[:1].lower()}{said[1:]}"


def _shape(value: Any) -> str:
    return {dict: "map", list: "list", types.NoneType: "nothing"}.get(type(value), "value")


def _not_finite(entry: Any, tree: Tree, path: tuple[str, ...]) -> list[Problem]:
    if isinstance(entry, float) and not math.isfinite(entry):
        return [Problem(tree.place(path), f"{path[-1]}: {entry} is not a finite number")]
    if isinstance(entry, tuple):
        return [p for i, v in enumerate(entry) for p in _not_finite(v, tree, (*path, str(i)))]
    if isinstance(entry, dict):
        return [p for k, v in entry.items() for p in _not_finite(v, tree, (*path, str(k)))]
    if isinstance(entry, msgspec.Struct) and not isinstance(entry, model.Chapter):
        return [p for f in entry.__struct_fields__
                for p in _not_finite(getattr(entry, f), tree, (*path, f))]
    return []
