"""Random books and cases: small worlds where every feature meets every other."""

from __future__ import annotations

import random

from diagnose.engine import EngineRule, Fact, NameTest
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import fold

OBSERVED = [f"o{i}" for i in range(8)]
VALUES = [f"v{i}" for i in range(4)]
STRATA = 3


def book(rnd: random.Random, most: int = 150) -> list[EngineRule]:
    """4 to `most` rules in three strata; about half with negation, names with several values."""
    below: list[str] = list(OBSERVED)
    rules: list[EngineRule] = []
    count = rnd.randrange(4, most + 1)
    for stratum in range(STRATA):
        own = [f"d{stratum}{i}" for i in range(5)]
        for _ in range(max(1, count // STRATA)):
            rules.append(_rule(rnd, f"r{len(rules)}", below, own))
        below += own
    rnd.shuffle(rules)
    return rules


def case(rnd: random.Random) -> list[Fact]:
    """Facts of some observed names, now and then several of one name, or of a derived name."""
    facts = [(name, value) for name in OBSERVED for value in VALUES if rnd.random() < 0.22]
    if rnd.random() < 0.2:
        facts.append((f"d{rnd.randrange(STRATA)}{rnd.randrange(5)}", rnd.choice(VALUES)))
    if rnd.random() < 0.2:
        facts += [("o1", "never mentioned"), ("never mentioned", "v1")]
    rnd.shuffle(facts)
    return facts


def _rule(rnd: random.Random, name: str, below: list[str], own: list[str]) -> EngineRule:
    while True:
        wants = [_pattern(rnd, rnd.choice(below + own)) for _ in range(rnd.choice((0, 1, 1, 2, 2, 3, 4)))]
        refuses = [_pattern(rnd, rnd.choice(below)) for _ in range(rnd.choice((0, 0, 1, 1, 2)))]
        if wants and rnd.random() < 0.3:                 # say something more of a name already there
            again = _pattern(rnd, rnd.choice(wants).name)
            (refuses if again.name in below and rnd.random() < 0.5 else wants).append(again)
        then = (rnd.choice(own), rnd.choice(VALUES))
        rule = EngineRule(name, tuple(wants), tuple(refuses), then)
        try:
            fold(rule)
        except EngineError:                              # it can never fire: refused, and rightly
            continue
        return rule


def _pattern(rnd: random.Random, name: str) -> NameTest:
    if rnd.random() < 0.15:
        return NameTest(name, None)
    return NameTest(name, frozenset(rnd.sample(VALUES, rnd.choice((1, 1, 1, 2, 3)))))
