"""What follows from a handful of answers: a plain evaluator, good for looking and not for speed.

Findings are worked out on demand, each from its own conclusions; where they go round in a
circle, what is being worked out counts as not concluded.
"""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.book.conditions import Alternative
from diagnose.book.lint.survey import Survey


class World:
    """Answers (name to value or band) and everything that follows from them."""

    def __init__(self, survey: Survey, answers: Mapping[str, str]) -> None:
        self._survey, self._found = survey, {n: frozenset({v}) for n, v in answers.items()}
        self._busy: set[str] = set()

    def values(self, name: str) -> frozenset[str]:
        """The values that a name has; none where nothing is known of it."""
        if name in self._found:
            return self._found[name]
        finding = self._survey.book.findings.get(name)
        if finding is None or name in self._busy:
            return frozenset()
        self._busy.add(name)
        found = frozenset(value for value in finding.values
                          if any(self.any_holds(stated.alternatives)
                                 for stated in self._survey.concludes.get((name, value), ())))
        self._busy.discard(name)
        if not self._busy:
            self._found[name] = found
        return found

    def any_holds(self, alternatives: tuple[Alternative, ...]) -> bool:
        """Does one of the alternatives hold?"""
        return any(self.all_hold(alternative) for alternative in alternatives)

    def all_hold(self, alternative: Alternative) -> bool:
        """Do all literals of an alternative hold?"""
        for name, wanted, holds in alternative:
            values = self.values(name)
            there = bool(values) if wanted is None else bool(values & wanted)
            if there != holds:
                return False
        return True
