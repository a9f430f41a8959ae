"""The lexicon: groups of words that mean the same, words that mean little, other tongues.

`knowledge/lexicon/words.yaml` holds them; it is read as strictly as the chapters.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from pathlib import Path

import msgspec

from diagnose.kb import shelf
from diagnose.kb.problems import KnowledgeError, Problem
from diagnose.lookup.words import stem, words

FILE = "lexicon/words.yaml"


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
    fine: tuple[str, ...] = ()
    """Words that say nothing is wrong with a thing."""
    answers: dict[str, dict[str, tuple[str, ...]]] = {}
    """Observation to answer to the phrases that plainly give it."""

    @cached_property
    def light_stems(self) -> frozenset[str]:
        """The light words, endings off."""
        return frozenset(w.stem for w in words(" ; ".join(self.light))) - {"not"}

    @cached_property
    def part_stems(self) -> frozenset[str]:
        """The words for parts, endings off."""
        return frozenset(map(key, self.parts))

    @cached_property
    def groups(self) -> dict[str, tuple[int, ...]]:
        """Stem (or stems joined by a blank) to the numbers of its synonym groups."""
        found: dict[str, list[int]] = {}
        for number, group in enumerate(self.synonyms):
            for entry in group:
                found.setdefault(key(entry), []).append(number)
        return {k: tuple(v) for k, v in found.items()}

    @cached_property
    def longest(self) -> int:
        """Words in the longest synonym."""
        return max((k.count(" ") + 1 for k in self.groups), default=1)


def key(text: str) -> str:
    """A word or phrase as the groups hold it."""
    return " ".join(w.stem for w in words(text))


def read(path: Path) -> Lexicon:
    """Read a lexicon strictly; KnowledgeError with file, line and mend."""
    from diagnose.kb.source import read_file  # the YAML reader is only wanted here

    tree = read_file(path, path.name)
    problems = list(tree.problems)
    try:
        found = msgspec.convert(tree.data, Lexicon, strict=False)
    except msgspec.ValidationError as error:
        where, _, what = str(error).partition(" - at `$")
        parts = tuple(p.strip("[]`") for p in what.replace("[", ".").split(".") if p.strip("[]`"))
        raise KnowledgeError([*problems, Problem(tree.place(parts), f"{where}; a lexicon holds "
                              "schema, light, synonyms, languages, parts, fine and answers")]) from None
    problems += (Problem(tree.place(place), text) for place, text in _faults(found))
    if problems:
        raise KnowledgeError(problems)
    return found


def _faults(found: Lexicon) -> Iterable[tuple[tuple[str, ...], str]]:
    if found.schema != 1:
        yield ("schema",), f"schema {found.schema} is not known; write 1"
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


def shipped() -> Path:
    """The file of the shipped lexicon."""
    return shelf.shipped() / FILE
