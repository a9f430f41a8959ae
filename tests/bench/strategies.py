"""Other ways to choose questions, to hold ours against."""

from __future__ import annotations

import random
from collections.abc import Mapping

from diagnose.reason import weights
from diagnose.reason.questions.ask import LOOKED_AT, Look, Question, State
from diagnose.reason.system import System
from tests.bench.people import entropy

ASKED = 8
"""Questions that a questionnaire, and one that picks at random, put before the first fix."""
LEAST_BITS = 0.15
"""What greedy entropy still asks for."""


class Chosen(System):
    """The system with another way to choose questions; it shares all else."""

    def __init__(self, system: System) -> None:
        super().__init__(system.book, system.history)
        for part in ("reasoner", "scorer", "planner", "reach", "questions", "remedies",
                     "explainers"):
            self.__dict__[part] = getattr(system, part)
        self.own = system.asker
        self.__dict__["asker"] = self
        self.put = 0
        """Questions put so far; the interview counts."""

    def best(self, state: State, most: int = LOOKED_AT) -> Question | None:
        """What to ask next; None: fix."""
        look = self.own.look(state)
        name = self.pick(look)
        if name is None:
            return None
        first = self.own.first_input(name, state)
        return Question(first, 0.0, ())

    def pick(self, look: Look) -> str | None:
        """An observation or measure, or None."""
        raise NotImplementedError

    def _open(self, look: Look) -> list[str]:
        return self.own.candidates(look.chances, look.state)


class Questionnaire(Chosen):
    """Fixed order: for each complaint the same questions to everybody.

    Those are the observations that bear on a cause of the complaint: all of them in the order
    of the book, or the few that matter most for their minutes, most telling first.
    """

    def __init__(self, system: System, asked: int | None = ASKED) -> None:
        super().__init__(system)
        self.asked = asked
        self._lists: dict[tuple[str, ...], list[str]] = {}

    def pick(self, look: Look) -> str | None:
        names = self._list(look.state.complaints)
        return next((n for n in names if n not in look.state.closed), None)

    def _list(self, complaints: tuple[str, ...]) -> list[str]:
        if complaints not in self._lists:
            worth = self._worth(complaints)
            if self.asked is None:
                order = [n for n in self.book.observations if n in worth]
            else:
                cost = {n: self.book.observations[n].minutes + 1.0 for n in worth}
                order = sorted(worth, key=lambda n: (-worth[n] / cost[n], n))[:self.asked]
            self._lists[complaints] = order
        return self._lists[complaints]

    def _worth(self, complaints: tuple[str, ...]) -> dict[str, float]:
        """How much each observation weighs on the causes of a complaint, common ones more."""
        worth: dict[str, float] = {}
        for cause, stated in self.book.causes.items():
            if any(c in stated.shows for c in complaints):
                common = weights.odds(weights.COMMON[stated.common])
                for leaf, weight in self.reach.cause[cause].items():
                    if leaf in self.book.observations:
                        worth[leaf] = worth.get(leaf, 0.0) + common * weight
        return worth


class AtRandom(Chosen):
    """Any question that bears on a cause in play, as many as a questionnaire puts."""

    def __init__(self, system: System, seed: int, asked: int = ASKED) -> None:
        super().__init__(system)
        self.asked, self.seed = asked, seed

    def pick(self, look: Look) -> str | None:
        known: Mapping[str, object] = look.state.values
        names = [n for n in self._open(look) if n in self.book.observations]
        if not names or self.put >= self.asked:
            return None
        return random.Random(f"{self.seed} {sorted(map(str, known.items()))}").choice(names)


class GreedyEntropy(Chosen):
    """The question that leaves the least doubt about the cause, whatever it costs."""

    def pick(self, look: Look) -> str | None:
        doubt, best, name = entropy(look.chances.values()), LEAST_BITS, None
        for candidate in self._open(look):
            branches = self.own.branches(candidate, look)
            left = sum(b.likely * entropy(p / b.likely for p in b.joint.values())
                       for b in branches)
            if branches and doubt - left > best:
                best, name = doubt - left, candidate
        return name
