"""Entries found by how people call them, through the search that complaints go through."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import msgspec
from rapidfuzz import fuzz, process, utils

from diagnose.search.documents import Catalogue, SearchEntry, lexicon_of, tokens
from diagnose.search.index import Index
from diagnose.search.lexicon import Lexicon

SHELF = "entries"
SHOWN = 8
LEAST = 45
"""Likeness, of 100, from which an entry is offered where the search finds none."""
CLEARLY = 1.5
"""How much better than the next the first hit is, where there is no doubt about it."""
More = Mapping[str, Sequence[str]]
"""Id to words by which an entry is found too, though they are not shown."""


class Finder:
    """The entries that may be named, each with the words shown for it."""

    def __init__(self, options: Mapping[str, str], more: More | None = None) -> None:
        self.options, self._more = options, more or {}

    def __add__(self, other: Finder) -> Finder:
        return Finder({**self.options, **other.options}, {**self._more, **other._more})

    def found(self, words: str) -> list[str]:
        """The ids whose words fit best, best first; the first of all where nothing was said."""
        if not words:
            return list(self.options)[:SHOWN]
        hits = self._index.search(words, (SHELF,), SHOWN)
        return [hit.id for hit in hits] or self._near(words)

    def sure(self, words: str) -> str:
        """The one entry that is meant, where there is no doubt; else empty."""
        exact = [n for n, said in self.options.items() if words.casefold() in (n.casefold(), said.casefold())]
        hits = self._index.search(words, (SHELF,), 2)
        if exact or not hits:
            return exact[0] if exact else ""
        return hits[0].id if len(hits) == 1 or hits[0].score > CLEARLY * hits[1].score else ""

    @cached_property
    def _index(self) -> Index:
        lex = lexicon_of()
        items = [self._item(name, lex) for name in self.options]
        packed = {SHELF: msgspec.Raw(msgspec.msgpack.encode(items))}
        return Index(Catalogue(packed, lex, lex.groups()))

    def _item(self, name: str, lex: Lexicon) -> SearchEntry:
        said = self.options[name]
        phrases = (said, name.replace("_", " "), *self._more.get(name, ()))
        words = tuple(tuple(dict.fromkeys(tokens(phrase, lex))) for phrase in phrases)
        return SearchEntry(SHELF, name, said, phrases, words)

    def _near(self, words: str) -> list[str]:
        """By letters alone: parts of words, and slips of the hand."""
        said = {n: " ".join((n.replace("_", " "), text, *self._more.get(n, ())))
                for n, text in self.options.items()}
        hits = process.extract(words, said, scorer=fuzz.token_set_ratio, processor=utils.default_process,
                               limit=SHOWN, score_cutoff=LEAST)
        return [name for _, _, name in hits]
