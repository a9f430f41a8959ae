"""The fix order against every other order, and against worked examples."""

from __future__ import annotations

import itertools
import random
from pathlib import Path
from typing import Any

import pytest

from diagnose.reason import plan
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.plan import GIVE_UP_MINUTES, Planner
from tests.reason.books import book, cause, remedy

Actions = dict[str, tuple[float, float]]
"""Action to its chance of mending and its cost."""


def planner(folder: Path, actions: Actions, costs: dict[str, float] | None = None) -> Planner:
    """One fault for each action, which alone mends it and surely; minutes as they are given."""
    made = Planner(book(
        folder, causes={f"fault_{a}": cause(cures={a: "nearly always"}) for a in actions},
        remedies={a: remedy() for a in actions}))
    made.cost = {a: cost for a, (_, cost) in actions.items()} | (costs or {})
    made.uses = {c: tuple((r, 1.0) for r, _ in uses) for c, uses in made.uses.items()}
    made._cures = {c: dict(uses) for c, uses in made.uses.items()} | {OTHER: {}}
    return made


def chances(actions: Actions) -> dict[str, float]:
    """The fault of each action is as likely as the action mends; the rest is something else."""
    found = {f"fault_{a}": p for a, (p, _) in actions.items()}
    return found | {OTHER: 1 - sum(found.values())}


WORKED: Actions = {"aa": (0.45, 10), "bb": (0.25, 2), "cc": (0.2, 6), "dd": (0.1, 1)}
"""Worked out by hand from Heckerman, Breese and Rommelse (CACM 38(3), 1995, 49): the order of
falling chance / cost costs 10.45, the second best 10.5, the worst 14.85."""
WITH_CALL: Actions = {"aa": (0.3, 15), "bb": (0.2, 4), "cc": (0.15, 2), "dd": (0.1, 4), "ee": (0.05, 3)}
"""The same with a service call of 60 where nothing mends: 29.0 in all."""


def test_the_worked_example_comes_out_as_published(tmp_path: Path) -> None:
    made = planner(tmp_path, WORKED)
    assert [o.remedy for o in made.order(chances(WORKED))] == ["bb", "dd", "aa", "cc"]
    by_order = {order: made.cost_of(order, chances(WORKED))
                for order in itertools.permutations(WORKED)}
    ranked = sorted(by_order, key=lambda o: by_order[o])
    assert ranked[0] == ("bb", "dd", "aa", "cc") and by_order[ranked[0]] == pytest.approx(10.45, abs=1e-9)
    assert by_order[ranked[1]] == pytest.approx(10.5, abs=1e-9)
    assert ranked[-1] == ("cc", "aa", "dd", "bb") and by_order[ranked[-1]] == pytest.approx(14.85, abs=1e-9)


def test_the_worked_example_with_a_service_call(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan, "GIVE_UP_MINUTES", 60.0)
    made = planner(tmp_path, WITH_CALL)
    assert made.expected_minutes(chances(WITH_CALL)) == pytest.approx(29.0, abs=1e-9)
    full = made.cost_of(["cc", "bb", "dd", "aa", "ee"], chances(WITH_CALL))
    without = made.cost_of(["cc", "bb", "dd", "aa"], chances(WITH_CALL))
    assert full == pytest.approx(29.0, abs=1e-9)
    assert without == pytest.approx(29.0 - 0.25 * 3 + 0.05 * 60, abs=1e-9)


@pytest.mark.parametrize("seed", range(30))
def test_no_order_and_no_earlier_end_is_cheaper(seed: int, tmp_path: Path) -> None:
    """Single fault and independent remedies, every order of every choice of them tried."""
    rnd = random.Random(seed)
    parts = [rnd.random() for _ in range(6)]
    actions = {f"r{i}": (p / sum(parts), rnd.choice((1.0, 5.0, 20.0, 60.0, 240.0)))
               for i, p in enumerate(parts[:5])}
    made, now = planner(tmp_path, actions), chances(actions)
    best = min(made.cost_of(order, now) for n in range(6)
               for order in itertools.permutations(actions, n))
    assert made.expected_minutes(now) == pytest.approx(best, rel=1e-9)


