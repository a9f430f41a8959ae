"""Simulated persons: each has a fault (or two) of the book, and answers by its likelihoods.

They prove the strategy, not the knowledge: what the book has wrong, they have wrong too.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from diagnose.reason import weights
from diagnose.reason.questions.ask import READING_MINUTES
from diagnose.reason.questions.score import Base
from diagnose.reason.system import System

WRONG, CANT_TELL = 0.05, 0.20
"""Shares of answers that are wrong, and of questions that a person can't answer."""
SELDOM = 0.05
"""How much rarer an answer is that goes against the person's own complaint."""
DAYS_AGO = (2, 4, 7, 10, 14, 21, 30, 45, 75, 120, 240)
"""Dates that homes give, as days before today."""
TODAY = date(2026, 3, 31)


@dataclass
class Person:
    """A home with something wrong."""

    system: System
    faults: tuple[str, ...]
    seed: int
    complaints: tuple[str, ...] = ()
    left: list[str] = field(default_factory=list)
    """The faults not yet cured."""
    truth: dict[str, Any] = field(default_factory=dict)
    """What an unhurried look would have shown, as far as it was asked."""

    def __post_init__(self) -> None:
        self.left = list(self.faults)
        self.complaints = tuple(dict.fromkeys(self._complaint(f) for f in self.faults))

    def _dice(self, *about: object) -> random.Random:
        """Chance that is the same for the same person and thing, whatever strategy asks."""
        return random.Random(f"{self.seed} {self.faults} {about}")

    def _complaint(self, fault: str) -> str:
        shows = self.system.book.causes[fault].shows
        names = sorted(s for s in shows if s in self.system.book.symptoms)
        odds = [weights.odds(weights.TYPICAL[shows[s]]) for s in names]
        return self._dice("complaint", fault).choices(names, odds)[0]

    def answer(self, name: str, look_again: bool = False) -> Any:
        """The answer to a question; None: can't tell. A second look is right."""
        right = self._right(name)
        dice = self._dice("noise", name)
        if look_again:
            return right
        if dice.random() < CANT_TELL or right is None:
            return None
        if dice.random() < WRONG / (1 - CANT_TELL):
            others = [v for v, _ in self._choices(name) if v != right]
            return dice.choice(others) if others else right
        return right

    def _right(self, name: str) -> Any:
        """Sampled by how likely each answer is with this fault and the answers before."""
        if name not in self.truth:
            choices = self._choices(name)
            if not choices:
                return None
            base = self.system.scorer.base(self.truth, self.complaints, TODAY)
            odds = [share * self._lift(base, name, value) * self._meant(name, value)
                    for value, share in choices]
            values = [value for value, _ in choices]
            self.truth[name] = self._dice("answer", name).choices(values, odds)[0]
        return self.truth[name]

    def _lift(self, base: Base, name: str, value: Any) -> float:
        """Times that the fault makes an answer likelier; of two faults the one it says more of."""
        change = self.system.scorer.change(base, name, value, frozenset(self.faults))
        moved = [change.decibans.get(fault, 0.0) for fault in self.faults]
        return weights.odds(max(moved, key=abs))

    def _meant(self, name: str, value: Any) -> float:
        """People seldom answer so that what they came with does not hold."""
        facts = self.system.scorer.base({**self.truth, name: value}, self.complaints, TODAY).found
        held = all(fact in facts for s in self.complaints
                   for fact in self.system.book.symptoms[s].finding.items())
        return 1.0 if held else SELDOM

    def _choices(self, name: str) -> list[tuple[Any, float]]:
        if self.system.book.observations[name].kind == "date":
            return [(TODAY - timedelta(days=d), 1 / len(DAYS_AGO)) for d in DAYS_AGO]
        return list(self.system.asker.answers(name))

    def cured_by(self, remedy: str) -> str:
        """What came of a remedy: solved, better (one fault of two is gone) or same."""
        gone = [f for f in self.left if self._dice("cure", f, remedy).random()
                < dict(self.system.planner.uses[f]).get(remedy, 0.0)]
        self.left = [f for f in self.left if f not in gone]
        return "solved" if not self.left else "better" if gone else "same"

    def over(self, complaints: Iterable[str]) -> list[str]:
        """Those of the complaints that no fault left brings."""
        still = {self._complaint(fault) for fault in self.left}
        return [c for c in complaints if c in self.complaints and c not in still]

    def minutes(self, name: str) -> float:
        """What a question costs."""
        return self.system.book.observations[name].minutes + READING_MINUTES


def people(system: System, count: int, seed: int, pairs: float = 0.2,
           in_homes: bool = False) -> list[Person]:
    """Persons with one fault each, every cause before any comes twice, and some with two.

    `in_homes`: drawn instead as often as the book says that homes have the faults.
    """
    rnd = random.Random(seed)
    faulty = sorted(c for c, s in system.book.causes.items()
                    if any(x in system.book.symptoms for x in s.shows))
    odds = [weights.odds(weights.COMMON[system.book.causes[c].common]) if in_homes else 1.0
            for c in faulty]
    two = round(count * pairs)
    alone = (rnd.choices(faulty, odds, k=count - two) if in_homes
             else _shuffled(faulty, count - two, rnd))
    found = [Person(system, (cause,), seed + i) for i, cause in enumerate(alone)]
    for i in range(two):
        first = rnd.choices(faulty, odds)[0]
        second = rnd.choices([c for c in faulty if c != first],
                             [o for c, o in zip(faulty, odds, strict=True) if c != first])[0]
        found.append(Person(system, (first, second), seed + count + i))
    return found


def _shuffled(faulty: Iterable[str], count: int, rnd: random.Random) -> list[str]:
    found: list[str] = []
    while len(found) < count:
        found += rnd.sample(sorted(faulty), len(list(faulty)))
    return found[:count]


def entropy(chances: Iterable[float]) -> float:
    """In bits."""
    return -sum(p * math.log2(p) for p in chances if p > 0)
