"""Random books through the engine, the naive evaluator and CLIPS; one line of JSON with the tally.

    python -m tests.engine.campaign --books 100 --cases 15 --seed 1
    python -m tests.engine.campaign --without fold       # see what a safeguard is for

A process of its own: a book once compiled is never quite freed, and some engines without a
safeguard end in a segmentation fault.
"""

from __future__ import annotations

import argparse
import json
import random
from collections import Counter

from diagnose.engine import Engine, EngineError, Fact
from tests.engine import naive
from tests.engine.books import book, case
from tests.engine.clips_book import ClipsBook
from tests.engine.unsafe import CHANGES


def compare(books: int, cases: int, seed: int, most: int, third: bool) -> Counter[str]:
    """Count runs, firings, and runs where the engine or CLIPS differs from the naive evaluator."""
    tally: Counter[str] = Counter()
    for number in range(books):
        rnd = random.Random(f"{seed}/{number}")
        rules = book(rnd, most)
        engine = Engine(rules)
        clips_book = ClipsBook(rules) if third else None
        for _ in range(cases):
            facts = case(rnd)
            expected = naive.run(rules, facts)
            tally["runs"] += 1
            tally["fired"] += len(expected[1])
            tally["engine differs"] += _run(engine, facts) != expected
            tally["clips differs"] += clips_book is not None and clips_book.run(facts) != expected
    return tally


def _run(engine: Engine, facts: list[Fact]) -> tuple[frozenset[Fact], frozenset[str]] | None:
    """As the evaluators answer; None when the engine refuses."""
    try:
        outcome = engine.run(facts)
    except EngineError:
        return None
    return outcome.facts, frozenset(firing.rule for firing in outcome.fired)


def main() -> None:
    """Run one campaign."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--books", type=int, default=20)
    parser.add_argument("--cases", type=int, default=10)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--most", type=int, default=150, help="most rules in a book")
    parser.add_argument("--without", nargs="*", default=(), choices=sorted(CHANGES))
    parser.add_argument("--no-clips", action="store_true")
    args = parser.parse_args()
    for name in args.without:
        CHANGES[name]()
    print(json.dumps(compare(args.books, args.cases, args.seed, args.most, not args.no_clips)))


if __name__ == "__main__":
    main()
