"""What of a shipped entry must stay when a house's stands in for it: all, but for what adds caution.

A table says of each field how it may change; a field that no table names stays as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from diagnose.book.model import SIGNALS
from diagnose.book.overlay.twins import HANDS

How = Callable[[Any, Any], bool]
Allowed = Mapping[str, How]


def _any(old: Any, new: Any) -> bool:
    return True


def _if_empty(old: Any, new: Any) -> bool:
    return not old or new == old


def _more(old: Any, new: Any) -> bool:
    """The old ones first, as they stand; what is added comes after."""
    return tuple(new[:len(old)]) == tuple(old)


def _all(old: Any, new: Any) -> bool:
    return set(old) <= set(new)


def _higher(order: tuple[str, ...]) -> How:
    return lambda old, new: order.index(new) >= order.index(old)


def _lower(old: float, new: float) -> bool:
    return new <= old


def _wider(old: Any, new: Any) -> bool:
    return not old or bool(new and new[0] <= old[0] <= old[1] <= new[1])


def _more_words(old: Any, new: Any) -> bool:
    """The same answers, with the words they had and perhaps more."""
    return old.keys() == new.keys() and all(
        (a.says, a.share) == (b.says, b.share) and set(a.lay) <= set(b.lay)
        for a, b in ((old[k], new[k]) for k in old))


def _emptied(old: str, new: str) -> bool:
    """Where nothing need be done before going on, there is no going on."""
    return not new


FREE: Allowed = dict.fromkeys(("source", "note", "replaces", "allow"), _any)
CAUTION: Allowed = {**FREE, "signal": _higher(SIGNALS[::-1]), "stop": _higher(("no", "yes")),
                    "go_on": _emptied}
STILL: Allowed = {**CAUTION, "go_on": _any}
"""A caution that does not stop the consult may be made to, until what the house says is done."""
QUESTION: Allowed = {**FREE, "minutes": _lower, "range": _wider, "answers": _more_words, "cautions": _more,
                     "needs": _all}
SYMPTOM: Allowed = {**FREE, "lay": _all}
REMEDY: Allowed = {**FREE, "who": _higher(HANDS), "cautions": _more, "before": _if_empty, "stop": _if_empty,
                   "needs": _all}
HARMLESS_REMEDY: Allowed = {**REMEDY, **dict.fromkeys(
    ("name", "steps", "minutes", "shots", "money", "should", "undo", "reversible", "tools", "changes",
     "again"),
    _any)}
CAUSE: Allowed = {**FREE, "look_alikes": _more}
HARMLESS_CAUSE: Allowed = {**FREE, "stop": _if_empty, **dict.fromkeys(
    ("name", "part", "common", "what", "shows", "requires", "evidence", "look_alikes", "confirm", "remedies"),
    _any)}

PRACTICE: Allowed = {**FREE, "maker": _if_empty, "cautions": _all, **dict.fromkeys(
    ("asks", "lay", "answer", "numbers", "worked", "depends", "ask_back", "now"), _any)}


def changed(old: Struct, new: Struct, may: Allowed) -> str:
    """The first field that may not change so; empty where all do as they may."""
    fields: tuple[str, ...] = old.__struct_fields__
    for field in fields:
        before, after = getattr(old, field), getattr(new, field)
        if after != before and not (field in may and may[field](before, after)):
            return field
    return ""


def use(kind: str, name: str, old: Any, new: Any) -> str:
    """Why an entry would let people use what they must not, or let one sign of danger deny another."""
    if kind == "hazards":
        return f"{name}: a hazard of the written list can't be replaced; add one of your own beside it"
    if getattr(old, "use", "yes") not in ("yes", getattr(new, "use", "yes")):
        return f"{name}: `use:` says {old.use!r}; a house can't take that back"
    if lost := set(getattr(old, "needs", ())) - set(getattr(new, "needs", ())):
        return f"{name}: leaves out the need to {', '.join(sorted(lost))}; add it to `needs:`"
    if getattr(old, "several", "no") == "yes" != new.several:
        return (f"{name}: takes several answers, so that no sign of danger denies another; "
                "leave `several: yes`")
    return ""
