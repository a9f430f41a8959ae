"""What a check finds: where, which check, the values at fault, and the mend."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from diagnose.book.problems import Place

if TYPE_CHECKING:
    from diagnose.book.lint.survey import Survey
    from diagnose.book.yaml.source import KeyPath

ERROR = "error"
ADVICE = "advice"


class Violation(NamedTuple):
    """One thing a check found: the path of the place, the text with the mend, who else it is about."""

    path: KeyPath
    text: str
    also: tuple[KeyPath, ...] = ()
    """Other entries (kind, name) that it is about as much; any of them may allow it."""


class Issue(NamedTuple):
    """One finding of the linter, sorted by place."""

    place: Place
    severity: str
    check: str
    kind: str
    id: str
    text: str

    def __str__(self) -> str:
        return f"{self.place}: {self.severity}: {self.check}: {self.text}"


CheckFunction = Callable[["Survey"], Iterator[Violation]]


@dataclass(frozen=True)
class Check:
    """One check: its name in `allow:`, how grave, what it looks for."""

    name: str
    severity: str
    find: CheckFunction

    @property
    def about(self) -> str:
        """What it looks for, in one line."""
        return (self.find.__doc__ or "").strip().splitlines()[0]


def check(severity: str) -> Callable[[CheckFunction], Check]:
    """Make a check of a function; its name is the check's."""
    return lambda find: Check(find.__name__, severity, find)
