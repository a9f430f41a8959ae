"""Signs of danger add up: what a complaint told stands, whatever a question is answered later."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.book import answers, conditions
from diagnose.book.book import Book


class SignQuestions:
    """The questions of a book that take several answers, and the complaints that answer them too."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._told = {s: answer for s, stated in book.symptoms.items()
                      for fact in stated.finding.items() if (answer := self._answer(*fact))}

    def _answer(self, finding: str, value: str) -> tuple[str, str] | None:
        """The first answer, to a question that takes several, that makes a finding by itself."""
        node = self._book.conditions.get(("findings", finding, "values", value, "when"))
        tests = conditions.sufficient_tests(node) if node else ()
        return next(((t.name, t.words[0]) for t in tests if t.words and t.name in self._book.observations
                     and self._book.observations[t.name].several == "yes"), None)

    def given(self, name: str, value: str, complaints: Iterable[str]) -> list[str]:
        """The answers to a question that hold: those given, and those that complaints told before.

        One that can't stand beside others, such as `none of these`, gives way to what was told.
        """
        stated = self._book.observations.get(name)
        if stated is None or stated.several == "no":
            return [value]
        told = [a for s in complaints if s in self._told for n, a in [self._told[s]] if n == name]
        return list(answers.together(stated, [*answers.parts(value), *told]))
