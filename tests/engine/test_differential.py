"""Random books: the engine, a naive evaluator and CLIPS must agree on every fact and every firing."""

from __future__ import annotations

import json

import pytest

from tests.engine.make import apart


def campaign(*arguments: str) -> dict[str, int] | None:
    """The tally of a campaign; None when its process died of a signal."""
    done = apart("-m", "tests.engine.campaign", *arguments)
    if done.returncode < 0:
        return None
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.mark.parametrize(("most", "books", "seed"), [("8", "60", "1"), ("30", "40", "2"), ("150", "15", "3")])
def test_three_evaluators_agree(most, books, seed):
    tally = campaign("--most", most, "--books", books, "--cases", "15", "--seed", seed)
    assert tally is not None
    assert tally["runs"] == int(books) * 15
    assert tally["fired"] > tally["runs"] / 2
    assert tally["engine differs"] == 0
    assert tally["clips differs"] == 0


@pytest.mark.parametrize("left_out", ["fold", "gate", "order", "retraction"])
def test_a_safeguard_left_out_shows(left_out):
    tally = campaign("--most", "40", "--books", "20", "--no-clips", "--without", left_out)
    assert tally is None or tally["engine differs"] > 0


def test_taking_back_in_reverse_makes_nothing_fire():
    tally = campaign("--most", "40", "--books", "20", "--no-clips", "--without", "watch")
    assert tally is not None
    assert tally["engine differs"] == 0


def test_taking_back_in_order_makes_rules_fire_on_what_is_going():
    tally = campaign("--most", "40", "--books", "20", "--no-clips", "--without", "watch", "reverse")
    assert tally is None or tally["engine differs"] > 0


def test_taking_back_in_order_crashes_where_one_fact_meets_two_conditions():
    """With one safeguard in place the process lives; without both it dies, sooner or later.

    The library then reads memory it has freed, so which book kills it is a matter of luck.
    """
    def outcome(seed: int, *more: str) -> dict[str, int] | None:
        return campaign("--most", "150", "--books", "5", "--seed", str(seed), "--no-clips",
                        "--without", "fold", "distinct", *more)

    assert any(outcome(seed, "reverse") is None and outcome(seed) is not None for seed in range(2, 30))
