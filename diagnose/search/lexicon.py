"""The lexicon: groups of words that mean the same, words that mean little, other tongues.

`knowledge/lexicon/words.yaml` holds them; it is read as strictly as the chapters.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Protocol, TypeVar

import msgspec

from diagnose.search.text import words
from diagnose.storage import paths

if TYPE_CHECKING:
    from diagnose.book.problems import Problem
    from diagnose.book.yaml.source import Tree

FILE = "lexicon/words.yaml"


class File(Protocol):
    """What every file of words holds, as a type made with msgspec."""

    schema: int
    __struct_fields__: ClassVar[tuple[str, ...]]


AFile = TypeVar("AFile", bound=File)


class Lexicon(msgspec.Struct, forbid_unknown_fields=True, kw_only=True, dict=True):
    """What is known about words, apart from any symptom."""

    schema: int
    light: tuple[str, ...]
    """Words that carry little meaning in a complaint."""
    synonyms: tuple[tuple[str, ...], ...]
    """Groups of words or short phrases that mean the same."""
    languages: dict[str, tuple[str, ...]]
    """Language to its commonest little words."""
    parts: tuple[str, ...] = ()
    """Words that say what a complaint is about."""
    generic: tuple[str, ...] = ()
    """Words found in most complaints."""
    coffee: tuple[str, ...] = ()
    """Words for the coffee itself."""
    alone: dict[str, tuple[str, ...]] = {}
    """Symptom to the single words that state it."""
    danger: tuple[str, ...] = ()
    """Words and phrases that speak of danger."""
    fine: tuple[str, ...] = ()
    """Words that say nothing is wrong with a thing."""

    @cached_property
    def light_stems(self) -> frozenset[str]:
        """The light words, endings off."""
        return frozenset(w.stem for w in words(" ; ".join(self.light))) - {"not"}

    @cached_property
    def part_stems(self) -> frozenset[str]:
        """The words for parts, endings off."""
        return frozenset(map(key, self.parts))

    @cached_property
    def idle_stems(self) -> frozenset[str]:
        """Stems that don't make out a symptom: light and generic words, and the negation."""
        return self.light_stems | frozenset(map(key, self.generic)) | {"not"}

    def core(self, tokens: Iterable[tuple[str, bool]]) -> frozenset[tuple[str, bool]]:
        """What makes out a phrase: its words that are neither light nor the coffee itself."""
        return frozenset(t for t in tokens if t[0] not in self._dull_stems)

    @cached_property
    def _dull_stems(self) -> frozenset[str]:
        return self.light_stems | self.coffee_stems | {"not"}

    @cached_property
    def coffee_stems(self) -> frozenset[str]:
        """The words for the coffee itself, endings off."""
        return frozenset(map(key, self.coffee))

    @cached_property
    def alone_stems(self) -> dict[str, str]:
        """Stem to the symptom it states by itself."""
        return {key(word): symptom for symptom, said in self.alone.items() for word in said}

    def groups(self) -> dict[str, tuple[int, ...]]:
        """Stem (or stems joined by a blank) to the numbers of its synonym groups."""
        found: dict[str, list[int]] = {}
        for number, group in enumerate(self.synonyms):
            for entry in group:
                found.setdefault(key(entry), []).append(number)
        return {k: tuple(v) for k, v in found.items()}


def key(text: str) -> str:
    """A word or phrase as the groups hold it."""
    return " ".join(w.stem for w in words(text))


def read(path: Path) -> Lexicon:
    """Read a lexicon strictly; KnowledgeError with file, line and mend."""
    from diagnose.book.problems import KnowledgeError, Problem  # only wanted where it is read afresh

    found, tree, problems = typed(path, Lexicon, "a lexicon")
    problems += (Problem(tree.place(place), text) for place, text in _faults(found))
    if problems:
        raise KnowledgeError(problems)
    return found


def typed(path: Path, kind: type[AFile], called: str) -> tuple[AFile, Tree, list[Problem]]:
    """A file of words as its type, the places of its parts, and what is wrong with it so far.

    `called` names the kind in a problem. KnowledgeError where it does not fit the type.
    """
    from diagnose.book.problems import KnowledgeError, Problem
    from diagnose.book.yaml.source import read_file

    tree = read_file(path, path.name)
    problems = list(tree.problems)
    try:
        found = msgspec.convert(tree.data, kind, strict=False)
    except msgspec.ValidationError as error:
        where, _, what = str(error).partition(" - at `$")
        parts = tuple(p.strip("[]`") for p in what.replace("[", ".").split(".") if p.strip("[]`"))
        raise KnowledgeError([*problems, Problem(tree.place(parts), f"{where}; {called} holds "
                              f"{', '.join(kind.__struct_fields__)}")]) from None
    if found.schema != 1:
        problems.append(Problem(tree.place(("schema",)), f"schema {found.schema} is not known; write 1"))
    return found, tree, problems


def _faults(found: Lexicon) -> Iterable[tuple[tuple[str, ...], str]]:
    for i, group in enumerate(found.synonyms):
        here = ("synonyms", str(i))
        if len(group) < 2:
            yield here, "a group of synonyms holds two words or more"
        keys: dict[str, str] = {}
        for j, entry in enumerate(group):
            if not key(entry):
                yield (*here, str(j)), f"{entry!r} holds no word"
            elif entry in keys.values():
                yield (*here, str(j)), f"{entry!r} stands in this group twice; keep one"
            keys[str(j)] = entry
    yield from _english(found)


def _english(found: Lexicon) -> Iterable[tuple[tuple[str, ...], str]]:
    light = set(found.light)
    for name, little in found.languages.items():
        for i, word in enumerate(little):
            if word in light:
                yield ("languages", name, str(i)), (f"{word!r} is an English word too and tells "
                                                    "nothing; leave it out")


def shipped() -> Path:
    """The file of the shipped lexicon."""
    return paths.shipped() / FILE
