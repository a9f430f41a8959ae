"""Memory stays flat over many cases."""

from __future__ import annotations

from tests.engine.make import apart

MANY_CASES = """
import random
from tests.bench.engine_bench import book, case, resident_mb
from diagnose.engine import Engine
engine, rnd = Engine(book(1000)), random.Random(3)
for _ in range(200): engine.run(case(rnd))
before = resident_mb()
for _ in range(10_000): engine.run(case(rnd))
print(resident_mb() - before)
"""


def test_ten_thousand_cases_grow_under_20_mb():
    done = apart("-c", MANY_CASES)
    assert done.returncode == 0, done.stderr
    assert float(done.stdout) < 20


MANY_ENGINES = """
import random
from tests.bench.engine_bench import book, case, resident_mb
from diagnose.engine import Engine
rules, rnd = book(1000), random.Random(3)
def used():
    engine = Engine(rules)
    for _ in range(20): engine.run(case(rnd))
used()
before = resident_mb()
for _ in range(10): used()
print(resident_mb() - before)
"""


def test_engines_given_up_give_their_memory_back():
    done = apart("-c", MANY_ENGINES)
    assert done.returncode == 0, done.stderr
    assert float(done.stdout) < 100
