"""Facts, findings and weights in plain words, to say back to a person."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from diagnose.book.answers import shown
from diagnose.book.book import Book
from diagnose.compute import units
from diagnose.compute.registry import TEXT, said
from diagnose.engine.rule import Fact
from diagnose.reason.explain.chance import percent, sure
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.rules import COMPLAINT

__all__ = ["Words", "percent", "sure"]


class Words:
    """Says the facts of one inference; numbers as they were given, not as bands."""

    def __init__(self, inference: Inference, values: Mapping[str, Any]) -> None:
        self.book: Book = inference.book
        self.inference, self.values = inference, values

    def fact(self, fact: Fact) -> str:
        """One fact as a clause: `you said ...`, `the shot time is 19 s`, or what a finding says."""
        name, value = fact
        if name in self.book.findings:
            return self.book.findings[name].values[value].says
        if name in self.book.measures:
            return f"the {self.book.measures[name].label} is {self._number(name)}"
        if name == COMPLAINT:
            return f"the complaint: {self.book.symptoms[value].name}"
        if name in self.book.observations:
            return self._observation(name, value)
        return f"{name}: {value}"

    def facts(self, on: Iterable[Fact]) -> str:
        """The facts that a rule fired on, each once."""
        return "; ".join(dict.fromkeys(map(self.fact, on))) or "as things stand"

    def _number(self, name: str) -> str:
        value = self.inference.measured.get(name)
        return "not known" if value is None else said(value, self.book.names.units.get(name, TEXT))

    def _observation(self, name: str, value: str) -> str:
        stated = self.book.observations[name]
        ask = stated.ask.rstrip("?")
        if stated.kind == "choice":
            return f"you said: {stated.answers[value].says}"
        if stated.kind == "quantity":
            return f"you measured {units.show(self.values[name], stated.unit)} ({_short(ask)})"
        return f"you said {value} to: {ask}?"

    def answer(self, name: str, value: Any) -> str:
        """A question's answer in words, for a list of what is known."""
        stated = self.book.observations[name]
        return shown(stated, float(value) if stated.kind == "quantity" else value)


def _short(ask: str) -> str:
    return ask.split(",")[0].split(":")[-1].strip().lower()
