"""What a consult is given from outside: the reading of lay words, and the person's notebook."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from diagnose.case.case import Case


class Lookup(Protocol):
    """Reads lay words; given from outside, since a consult knows no search."""

    def understand(self, text: str) -> Any:
        """Symptoms, values and notes read out of what was said, and symptoms in doubt (`maybe`)."""

    def search(self, text: str) -> Sequence[Any]:
        """Symptoms that words may mean, best first: each with id, name and score."""

    def near_danger(self, text: str) -> Sequence[str]:
        """The complaints about dangers that words may tell of."""

    def asked(self, text: str) -> Sequence[Any]:
        """The questions of practice that words ask, in order: each with its entry of the book."""

    def besides(self, text: str, answered: Sequence[Any], hazardous: Callable[[str], bool]) -> str:
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
