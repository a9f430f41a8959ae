"""Chapters laid one over another: who brings which entry, what is replaced or retired.

A house may add, replace and retire, but never take away or soften a DANGER or WARNING.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from diagnose.kb.loader import Loaded
from diagnose.kb.model import KINDS, Caution
from diagnose.kb.problems import Place, Problem, nearest

SIGNALS = ("NOTICE", "CAUTION", "WARNING", "DANGER")
GRAVE = SIGNALS[2:]


class Change(NamedTuple):
    """What a house did to an entry: `replaces` or `retires`, where, and in whose folder."""

    what: str
    place: Place
    layer: str


class Layers:
    """The merged entries by kind, their origin, the changes made, and the problems met."""

    def __init__(self, chapters: Iterable[Loaded]) -> None:
        self.entries: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
        self.origin: dict[tuple[str, str], Loaded] = {}
        self.changes: dict[tuple[str, str], Change] = {}
        self.problems: list[Problem] = []
        for loaded in chapters:
            self._lay(loaded)

    def _lay(self, loaded: Loaded) -> None:
        for kind in KINDS:
            for name, entry in getattr(loaded.chapter, kind).items():
                if self._may(loaded, kind, name, entry):
                    self.entries[kind][name] = entry
                    self.origin[kind, name] = loaded
        for i, retired in enumerate(loaded.chapter.retires):
            self._retire(loaded, retired.kind, retired.id, loaded.place("retires", str(i)))

    def _may(self, loaded: Loaded, kind: str, name: str, entry: Any) -> bool:
        place = loaded.place(kind, name)
        old = self.entries[kind].get(name)
        if old is None:
            if entry.replaces == "yes":
                self._note(place, f"{name} replaces nothing: there is no such entry in {kind}"
                           + nearest(name, self.entries[kind]))
            return entry.replaces == "no"
        if entry.replaces == "no":
            first = self.origin[kind, name].place(kind, name)
            self._note(place, f"{name} stands already at {first}; take another id"
                       + (", or add `replaces: yes`" if loaded.layer else ""))
            return False
        if not loaded.layer:
            self._note(place, f"{name}: only a house file may replace")
            return False
        if text := self._softens(kind, name, old, entry):
            self._note(place, text)
            return False
        self.changes[kind, name] = Change("replaces", place, loaded.layer)
        return True

    def _retire(self, loaded: Loaded, kind: str, name: str, place: Place) -> None:
        old = self.entries[kind].get(name)
        if old is None:
            self._note(place, f"nothing to retire: no {name!r} in {kind}"
                       + nearest(name, self.entries[kind]))
        elif not loaded.layer:
            self._note(place, f"{name}: only a house file may retire")
        elif isinstance(old, Caution) and old.signal in GRAVE:
            self._note(place, f"{name} is a {old.signal}: a house can add cautions but never "
                       "take away one that keeps people from being hurt")
        elif kind == "rules" and self._grave(old.caution):
            self._note(place, f"{name} raises a {self._grave(old.caution)}: it can't be retired")
        else:
            del self.entries[kind][name]
            self.changes[kind, name] = Change("retires", place, loaded.layer)

    def _grave(self, caution: str) -> str:
        entry = self.entries["cautions"].get(caution)
        return entry.signal if entry and entry.signal in GRAVE else ""

    def _softens(self, kind: str, name: str, old: Any, new: Any) -> str:
        if isinstance(old, Caution):
            return _softer(name, old, new)
        if kind == "rules" and self._grave(old.caution) and new.caution != old.caution:
            return f"{name}: the rule raises a {self._grave(old.caution)} and must go on doing so"
        lost = [c for c in getattr(old, "cautions", ()) if c not in new.cautions]
        grave = [c for c in lost if self._grave(c)]
        if grave:
            return (f"{name}: leaves out the {self._grave(grave[0])} {grave[0]}; "
                    f"add it to `cautions:`")
        if kind == "remedies" and old.who == "technician" != new.who:
            return f"{name}: is a technician's work; a house can't hand it to others"
        return ""

    def _note(self, place: Place, text: str) -> None:
        self.problems.append(Problem(place, text))


def _softer(name: str, old: Caution, new: Caution) -> str:
    if old.signal not in GRAVE:
        return ""
    if SIGNALS.index(new.signal) < SIGNALS.index(old.signal):
        return f"{name}: {old.signal} can't become {new.signal}; a house can't soften it"
    if old.stop == "yes" and (new.stop == "no" or (new.go_on and not old.go_on)):
        return f"{name}: it stops the consult and must go on doing so"
    if new.when != old.when:
        return f"{name}: `when:` of a {old.signal} can't be changed; add a rule of your own to it"
    if len(new.text) < len(old.text) // 2 or len(new.avoid) < len(old.avoid) // 2:
        return f"{name}: says much less than the {old.signal} it replaces; add to it instead"
    return ""