def test_a_remedy_for_several_causes_counts_once_with_all_of_them(tmp_path: Path) -> None:
    made = Planner(book(
        tmp_path, remedies={"shared": remedy(5), "own": remedy(5)},
        causes={"one": cause(cures={"shared": "usually", "own": "usually"}),
                "two": cause(cures={"shared": "usually"})}))
    first, second = made.order({"one": 0.5, "two": 0.5, OTHER: 0.0})
    assert (first.remedy, first.chance) == ("shared", pytest.approx(0.8))
    assert dict(first.causes) == pytest.approx({"one": 0.4, "two": 0.4})
    assert (second.remedy, second.chance) == ("own", pytest.approx(0.5 * 0.2 * 0.8))


def made_of(folder: Path, now: dict[str, float], **remedies: dict[str, Any]) -> list[str]:
    """The order to try remedies in, each for a fault of its own with this chance."""
    made = Planner(book(folder, remedies=remedies,
                        causes={f"fault_{r}": cause(cures={r: "usually"}) for r in remedies}))
    return [o.remedy for o in made.order({f"fault_{r}": p for r, p in now.items()})]


def test_a_quick_but_unlikely_remedy_does_not_come_first_for_being_quick(tmp_path: Path) -> None:
    """One minute and 7 % against five minutes and 60 %: by bare minutes it would be close."""
    assert made_of(tmp_path, {"likely": 0.75, "quick": 0.08}, quick=remedy(1),
                   likely=remedy(5)) == ["likely", "quick"]


def test_what_cannot_be_undone_waits_while_something_else_is_worth_trying(tmp_path: Path) -> None:
    harsh = remedy(1, reversible="no")
    assert made_of(tmp_path / "a", {"harsh": 0.5, "gentle": 0.1}, harsh=harsh,
                   gentle=remedy(10)) == ["gentle", "harsh"]
    assert made_of(tmp_path / "b", {"harsh": 0.5, "gentle": 0.01}, harsh=harsh,
                   gentle=remedy(10)) == ["harsh", "gentle"]


def test_of_two_remedies_alike_the_one_without_tools_comes_first(tmp_path: Path) -> None:
    assert made_of(tmp_path, {"tooled": 0.31, "bare": 0.3}, tooled=remedy(5, tools="a spanner"),
                   bare=remedy(5)) == ["bare", "tooled"]


def test_shots_money_and_a_technician_cost_minutes(tmp_path: Path) -> None:
    cost = Planner(book(tmp_path, causes={"one": cause(cures={"plain": "usually"})}, remedies={
        "plain": remedy(5), "shots": remedy(5, shots=2), "bought": remedy(5, money="small"),
        "called": remedy(5, who="technician"), "waited": remedy(500)})).cost
    assert cost["plain"] < cost["shots"] < cost["bought"] < cost["called"]
    assert cost["plain"] < cost["waited"] < 500, "waiting is not work"


def test_people_who_are_not_here_try_nothing(tmp_path: Path) -> None:
    made = Planner(book(tmp_path, remedies={"own": remedy(50), "called": remedy(5, who="technician")},
                        causes={"one": cause(cures={"own": "often", "called": "usually"})}))
    assert [o.remedy for o in made.order({"one": 1.0}, refused=("technician",))] == ["own"]
    assert [o.remedy for o in made.order({"one": 1.0}, barred=("own",))] == ["called"]


def test_with_nothing_to_try_it_costs_giving_up(tmp_path: Path) -> None:
    made = planner(tmp_path, WORKED)
    assert made.expected_minutes({OTHER: 1.0}) == GIVE_UP_MINUTES
    assert made.expected_minutes({OTHER: 0.25}) == GIVE_UP_MINUTES / 4, "chances may be scaled"
