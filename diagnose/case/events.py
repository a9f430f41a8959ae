"""What happens in a case, as plain events: a case is the list of them and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Literal

import msgspec

NOTEBOOK, COMPLAINT = "notebook", "complaint"
"""Where an answer came from when no question was put: what `Answered.given` says then."""
Outcome = Literal["solved", "better", "same", "worse"]


class Complained(msgspec.Struct, frozen=True, tag="complained"):
    """The person's own words, and the symptoms they were taken for."""

    text: str
    symptoms: tuple[str, ...]
    read: bool = False
    """Read from the words, and confirmed by nobody."""
    likely: dict[str, float] = {}
    """What else the words may mean: symptoms with their chances, while nobody has confirmed any."""


class Answered(msgspec.Struct, frozen=True, tag="answered"):
    """An observation answered; the value as text, exactly as it can be read again."""

    name: str
    value: str
    given: str = ""
    """What was typed, or where the answer came from (`NOTEBOOK`, `COMPLAINT`)."""


class Unknown(msgspec.Struct, frozen=True, tag="unknown"):
    """An observation the person can't make."""

    name: str


class Tried(msgspec.Struct, frozen=True, tag="tried"):
    """A remedy tried, and what came of it."""

    remedy: str
    outcome: Outcome
    symptoms: tuple[str, ...] = ()
    """New symptoms that came up with it."""
    gone: tuple[str, ...] = ()
    """Of several complaints, those that are gone since."""


class Cleared(msgspec.Struct, frozen=True, tag="cleared"):
    """The person says that a hazard has been dealt with as its caution asks."""

    caution: str


class Rechecked(msgspec.Struct, frozen=True, tag="rechecked"):
    """A contradiction was put to the person, who let the answers stand."""

    key: str


Event = Complained | Answered | Unknown | Tried | Cleared | Rechecked


class Entry(msgspec.Struct, frozen=True):
    """An event with its time, as a journal keeps it."""

    at: str
    event: Event
    undone: bool = False


Journal = Callable[[list[Entry]], None]
"""Keeps all entries of a case as they stand; called after every change, before the next step."""


def now() -> str:
    """The present moment as ISO text, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")
