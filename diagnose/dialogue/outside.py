"""What a consult is given from outside: the reading of lay words, and the person's notebook."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Protocol

from diagnose.case.case import Case
from diagnose.reading.questions import Asked


class Interpretation(Protocol):
    """What lay words were read as."""

    @property
    def symptoms(self) -> Sequence[str]:
        """The symptoms claimed, the surest first."""

    @property
    def maybe(self) -> Sequence[str]:
        """Symptoms that the words could mean."""

    @property
    def values(self) -> Mapping[str, str]:
        """Answers: observation to the text that its answer takes."""

    @property
    def doubtful(self) -> Mapping[str, str]:
        """Answers that the words could mean."""

    @property
    def tried(self) -> Mapping[str, str]:
        """Remedies tried already, with what came of them."""

    @property
    def notes(self) -> Sequence[str]:
        """What to tell the person."""


class Found(Protocol):
    """An entry of the book that a search found."""

    @property
    def id(self) -> str:
        """Its name in the book."""

    @property
    def name(self) -> str:
        """Its name in plain words."""


class Lookup(Protocol):
    """Reads lay words; given from outside, since a consult knows no search."""

    def understand(self, text: str) -> Interpretation:
        """What was said, read."""

    def search(self, text: str) -> Sequence[Found]:
        """Symptoms that words may mean, best first."""

    def near_danger(self, text: str) -> Sequence[str]:
        """The complaints about dangers that words may tell of."""

    def asked(self, text: str) -> Sequence[Asked]:
        """The questions of practice that words ask, in order: each with its entry of the book."""

    def besides(self, text: str, answered: Sequence[Asked], hazardous: Callable[[str], bool]) -> str:
        """What words say besides the questions answered, hazards told in these included."""


class Memory(Protocol):
    """The person's notebook; given from outside, since a consult keeps none. Raises UserError."""

    def prepare(self, case: Case) -> Sequence[str]:
        """Answer what is known of the equipment; what was answered, in words."""

    def offered(self, case: Case) -> Sequence[str]:
        """What of the case is new and worth keeping, in words."""

    def grinds(self, case: Case) -> bool:
        """Is the grinder's mark worth asking for with it?"""

    def keep(self, case: Case, mark: float | None) -> None:
        """Keep it."""
