"""Milliseconds per run and to compile, at the size of a real book.

    python tests/bench/engine_bench.py [--rules 500 2000 3000] [--cases 300]

The book is invented: 400 names of 2 to 6 values; half the rules weigh evidence, each with an
"otherwise" rule that negates it; a quarter conclude findings that other rules build on. A case
gives 15 facts. Each size runs in a process of its own, so memory is its own.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from diagnose.engine import Engine, EngineRule, Fact, NameTest

NAMES, GIVEN = 400, 15


def values_of(name: int) -> list[str]:
    """The values the name can have."""
    return [f"v{i}" for i in range(2 + name % 5)]


def book(count: int, seen: float = 0.95, seed: int = 1) -> list[EngineRule]:
    """`count` rules: findings from observations, then evidence with its otherwise.

    `seen`: share of the otherwise rules that want the name known; the rest fire on mere absence.
    """
    rnd = random.Random(seed)
    findings = [f"finding{i}" for i in range(NAMES // 4)]

    def test(names: list[str] | None = None) -> NameTest:
        name = rnd.choice(names) if names else f"name{rnd.randrange(NAMES)}"
        values = values_of(int(name.removeprefix("name"))) if name.startswith("name") else values_of(1)
        picked = rnd.sample(values, rnd.choice((1, 1, 1, 2)) if len(values) > 2 else 1)
        return NameTest(name, None if rnd.random() < 0.1 else frozenset(picked))

    rules: list[EngineRule] = []
    for i in range(count // 4):
        then = (rnd.choice(findings), rnd.choice(values_of(1)))
        wants = tuple(test() for _ in range(rnd.randrange(1, 4)))
        rules.append(EngineRule(f"finding rule {i}", _apart(wants), (), then))
    while len(rules) < count:
        i = len(rules)
        wants = _apart(tuple(test(findings if rnd.random() < 0.5 else None)
                             for _ in range(rnd.randrange(1, 4))))
        rules.append(EngineRule(f"evidence {i}", wants, (), (f"evidence{i}", "for")))
        base = _apart((NameTest(wants[0].name, None), *wants[1:])) if rnd.random() < seen else ()
        none = wants[:1] if wants[0].values or not base else (test(),)
        rules.append(_sound(EngineRule(f"otherwise {i}", base, none, (f"evidence{i}", "against"))))
    return rules[:count]


def _sound(rule: EngineRule) -> EngineRule:
    """Without the conditions that what the rule refuses would make impossible."""
    refused = {pattern.name: pattern.values for pattern in rule.none}
    wants = tuple(p for p in rule.all if p.name not in refused or (p.values is None and refused[p.name]))
    return EngineRule(rule.name, wants, rule.none, rule.then)


def _apart(patterns: tuple[NameTest, ...]) -> tuple[NameTest, ...]:
    return tuple({pattern.name: pattern for pattern in patterns}.values())


def case(rnd: random.Random) -> list[Fact]:
    """Fifteen facts on different names."""
    return [(f"name{n}", rnd.choice(values_of(n))) for n in rnd.sample(range(NAMES), GIVEN)]


def resident_mb() -> float:
    """Resident memory of this process, in MB (Linux)."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def measure(count: int, cases: int) -> dict[str, float]:
    """Figures for one size, in this process."""
    rules, rnd = book(count), random.Random(2)
    before = resident_mb()
    start = time.perf_counter()
    engine = Engine(rules)
    compiled = time.perf_counter()
    engine.run(case(rnd))
    first = time.perf_counter()
    times, fired = [], 0
    for _ in range(cases):
        facts = case(rnd)
        begun = time.perf_counter()
        outcome = engine.run(facts)
        times.append(time.perf_counter() - begun)
        fired += len(outcome.fired)
    times.sort()
    return {"rules": count, "compile_ms": (compiled - start) * 1e3, "first_ms": (first - compiled) * 1e3,
            "median_ms": times[cases // 2] * 1e3, "p95_ms": times[int(cases * 0.95)] * 1e3,
            "fired": fired / cases, "mb": resident_mb() - before}


def main() -> None:
    """Print one line per size."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rules", type=int, nargs="+", default=[500, 2000, 3000])
    parser.add_argument("--cases", type=int, default=300)
    parser.add_argument("--one", type=int, help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.one:
        print(json.dumps(measure(args.one, args.cases)))
        return
    print("rules  compile ms  first run ms  median ms   95 % ms  fired a run     MB")
    for count in args.rules:
        command = [sys.executable, __file__, "--one", str(count), "--cases", str(args.cases)]
        row = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
        print("{rules:5} {compile_ms:11.1f} {first_ms:13.2f} {median_ms:10.3f} {p95_ms:9.3f} "
              "{fired:12.1f} {mb:6.1f}".format(**row))


if __name__ == "__main__":
    main()
