"""The phrasebook: what stretches of a complaint mean, as patterns, apart from any one book.

`knowledge/lexicon/facts.yaml` holds it; it is read as strictly as the chapters, made ready once
and kept among the shipped files.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from diagnose.reading.wordings.patterns import Pattern, PatternError, make
from diagnose.search.lexicon import typed
from diagnose.search.text import words
from diagnose.storage import cache, paths

if TYPE_CHECKING:
    from diagnose.book.problems import Problem
    from diagnose.book.yaml.source import Tree

FILE = "lexicon/facts.yaml"
MADE_BY = ("storage", "compute", "book", "search", "reading", "errors")
"""The packages that make the phrasebook ready."""

Patterns = tuple[str, ...]


class Source(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """The file as it is written."""

    schema: int
    skip: tuple[str, ...]
    """Words passed over."""
    words: dict[str, tuple[str, ...]] = {}
    """Class to its words and phrases."""
    history: tuple[str, ...] = ()
    """Observations whose answers tell how it was: past tense does not speak against them."""
    context: tuple[str, ...] = ()
    """Observations that tell of no trouble by themselves."""
    about: dict[str, tuple[str, ...]] = {}
    """Observation to the words that must stand near the book's own words for its answers."""
    unless: dict[str, tuple[str, ...]] = {}
    """Answer's or symptom's name to the words that make it another thing's."""
    given: dict[str, tuple[str, ...]] = {}
    """Observation or symptom to words of which one must stand anywhere in the text."""
    offered: tuple[str, ...] = ()
    """Observations, or their answers (`name=answer`), that plain words only make likely."""
    over: dict[str, tuple[str, ...]] = {}
    """Observation to those, or their answers (`name=answer`), not meant by words that answer it."""
    both: dict[str, dict[str, tuple[str, str]]] = {}
    """Observation to the answer that two others make when one sentence states both."""
    own_words: tuple[str, ...] = ()
    """Observations whose answers may be read by the book's own words alone."""
    answers: dict[str, dict[str, Patterns]] = {}
    """Observation to answer to the patterns that give it."""
    symptoms: dict[str, Patterns] = {}
    """Symptom to the patterns that state it."""
    fixes: dict[str, Patterns] = {}
    """Remedy to the patterns that name it as something done."""
    failed: Patterns = ()
    """Patterns that say that something done was no help."""
    helped: Patterns = ()
    """Patterns that say that something done helped somewhat."""


class Rule(msgspec.Struct, frozen=True, array_like=True):
    """One pattern and what it means."""

    kind: str
    """answer, symptom, fix, failed or helped."""
    name: str
    value: str
    pattern: Pattern


class Phrasebook(msgspec.Struct, frozen=True, dict=True):
    """The phrasebook made ready."""

    skip: frozenset[str]
    rules: tuple[Rule, ...]
    about: dict[str, Pattern]
    unless: dict[str, Pattern]
    given: dict[str, Pattern]
    offered: frozenset[str]
    over: dict[str, frozenset[str]]
    both: dict[str, dict[str, tuple[str, str]]]
    history: frozenset[str]
    context: frozenset[str]
    own_words: frozenset[str]


def read(path: Path) -> Phrasebook:
    """Read a phrasebook strictly; KnowledgeError with file, line and mend."""
    from diagnose.book.problems import KnowledgeError, Problem

    found, tree, problems = typed(path, Source, "a phrasebook")
    skip = frozenset(w.stem for w in words(" ; ".join(found.skip))) - {"not"}
    rules = []
    for place, kind, name, value, pattern in _stated(found):
        try:
            rules.append(Rule(kind, name, value, make(pattern, found.words, skip)))
        except PatternError as error:
            problems.append(Problem(tree.place(place), f"{error}; mend the pattern"))
    about, unless, given = (_list(found, tree, title, skip, problems)
                            for title in ("about", "unless", "given"))
    if problems:
        raise KnowledgeError(problems)
    over = {name: frozenset(others) for name, others in found.over.items()}
    return Phrasebook(skip, tuple(rules), about, unless, given, frozenset(found.offered), over, found.both,
                      frozenset(found.history), frozenset(found.context), frozenset(found.own_words))


def _list(found: Source, tree: Tree, title: str, skip: frozenset[str],
          problems: list[Problem]) -> dict[str, Pattern]:
    """A plain list of words for each name as one pattern that fits any of them; adds to `problems`."""
    from diagnose.book.problems import Problem

    made = {}
    for name, said in getattr(found, title).items():
        problems += [Problem(tree.place((title, name, str(i))), f"{text!r} stands in a list of its "
                             "own, so it can't hold ( | ); give each way to say it an entry")
                     for i, text in enumerate(said) if set("()|").intersection(text)]
        try:
            made[name] = make(f"({'|'.join(said)})", found.words, skip, either=title != "about")
        except PatternError as error:
            problems.append(Problem(tree.place((title, name)), f"{error}; mend the list"))
    return made


def _stated(found: Source) -> Iterator[tuple[tuple[str, ...], str, str, str, str]]:
    """Every pattern: its place in the file, kind, name, value and text."""
    for name, given in found.answers.items():
        for answer, patterns in given.items():
            for i, text in enumerate(patterns):
                yield ("answers", name, answer, str(i)), "answer", name, answer, text
    groups = (("symptoms", "symptom", found.symptoms), ("fixes", "fix", found.fixes))
    for title, kind, group in groups:
        for name, patterns in group.items():
            for i, text in enumerate(patterns):
                yield (title, name, str(i)), kind, name, "", text
    for title, patterns in (("failed", found.failed), ("helped", found.helped)):
        for i, text in enumerate(patterns):
            yield (title, str(i)), title, "", "", text


def shipped() -> Path:
    """The file of the shipped phrasebook."""
    return paths.shipped() / FILE


def load() -> Phrasebook:
    """The shipped phrasebook, taken from what is kept where it was made ready before."""
    name = f"{cache.key(MADE_BY, [shipped()])}.phrases"
    found = cache.recall(name, Phrasebook)
    if found is None:
        found = read(shipped())
        cache.keep(name, msgspec.msgpack.encode(found))
    return found
