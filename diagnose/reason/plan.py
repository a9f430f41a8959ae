"""Fix order: expected minutes of repair, and what to try next.

Decision-theoretic troubleshooting (Heckerman, Breese and Rommelse, Communications of the
ACM 38(3), 1995): for a single fault and independent remedies the order of falling
chance-of-cure / minutes has the least expected minutes. Safety, who may do it and
reversible-first are constraints on the order, not weights in it.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

import msgspec

from diagnose.book.book import Book
from diagnose.book.model import Remedy
from diagnose.reason import weights
from diagnose.reason.infer.prior import OTHER

GIVE_UP_MINUTES = 240.0
"""What it costs when no remedy of the book cured it: finding a technician, days without. At 120 no first
fix of the worked cases changes for better or worse."""
CALL_MINUTES = 120.0
"""Minutes for arranging a technician, on top of the work itself; at 60 the worked cases stay as they are."""
CHECK_MINUTES = 4.0
"""Minutes to set up and then check whatever is tried; no try is free. At 8 one worked case more of 239 has
the right fix first."""
LONG_SHOT = 0.5
"""A remedy with less than this part of the likeliest one's chance is not tried before it. At 0.25 the right
fix is first in 167 worked cases instead of 171."""
ATTENDED_MINUTES = 30.0
"""Minutes of a remedy that a person spends on it; what it takes beyond them is mostly waiting. At 60 the
right fix is first in 169 worked cases instead of 171."""
WAITING_SHARE = 0.02
"""The part of that waiting which counts: four days' rest for beans are about as much as two hours' work.
At 0.1 one worked case less has the right fix first."""
TOOLS_MINUTES = 3.0
"""Minutes for finding the tools: of two remedies alike, the one that needs none comes first. Without them
two worked cases less have the right fix first."""
SHOT_MINUTES = 3.0
"""Minutes that a trial shot counts: grinding, tamping, pulling, cleaning, and the beans. At 6 two worked
cases less have the right fix first."""
MIN_REVERSIBLE_CHANCE = 0.03
"""A reversible remedy below this chance does not hold up an irreversible one. At 0.1 one worked case less
has the right fix first."""
MIN_POSTERIOR = 0.002
"""Causes below this posterior have no part in the fix order; at 0.02 the worked cases stay as they are."""
MOST_ORDERED = 12
"""Remedies put in order at most."""
HARM_MINUTES = 120.0
"""Minutes that count where a remedy does harm: a part broken, a burn, or a mains fault met by hand. At 30
one worked case less has the right fix first."""
HARMFUL = 0.1
"""From this posterior of a cause a remedy that would do harm under it does not come first. At 0.2 the worked
cases stay as they are: it is there for safety's sake."""
PRUNE_RATIO = 0.7
"""Remedies whose chance is worth less than this part of their minutes are not looked at. Below 1, since two
may be worth trying in turn that are not worth it by themselves."""
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


Users = dict[str, list[tuple[str, float]]]
"""Remedy to the causes it cures, each with the chance that it does."""
Harms = dict[str, list[str]]
"""Remedy to the causes under which it does harm."""


class Plan(msgspec.Struct, frozen=True):
    """Remedies in the order to try them before giving up, and the minutes to expect."""

    minutes: float
    order: tuple[str, ...]


def minutes(remedy: Remedy) -> float:
    """What trying a remedy costs, money and a technician's call counted as minutes."""
    call = CALL_MINUTES if remedy.who == "technician" else 0.0
    attended = min(remedy.minutes, ATTENDED_MINUTES)
    waiting = WAITING_SHARE * (remedy.minutes - attended)
    tools = TOOLS_MINUTES if remedy.tools and remedy.who != "technician" else 0.0
    return (attended + waiting + CHECK_MINUTES + SHOT_MINUTES * remedy.shots
            + weights.MONEY[remedy.money] + tools + call)


