"""Fix order: expected minutes of repair, and what to try next.

Decision-theoretic troubleshooting (Heckerman, Breese and Rommelse, Communications of the
ACM 38(3), 1995): for a single fault and independent remedies the order of falling
chance-of-cure / minutes has the least expected minutes. Safety, who may do it and
reversible-first are constraints on the order, not weights in it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from diagnose.kb.book import Book
from diagnose.kb.model import Remedy
from diagnose.reason import weights
from diagnose.reason.prior import OTHER

GIVE_UP_MINUTES = 240.0
"""What it costs when no remedy of the book cured it: finding a technician, days without."""
CALL_MINUTES = 120.0
"""Arranging a technician, on top of the work itself."""
CHECK_MINUTES = 4.0
"""Whatever is tried has to be set up and then checked; no try is free."""
ATTENDED_MINUTES = 30.0
WAITING_SHARE = 0.02
"""What a remedy takes beyond half an hour is mostly waiting, which costs little of a person:
four days' rest for beans count about as much as two hours' work."""
SHOT_MINUTES = 3.0
"""A trial shot: grinding, tamping, pulling, cleaning, and the beans."""
WORTH_TRYING = 0.03
"""A reversible remedy below this chance does not hold up an irreversible one."""
PEOPLE = ("anyone", "careful owner", "technician")


@dataclass(frozen=True)
class Option:
    """A remedy that could be tried now."""

    remedy: str
    chance: float
    """Probability that it cures, as things stand."""
    minutes: float
    who: str
    causes: tuple[tuple[str, float], ...]
    """The causes it would cure, with the part of the chance that each brings."""


def minutes(remedy: Remedy) -> float:
    """What trying a remedy costs, money and a technician's call counted as minutes."""
    call = CALL_MINUTES if remedy.who == "technician" else 0.0
    attended = min(remedy.minutes, ATTENDED_MINUTES)
    waiting = WAITING_SHARE * (remedy.minutes - attended)
    return attended + waiting + CHECK_MINUTES + SHOT_MINUTES * remedy.shots + weights.MONEY[remedy.money] + call


class Planner:
    """The remedies of a book, by cause, ready for many evaluations."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.cost = {name: minutes(remedy) for name, remedy in book.remedies.items()}
        self.uses = {
            name: tuple((use.remedy, weights.CURES[use.cures]) for use in cause.remedies)
            for name, cause in book.causes.items()
        }

    def expected_minutes(self, chances: Mapping[str, float],
                         barred: Collection[str] = ()) -> float:
        """Expected cost of repair under these posteriors, remedies in their best static order."""
        gains: dict[str, float] = {}
        for cause, chance in chances.items():
            for remedy, cures in self.uses.get(cause, ()):
                if remedy not in barred:
                    gains[remedy] = gains.get(remedy, 0.0) + chance * cures
        order = sorted(gains, key=lambda r: gains[r] / self.cost[r], reverse=True)
        return self.cost_of(order, chances)

    def cost_of(self, order: Iterable[str], chances: Mapping[str, float]) -> float:
        """Expected minutes when remedies are tried in this order until one cures."""
        tried: set[str] = set()
        left = {c: dict(self.uses.get(c, ())) for c in chances}
        alive = dict(chances)
        spent = 0.0
        for remedy in order:
            spent += self.cost[remedy] * sum(alive.values())
            tried.add(remedy)
            for cause, cures in left.items():
                if remedy in cures:
                    alive[cause] *= 1 - cures[remedy]
        return spent + GIVE_UP_MINUTES * sum(alive.values())

    def order(self, chances: Mapping[str, float], barred: Collection[str] = (),
              refused: Collection[str] = ()) -> list[Option]:
        """The remedies in the order to try them, each with its chance at its turn.

        `barred` are out of the question (tried, or their requirements fail); `refused` are
        classes of people who are not here, such as `technician`.
        """
        alive = {c: p for c, p in chances.items() if c != OTHER and p >= 0.002}
        waiting = {r for c in alive for r, _ in self.uses[c]} - set(barred)
        waiting = {r for r in waiting if self.book.remedies[r].who not in refused}
        ordered: list[Option] = []
        while waiting:
            options = [self._option(r, alive) for r in sorted(waiting)]
            best = max(self._allowed(options), key=lambda o: o.chance / o.minutes)
            ordered.append(best)
            waiting.discard(best.remedy)
            for cause in alive:
                alive[cause] *= 1 - dict(self.uses[cause]).get(best.remedy, 0.0)
        return ordered

    def _allowed(self, options: list[Option]) -> list[Option]:
        """What can be undone comes first, while any of it is worth trying."""
        gentle = [o for o in options if self.book.remedies[o.remedy].reversible == "yes"
                  and o.who != "technician" and o.chance >= WORTH_TRYING]
        harsh = [o for o in options if self.book.remedies[o.remedy].reversible == "no"]
        if gentle and harsh:
            return [o for o in options if o not in harsh]
        return options

    def _option(self, remedy: str, alive: Mapping[str, float]) -> Option:
        parts = [(c, p * dict(self.uses[c])[remedy]) for c, p in alive.items()
                 if remedy in dict(self.uses[c])]
        parts.sort(key=lambda part: -part[1])
        return Option(remedy, sum(p for _, p in parts), self.cost[remedy],
                      self.book.remedies[remedy].who, tuple(parts))
