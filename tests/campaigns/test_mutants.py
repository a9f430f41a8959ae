"""The worked cases notice what is changed in the book: more of it than they miss, where they can.

    CAMPAIGN=10 python -m pytest tests/campaigns/test_mutants.py -m campaign -n 0 -s
"""

from __future__ import annotations

from tests.campaigns.conftest import times
from tests.campaigns.mutants import campaign

LEAST = {"grade": 0.2, "condition": 0.2, "threshold": 0.02, "caution": 0.2}
"""Share of each kind that is noticed at least; `python -m tests.campaigns.mutants` says what it is."""


def test_the_worked_cases_notice():
    tally = campaign(times(6), 1)
    assert tally.keys() == LEAST.keys()
    for kind, (caught, tried) in tally.items():
        assert caught >= LEAST[kind] * tried - 1, f"{kind}: {caught} of {tried}"