class Planner:
    """The remedies of a book, by cause, ready for many evaluations."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.cost = {name: minutes(remedy) for name, remedy in book.remedies.items()}
        self.uses = {
            name: tuple((use.remedy, weights.CURES[use.cures]) for use in cause.remedies)
            for name, cause in book.causes.items()
        }
        self.cured: dict[str, dict[str, float]] = {}
        """Remedy to the causes it cures, each with the chance that it does."""
        for cause, uses in self.uses.items():
            for remedy, cures in uses:
                self.cured.setdefault(remedy, {})[cause] = cures
        self._cures = {name: dict(uses) for name, uses in self.uses.items()} | {OTHER: {}}
        self.harms = {name: frozenset(r.harmful_under.causes) for name, r in book.remedies.items()
                      if r.harmful_under and r.harmful_under.causes}
        """Remedy to the causes under which it does harm."""
        self.alone = {c: self.expected_minutes({c: 1.0}) for c in self.uses} | {OTHER: GIVE_UP_MINUTES}
        """What it would take, in minutes, if the cause were known."""

    def expected_minutes(self, chances: Mapping[str, float],
                         barred: Collection[str] = ()) -> float:
        """Expected cost of repair under these posteriors, in minutes.

        Remedies are tried by falling chance of cure / minutes, each taken as things stand at
        its turn, up to where giving up is cheaper. `chances` may be scaled; so is the result.
        """
        return self.plan(chances, barred).minutes

    def plan(self, chances: Mapping[str, float], barred: Collection[str] = (),
             users: Users | None = None, harms: Harms | None = None) -> Plan:
        """The fix order behind `expected_minutes`, with those minutes.

        `users` and `harms`, as `users()` and `harming()` give them for these causes, save looking them up
        again.
        """
        cost, users = self.cost, self.users(chances, barred) if users is None else users
        harms = self.harming(users, chances) if harms is None else harms
        alive, total = dict(chances), sum(chances.values())
        waiting = []
        for remedy, cured in users.items():
            gain = 0.0
            for cause, cures in cured:
                gain += alive[cause] * cures
            takes = cost[remedy] + (_harm(harms[remedy], alive, total) if remedy in harms else 0.0)
            waiting.append((-gain / takes, remedy))
        heapq.heapify(waiting)
        spent, best, stop = 0.0, GIVE_UP_MINUTES * total, 0
        order: list[str] = []
        while waiting and waiting[0][0] * GIVE_UP_MINUTES < -PRUNE_RATIO * total:
            _, remedy = heapq.heappop(waiting)
            cured = users[remedy]
            gain = sum([alive[c] * q for c, q in cured])
            takes = cost[remedy] + (_harm(harms[remedy], alive, total) if remedy in harms else 0.0)
            ratio = -gain / takes
            if waiting and ratio > waiting[0][0]:               # an earlier one cured part of it
                heapq.heappush(waiting, (ratio, remedy))
                continue
            order.append(remedy)
            spent += takes * total
            total -= gain
            for cause, cures in cured:
                alive[cause] *= 1 - cures
            if spent + GIVE_UP_MINUTES * total < best:
                best, stop = spent + GIVE_UP_MINUTES * total, len(order)
        return Plan(best, tuple(order[:stop]))

    def users(self, chances: Iterable[str], barred: Collection[str] = ()) -> Users:
        """Each remedy open to these causes, with those that it cures and how surely."""
        users: Users = {}
        for cause in chances:
            for remedy, cures in self.uses.get(cause, ()):
                if remedy not in barred:
                    users.setdefault(remedy, []).append((cause, cures))
        return users

    def harming(self, users: Iterable[str], causes: Collection[str]) -> Harms:
        """Those of the remedies that do harm under some of these causes, with these."""
        return {remedy: found for remedy in users
                if (found := [c for c in self.harms.get(remedy, ()) if c in causes])}

    def wasted(self, order: Iterable[str], chances: Mapping[str, float]) -> float:
        """Minutes expected to be lost on the first fix where it does not reach the cause.

        Without end where there is none, or where it can't be undone or takes a technician:
        nobody starts on that to see whether it helps.
        """
        aims = {r: sum(p for c, p in chances.items() if r in self._cures.get(c, {}))
                for r in order}
        most = max(aims.values(), default=0.0)
        first = next((r for r, aim in aims.items() if aim >= LONG_SHOT * most), None)
        if first is None or self.book.remedies[first].reversible == "no" \
                or self.book.remedies[first].who == "technician":
            return math.inf
        return self.cost[first] * (1 - aims[first]) + _harm(self.harms.get(first, ()), chances, 1.0)

    def by_cause(self, order: Iterable[str], causes: Iterable[str]) -> dict[str, float]:
        """Expected minutes of trying remedies in this order and then giving up, by the cause."""
        spent = dict.fromkeys(causes, 0.0)
        alive = dict.fromkeys(spent, 1.0)
        for remedy in order:
            for cause in spent:
                harm = HARM_MINUTES if cause in self.harms.get(remedy, ()) else 0.0
                spent[cause] += (self.cost[remedy] + harm) * alive[cause]
                alive[cause] *= 1 - self._cures[cause].get(remedy, 0.0)
        return {cause: spent[cause] + GIVE_UP_MINUTES * alive[cause] for cause in spent}

    def cost_of(self, order: Iterable[str], chances: Mapping[str, float]) -> float:
        """Expected minutes when all these remedies are tried in this order until one cures."""
        minutes = self.by_cause(order, chances)
        return sum(chance * minutes[cause] for cause, chance in chances.items())

    def order(self, chances: Mapping[str, float], barred: Collection[str] = (),
              refused: Collection[str] = (), most: int = MOST_ORDERED) -> list[Option]:
        """The remedies in the order to try them, each with its chance at its turn.

        `barred` are out of the question (tried, or their requirements fail); `refused` are
        classes of people who are not here, such as `technician`; `most` is how many are wanted.
        """
        alive = {c: p for c, p in chances.items() if c != OTHER and p >= MIN_POSTERIOR}
        users = {r: cured for r, cured in sorted(self.users(alive, barred).items())
                 if self.book.remedies[r].who not in refused}
        ordered: list[Option] = []
        while users and len(ordered) < most:
            gains = {r: sum(alive[c] * q for c, q in cured) for r, cured in users.items()}
            left = sum(alive.values()) + chances.get(OTHER, 0.0)
            best = max(self._allowed(gains), key=lambda r: gains[r] / (
                self.cost[r] + _harm(self.harms.get(r, ()), alive, left)))
            cured = users.pop(best)
            ordered.append(self._option(best, gains[best], cured, alive))
            for cause, cures in cured:
                alive[cause] *= 1 - cures
        return ordered

    def harmful(self, remedy: str, chances: Mapping[str, float]) -> bool:
        """Is a cause under which it would do harm too likely for it to come first?"""
        return any(chances.get(c, 0.0) >= HARMFUL for c in self.harms.get(remedy, ()))

    def _allowed(self, gains: Mapping[str, float]) -> list[str]:
        """What can be undone comes first, while any of it is worth trying."""
        harsh = {r for r in gains if self.book.remedies[r].reversible == "no"}
        gentle = any(chance >= MIN_REVERSIBLE_CHANCE and r not in harsh
                     and self.book.remedies[r].who != "technician" for r, chance in gains.items())
        return [r for r in gains if not gentle or r not in harsh]

    def _option(self, remedy: str, chance: float, cured: Iterable[tuple[str, float]],
                alive: Mapping[str, float]) -> Option:
        parts = sorted(((c, alive[c] * q) for c, q in cured), key=lambda part: -part[1])
        return Option(remedy, chance, self.cost[remedy], self.book.remedies[remedy].who,
                      tuple(parts))


def _harm(causes: Collection[str], alive: Mapping[str, float], total: float) -> float:
    """The minutes of harm to expect of a remedy, by the causes under which it does any; `total`: of all."""
    if not causes or total <= 0:
        return 0.0
    return HARM_MINUTES * sum([alive.get(c, 0.0) for c in causes]) / total
