"""Chapters laid one over another: who brings which entry, what is replaced or retired.

A house may add, replace and retire, but never take away or soften what keeps people from harm.
What sees to that is loaded where there is a house.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from diagnose.book.model import KINDS
from diagnose.book.problems import Place, Problem, nearest
from diagnose.book.yaml.loader import LoadedChapter

if TYPE_CHECKING:
    from diagnose.book.overlay.guard import Guard


class EntryChange(NamedTuple):
    """What a house did to an entry: `replaces` or `retires`, where, and in whose folder."""

    what: str
    place: Place
    layer: str


def _less(field: str, key: str = "") -> Callable[[Any, str], Any]:
    """Takes a name out of a field: out of a map or list of names, or of entries by their key."""
    def forget(entry: Any, name: str) -> Any:
        old = getattr(entry, field)
        if isinstance(old, dict):
            new: Any = {k: v for k, v in old.items() if k != name}
        else:
            new = tuple(v for v in old if (getattr(v, key) if key else v) != name)
        return entry if new == old else msgspec.structs.replace(entry, **{field: new})
    return forget


_NAMED: dict[str, dict[str, Callable[[Any, str], Any]]] = {
    "causes": {"causes": _less("look_alikes", "cause"), "rules": _less("weigh")},
    "symptoms": {"causes": _less("shows")},
    "remedies": {"causes": _less("remedies", "remedy")},
    "cautions": {"remedies": _less("cautions"), "observations": _less("cautions"),
                 "practice": _less("cautions")},
    "measures": {"practice": _less("worked")},
}
"""Kind of a retired entry to the entries that name it in lists alone."""


class Layers:
    """The merged entries by kind, their origin, the changes made, and the problems met."""

    def __init__(self, chapters: Sequence[LoadedChapter]) -> None:
        self.entries: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
        self.origin: dict[tuple[str, str], LoadedChapter] = {}
        self.shipped = frozenset((kind, name) for loaded in chapters if not loaded.layer
                                 for kind in KINDS for name in getattr(loaded.chapter, kind))
        """The entries of the shipped book, by kind and id, as they are before any house."""
        self.changes: dict[tuple[str, str], EntryChange] = {}
        self.problems: list[Problem] = []
        self.replaced: dict[tuple[str, str], Any] = {}
        """What stood where a house's entry stands now, before any house."""
        self.letter: LoadedChapter | None = None
        """The chapter whose frame for letters counts."""
        self.phrases: dict[str, tuple[str, ...]] = {}
        """Symptom or question of practice to the words that houses have for it."""
        for loaded in chapters:
            self._lay(loaded)
        self._words()
        self._phrases([loaded for loaded in chapters if loaded.layer and loaded.chapter.phrases])
        for (kind, name), change in self.changes.items():
            if change.what == "retires" and name not in self.entries[kind]:
                self._forget(kind, name)

    def _forget(self, kind: str, name: str) -> None:
        """Take a retired entry out of the lists that name it; where more hangs on it than a list,
        the checks of the book say so."""
        for holder, forget in _NAMED.get(kind, {}).items():
            entries = self.entries[holder]
            for own, entry in entries.items():
                entries[own] = forget(entry, name)

    def _lay(self, loaded: LoadedChapter) -> None:
        guard = self._guarding(loaded) if loaded.layer else None
        for kind in KINDS:
            for name, entry in getattr(loaded.chapter, kind).items():
                if self._may(loaded, guard, kind, name, entry):
                    self.entries[kind][name] = entry
                    self.origin[kind, name] = loaded
        self._lay_letter(loaded)
        for i, retired in enumerate(loaded.chapter.retires):
            self._retire(loaded, guard, retired.kind, retired.id, loaded.place("retires", str(i)))

    def _guarding(self, loaded: LoadedChapter) -> Guard:
        """What a chapter of a house is held to; notes what is hidden in its texts."""
        from diagnose.book.overlay import plain
        from diagnose.book.overlay.guard import Guard

        if fault := plain.hidden(loaded.layer) or plain.hidden(loaded.file):
            self._note(loaded.place(), f"the name of the folder or file {fault}")
        for path, text in plain.faults(loaded.chapter):
            self._note(loaded.place(*path), text)
        return Guard(self.entries)

    def _lay_letter(self, loaded: LoadedChapter) -> None:
        """Take the frame for letters, in place of one of a house laid before."""
        if loaded.chapter.letter is None:
            return
        from diagnose.book.overlay import letter

        for path, text in letter.faults(loaded.chapter.letter):
            self._note(loaded.place(*path), text)
        if self.letter and self.letter.layer == loaded.layer:
            self._note(loaded.place("letter"), f"`letter:` stands already at {self.letter.place('letter')}; "
                       "keep one")
        else:
            self.letter = loaded

    def _may(self, loaded: LoadedChapter, guard: Guard | None, kind: str, name: str, entry: Any) -> bool:
        old = self.entries[kind].get(name)
        if entry.replaces == "no" or old is None:
            return self._may_add(loaded, guard, kind, name, entry)
        place = loaded.place(kind, name)
        if guard is None:
            self._note(place, f"{name}: only a house file may replace")
            return False
        if text := guard.replaces(kind, name, old, entry):
            self._note(place, text)
            return False
        self.changes[kind, name] = EntryChange("replaces", place, loaded.layer)
        self.replaced.setdefault((kind, name), old)
        return True

    def _may_add(self, loaded: LoadedChapter, guard: Guard | None, kind: str, name: str, entry: Any) -> bool:
        if entry.replaces == "yes":
            text = (f"{name} replaces nothing: there is no such entry in {kind}"
                    + nearest(name, self.entries[kind]))
        elif name in self.entries[kind]:
            first = self.origin[kind, name].place(kind, name)
            text = (f"{name} stands already at {first}; take another id"
                    + (", or add `replaces: yes`" if loaded.layer else ""))
        else:
            text = guard.adds(kind, name, entry) if guard else ""
        if text:
            self._note(loaded.place(kind, name), text)
        return not text

    def _retire(self, loaded: LoadedChapter, guard: Guard | None, kind: str, name: str,
                place: Place) -> None:
        old = self.entries[kind].get(name)
        if old is None:
            text = f"nothing to retire: no {name!r} in {kind}" + nearest(name, self.entries[kind])
        elif guard is None:
            text = f"{name}: only a house file may retire"
        else:
            text = guard.retires(kind, name, old)
        if text:
            self._note(place, text)
        else:
            del self.entries[kind][name]
            self.changes[kind, name] = EntryChange("retires", place, loaded.layer)

    def _words(self) -> None:
        """See that no house gives the words of a danger to anything else."""
        own = [key for key, loaded in self.origin.items()
               if loaded.layer and key[0] in ("symptoms", "observations")]
        if not own:
            return
        from diagnose.book.overlay.dangers import Dangers
        from diagnose.book.overlay.phrases import DangerPhrases, given_away

        dangers = Dangers(self.entries)
        words = DangerPhrases(self.entries | self._without(own), dangers)
        for kind, name in own:
            if entry := self.entries[kind].get(name):
                place = self.origin[kind, name].place(kind, name)
                for text in given_away(name, entry, self.replaced.get((kind, name)), words, dangers):
                    self._note(place, text)

    def _phrases(self, chapters: Sequence[LoadedChapter]) -> None:
        """Give the words of houses to the entries that they mean."""
        if not chapters:
            return
        from diagnose.book.overlay.dangers import Dangers
        from diagnose.book.overlay.phrases import DangerPhrases, refused

        dangers = Dangers(self.entries)
        words = DangerPhrases(self.entries, dangers)
        for loaded in chapters:
            for i, phrase in enumerate(loaded.chapter.phrases):
                if why := refused(phrase.words, phrase.means, self.entries, words, dangers):
                    self._note(loaded.place("phrases", str(i)), why)
                else:
                    self._mean(phrase.words, phrase.means)

    def _mean(self, words: str, means: str) -> None:
        for kind in ("symptoms", "practice"):
            if old := self.entries[kind].get(means):
                self.entries[kind][means] = msgspec.structs.replace(old, lay=(*old.lay, words))
        self.phrases[means] = (*self.phrases.get(means, ()), words)

    def _without(self, own: Iterable[tuple[str, str]]) -> dict[str, dict[str, Any]]:
        """Complaints and questions as they are without those of houses."""
        gone = set(own)
        return {kind: {name: self.replaced.get((kind, name), entry)
                       for name, entry in self.entries[kind].items()
                       if (kind, name) not in gone or (kind, name) in self.replaced}
                for kind in ("symptoms", "observations")}

    def _note(self, place: Place, text: str) -> None:
        self.problems.append(Problem(place, text))
