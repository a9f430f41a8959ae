"""The hazards of the book in a case: which are told, and what tells and stops by itself."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, NamedTuple

from diagnose.book.book import Book
from diagnose.book.model import SIGNALS
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.rules import CAUTION
from diagnose.reason.require import holds
from diagnose.reason.system import System


class HazardTold(NamedTuple):
    """What it means for a case that a hazard was told."""

    symptom: str
    """The complaint to make of it."""
    caution: str
    """The caution that then shows."""
    stops: bool
    """Does that stop the consult?"""


def of(book: Book, hazard: str) -> HazardTold:
    """What a hazard of the written list comes to in a case; KeyError for one it does not hold."""
    stated = book.hazards[hazard]
    return HazardTold(stated.symptom, stated.caution, book.cautions[stated.caution].stop == "yes")


def told(inference: Inference) -> tuple[str, ...]:
    """The hazards that complaints and answers tell of: somebody hurt first, then the gravest.

    Those that a house adds come after the book's.
    """
    book = inference.book
    found = [n for n in book.hazards if _is_told(inference, n)]
    return tuple(sorted(found, key=lambda n: (
        bool(book.added_by("hazards", n)), book.hazards[n].hurt == "no",
        SIGNALS.index(book.hazards[n].signal))))


def _is_told(inference: Inference, name: str) -> bool:
    """By its complaint, by the answers it names, or by the finding that its complaint claims."""
    stated, path = inference.book.hazards[name], ("hazards", name, "when")
    if stated.symptom in inference.complaints:
        return True
    if path not in inference.book.conditions:
        return inference.holds(stated.symptom)
    return any(all(holds(literal, inference.by_name) for literal in alternative)
               for alternative in inference.book.holds(path))


class Alarms:
    """The hazards of one book; each thing said is looked at once."""

    def __init__(self, system: System, today: date | None = None) -> None:
        self.system, self.today = system, today
        self._found: dict[tuple[str, Any], tuple[str, ...]] = {}

    def symptom(self, name: str) -> tuple[str, ...]:
        """The cautions by which a symptom alone stops a consult."""
        if (name, None) not in self._found:
            self._found[name, None] = self._alone({}, [name])
        return self._found[name, None]

    def answer(self, name: str, value: Any) -> tuple[str, ...]:
        """The cautions by which an answer alone stops a consult."""
        if (name, value) not in self._found:
            self._found[name, value] = self._alone({name: value}, [])
        return self._found[name, value]

    def _alone(self, values: dict[str, Any], complaints: Iterable[str]) -> tuple[str, ...]:
        """As a whole inference would raise them, without the evidence, which raises none."""
        reasoner = self.system.reasoner
        measured = reasoner.measurer.measure(values, self.today)
        found = reasoner.findings.run(reasoner.facts(values, measured, complaints)).facts
        stopping = self.system.book.cautions
        return tuple(sorted((n for kind, n in found if kind == CAUTION and stopping[n].stop == "yes"),
                            key=self.system.book.caution_rank))
