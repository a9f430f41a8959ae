"""Which of the things a person may say stop a consult by themselves, as a hazard."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from diagnose.reason.infer.rules import CAUTION
from diagnose.reason.system import System


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
