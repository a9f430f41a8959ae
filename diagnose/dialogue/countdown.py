"""How many questions are left, as a person hears it: the number never rises while they only answer."""

from __future__ import annotations

from collections.abc import Collection

from diagnose.case import hypothetical
from diagnose.case.case import Case
from diagnose.case.events import Complained, Tried

Standing = tuple[tuple[int, ...], tuple[str, ...]]
"""The entries of a case that stand, by their places, and the questions put aside."""


class Countdown:
    """The counts of one consult, each kept for where it was said, so that going back says it again."""

    def __init__(self) -> None:
        self._said: dict[Standing, hypothetical.QuestionsLeft] = {}

    def left(self, case: Case, aside: Collection[str]) -> hypothetical.QuestionsLeft | None:
        """The questions likely left; None where that would be more than was said before."""
        standing = tuple(i for i, e in enumerate(case.entries) if not e.undone), tuple(aside)
        if standing not in self._said:
            self._said[standing] = hypothetical.questions_left(hypothetical.without(case, aside))
        found, before = self._said[standing], self._before(case, standing[0])
        return found if before is None or found.count <= before else None

    def _before(self, case: Case, standing: tuple[int, ...]) -> int | None:
        """The least that was counted on the way here, since something new was told or tried."""
        news = max((i for i in standing if isinstance(case.entries[i].event, Complained | Tried)), default=-1)
        return min((left.count for (at, _), left in self._said.items()
                    if news in (*at, -1) and len(at) < len(standing) and standing[:len(at)] == at
                    and not left.at_least), default=None)
