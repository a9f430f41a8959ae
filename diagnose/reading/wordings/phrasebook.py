"""The phrasebook: what stretches of a complaint mean, as patterns, apart from any one book.

The files of `knowledge/wordings/` hold it, each for what goes together; word classes serve them all.
They are read as strictly as the chapters, made ready once and kept among the shipped files.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cached_property
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

FOLDER, FIRST = "wordings", "common.yaml"
MADE_BY = ("storage", "compute", "book", "search", "reading", "errors")
"""The packages that make the phrasebook ready."""

LISTS = ("about", "unless", "given")
"""What a file lists plainly for a name: words, not patterns."""

ONCE = ("words", *LISTS, "over", "both", "answers", "symptoms", "fixes")
"""What may hold a name in one file only."""

Patterns = tuple[str, ...]


class Source(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """One file as it is written."""

    schema: int
    skip: tuple[str, ...] = ()
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


class Wording(msgspec.Struct, frozen=True, array_like=True):
    """One pattern and what it means."""

    kind: str
    """answer, symptom, fix, failed or helped."""
    name: str
    value: str
    pattern: Pattern


class Phrasebook(msgspec.Struct, frozen=True, dict=True):
    """The phrasebook made ready."""

    skip: frozenset[str]
    rules: tuple[Wording, ...]
    about: dict[str, Pattern]
    unless: dict[str, Pattern]
    given: dict[str, Pattern]
    offered: frozenset[str]
    over: dict[str, frozenset[str]]
    both: dict[str, dict[str, tuple[str, str]]]
    history: frozenset[str]
    context: frozenset[str]
    own_words: frozenset[str]

    @cached_property
    def by_stem(self) -> dict[str, tuple[int, ...]]:
        """Stem to the places of the rules that can fit a text for holding it, each by its fewest stems."""
        found: dict[str, list[int]] = defaultdict(list)
        for at, rule in enumerate(self.rules):
            for stem in min(rule.pattern.needs, key=len):
                found[stem].append(at)
        return {stem: tuple(places) for stem, places in found.items()}


def read(*files: Path) -> Phrasebook:
    """Read the files of a phrasebook strictly; KnowledgeError with file, line and mend."""
    from diagnose.book.problems import KnowledgeError

    parts = [typed(path, Source, "a phrasebook") for path in files]
    problems = [problem for _, _, some in parts for problem in some]
    problems += _twice(parts)
    sources = [found for found, _, _ in parts]
    classes = {name: said for one in sources for name, said in one.words.items()}
    skip = frozenset(w.stem for w in words(" ; ".join(w for one in sources for w in one.skip))) - {"not"}
    rules: list[Wording] = []
    lists: dict[str, dict[str, Pattern]] = {title: {} for title in LISTS}
    for found, tree, _ in parts:
        rules += _rules(found, tree, classes, skip, problems)
        for title in LISTS:
            lists[title] |= _list(found, tree, title, classes, skip, problems)
    if problems:
        raise KnowledgeError(problems)
    over = {name: frozenset(others) for one in sources for name, others in one.over.items()}
    both = {name: wholes for one in sources for name, wholes in one.both.items()}
    offered, history, context, own_words = (
        frozenset(name for one in sources for name in getattr(one, title))
        for title in ("offered", "history", "context", "own_words"))
    return Phrasebook(skip, tuple(rules), lists["about"], lists["unless"], lists["given"], offered, over,
                      both, history, context, own_words)


def _twice(parts: Iterable[tuple[Source, Tree, list[Problem]]]) -> Iterator[Problem]:
    """What stands in two files, where one would silently count for both."""
    from diagnose.book.problems import Problem

    first: dict[tuple[str, str], Tree] = {}
    for found, tree, _ in parts:
        for title in ONCE:
            for name in getattr(found, title):
                other = first.setdefault((title, name), tree)
                if other is not tree:
                    yield Problem(tree.place((title, name)), f"{name} stands in `{title}:` at "
                                  f"{other.place((title, name))} already; keep one")


def _rules(found: Source, tree: Tree, classes: dict[str, tuple[str, ...]], skip: frozenset[str],
           problems: list[Problem]) -> list[Wording]:
    """The patterns of one file made ready; adds to `problems`."""
    from diagnose.book.problems import Problem

    rules = []
    for place, kind, name, value, pattern in _stated(found):
        try:
            rules.append(Wording(kind, name, value, make(pattern, classes, skip)))
        except PatternError as error:
            problems.append(Problem(tree.place(place), f"{error}; mend the pattern"))
    return rules


def _list(found: Source, tree: Tree, title: str, classes: dict[str, tuple[str, ...]],
          skip: frozenset[str], problems: list[Problem]) -> dict[str, Pattern]:
    """A plain list of words for each name as one pattern that fits any of them; adds to `problems`."""
    from diagnose.book.problems import Problem

    made = {}
    for name, said in getattr(found, title).items():
        problems += [Problem(tree.place((title, name, str(i))), f"{text!r} stands in a list of its "
                             "own, so it can't hold ( | ); give each way to say it an entry")
                     for i, text in enumerate(said) if set("()|").intersection(text)]
        try:
            made[name] = make(f"({'|'.join(said)})", classes, skip, either=title != "about")
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


def shipped() -> list[Path]:
    """The files of the shipped phrasebook."""
    folder = paths.shipped() / FOLDER
    return paths.chapters(folder) or [folder / FIRST]     # a folder that is gone is missed by name


def load() -> Phrasebook:
    """The shipped phrasebook, taken from what is kept where it was made ready before."""
    name = f"{cache.key(MADE_BY, shipped())}.phrases"
    found = cache.recall(name, Phrasebook)
    if found is None:
        found = read(*shipped())
        cache.keep(name, msgspec.msgpack.encode(found))
    return found
