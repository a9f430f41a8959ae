"""What lookup searches: entries with their phrases as words, kept among the shipped files."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

import msgspec

from diagnose.search import lexicon
from diagnose.search.lexicon import Lexicon
from diagnose.search.text import words
from diagnose.storage import cache, paths

if TYPE_CHECKING:
    from diagnose.book import model

KINDS = ("symptoms", "causes", "findings", "remedies")
Token = tuple[str, bool]
"""A stem, and whether it is negated."""
KnownTokens = Mapping[str, tuple[Token, ...]]
"""Phrase to its words, each once."""
MADE_BY = ("storage", "compute", "book", "search", "errors")
"""The packages that make what is searched."""


class Searchable(Protocol):
    """The parts of a book that are searched."""

    @property
    def symptoms(self) -> Mapping[str, model.Symptom]: ...
    @property
    def causes(self) -> Mapping[str, model.Cause]: ...
    @property
    def findings(self) -> Mapping[str, model.Finding]: ...
    @property
    def remedies(self) -> Mapping[str, model.Remedy]: ...


class SearchEntry(msgspec.Struct, frozen=True, array_like=True):
    """One entry: what it is, and its phrases."""

    kind: str
    id: str
    name: str
    phrases: tuple[str, ...]
    tokens: tuple[tuple[tuple[str, bool], ...], ...]
    """The words of each phrase, each once."""
    area: str = ""


class Catalogue(msgspec.Struct, frozen=True, array_like=True):
    """All that lookup needs of a book."""

    shelves: dict[str, msgspec.Raw]
    """Kind to its items, packed: a search of one kind need not unpack the others."""
    lexicon: Lexicon
    groups: dict[str, tuple[int, ...]]
    """The lexicon's synonyms by stem, worked out once."""

    def items(self, kind: str) -> list[SearchEntry]:
        """The entries of a kind."""
        packed = self.shelves.get(kind)
        return msgspec.msgpack.decode(packed, type=list[SearchEntry]) if packed else []


def build(book: Searchable, lex: Lexicon, known: KnownTokens | None = None) -> Catalogue:
    """The catalogue of a book; `known` are phrases whose words are known already."""
    item = _Items(lex, known or {})
    items = {
        "symptoms": [item("symptoms", n, s.name, (s.name, *s.lay), s.area)
                     for n, s in book.symptoms.items()],
        "causes": [item("causes", n, c.name, (c.name, *_sentences(c.what)))
                   for n, c in book.causes.items()],
        "findings": [item("findings", f"{n}: {v}", value.says, (value.says, f"{f.label} {v}"))
                     for n, f in book.findings.items() for v, value in f.values.items()],
        "remedies": [item("remedies", n, r.name, (r.name, r.should))
                     for n, r in book.remedies.items()],
    }
    packed = {kind: msgspec.Raw(msgspec.msgpack.encode(found)) for kind, found in items.items()}
    return Catalogue(packed, lex, lex.groups())


def _sentences(text: str) -> list[str]:
    return [part.strip() for part in text.split(". ") if part.strip()]


class _Items(NamedTuple):
    """Makes items by one lexicon."""

    lex: Lexicon
    known: KnownTokens

    def __call__(self, kind: str, name: str, said: str, phrases: Iterable[str], area: str = ""
                 ) -> SearchEntry:
        unique = tuple(dict.fromkeys(phrases))
        said_in = tuple(self.known.get(p) or tuple(dict.fromkeys(tokens(p, self.lex))) for p in unique)
        return SearchEntry(kind, name, said, unique, said_in, area)


def tokens(text: str, lex: Lexicon) -> tuple[tuple[str, bool], ...]:
    """The words of a text as search takes them."""
    return tuple((w.stem, w.negated) for w in words(text, lex.light_stems))


def key(files: Sequence[Path], *more: bytes) -> str:
    """A name for the catalogue of what these files and bytes hold; empty where one can't be read."""
    return cache.key(MADE_BY, files, *more)


def recall(name: str) -> Catalogue | None:
    """A catalogue kept earlier, or None."""
    return cache.recall(f"{name}.lookup", Catalogue)


def keep(name: str, catalogue: Catalogue) -> None:
    """Keep a catalogue, unless its name is empty; failing costs only time."""
    cache.keep(f"{name}.lookup", msgspec.msgpack.encode(catalogue))


def lexicon_of(folder: Path | None = None) -> Lexicon:
    """The shipped lexicon, taken from the cache where it was read before."""
    path = (folder or paths.shipped()) / lexicon.FILE
    name = key([path])
    kept = recall(name)
    if kept is not None:
        return kept.lexicon
    lex = lexicon.read(path)
    keep(name, Catalogue({}, lex, {}))
    return lex


def of_book(book: Any) -> Catalogue:
    """The catalogue of a loaded book, kept by the content of what is searched.

    Of a book with houses over it nothing is kept; the words of shipped phrases are known.
    """
    lex = lexicon_of()
    if any(chapter.layer for chapter in book.chapters):
        return build(book, lex, _known())
    parts = [getattr(book, kind) for kind in KINDS]
    content = key([paths.shipped() / lexicon.FILE], msgspec.msgpack.encode(parts))
    found = recall(content)
    if found is None:
        found = build(book, lex)
        keep(content, found)
    return found


def _known() -> KnownTokens:
    """The words of the shipped phrases, as far as they were searched before."""
    shipped = recall(_of_shipped())
    items = [item for kind in KINDS for item in shipped.items(kind)] if shipped else []
    return {phrase: said for item in items
            for phrase, said in zip(item.phrases, item.tokens, strict=True)}


def _of_shipped() -> str:
    return key([*paths.chapters(paths.shipped()), paths.shipped() / lexicon.FILE])


def of_files(houses: Sequence[str] | None) -> tuple[Catalogue, tuple[str, ...]]:
    """The catalogue of the shipped book with house folders laid over it, and what was left out.

    Kept by the content of the files where there is no house, so that the book is loaded only
    where one has changed. UserError as `diagnose.book.with_house.load` raises it.
    """
    name = "" if houses or paths.chapters(paths.house()) else _of_shipped()
    kept = recall(name)
    if kept is not None:
        return kept, ()
    from diagnose.book.with_house import load  # the whole book is wanted only here

    loaded = load(houses)
    found = of_book(loaded.book)
    if not loaded.broken:
        keep(name, found)
    return found, tuple(map(str, loaded.broken))
