"""What the tuned constants of the reasoning decide, in figures that stand here by themselves.

No constant is imported: each test says what it should come to, so that moving one is noticed
(`tests/decisions/table.py` says which test holds which).
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from diagnose.reason.infer.experience import CauseCounts, Counts, Experience
from diagnose.reason.infer.infer import Reasoner
from diagnose.reason.infer.prior import OTHER, Heard, Priors
from diagnose.reason.plan import Planner
from diagnose.reason.rank import rank
from tests.reason.books import book, cause, choice, finding, remedy, symptom

SELDOM = -12.0
"""What a cause loses that shows a complaint `seldom`."""


@pytest.fixture
def priors(tmp_path: Path) -> Priors:
    """Two kinds of trouble, each half of all there is, and a complaint about each."""
    return Priors(book(
        tmp_path, findings={"state": finding(("off", "odd"), off=None, odd=None)},
        symptoms={"off": symptom("state", "off"), "odd": symptom("state", "odd")},
        causes={"shown": cause({"off": "always"}, "very common"),
                "unshown": cause({"odd": "always"}, "very common")}))


def test_a_cause_not_known_to_show_a_complaint_stands_behind_one_that_seldom_does(priors: Priors) -> None:
    assert SELDOM - 4 < priors.level("unshown", "off") < SELDOM


def test_a_complaint_in_doubt_costs_a_cause_no_more_than_showing_it_sometimes(priors: Priors) -> None:
    ((_, doubted),) = priors.complaint("unshown", Heard(("off",), frozenset({"off"})))
    assert -7 < doubted < -5


def test_a_second_complaint_left_unexplained_costs_less_than_a_strong_answer_against(priors: Priors) -> None:
    first, second = (level for _, level in priors.complaint("shown", Heard(("off", "odd"))))
    assert first == 0 and -12 < second < -8


def test_a_second_fault_is_there_three_times_as_often_as_by_chance(priors: Priors) -> None:
    assert 2.5 < 10 ** (priors.besides["shown"] / 10) / 0.5 < 4


def test_of_all_trouble_one_in_seventeen_is_in_no_book(priors: Priors) -> None:
    before = {cause: 10 ** (decibans / 10) for cause, decibans in priors.causes.items()}
    assert 0.05 < before[OTHER] / sum(before.values()) < 0.07


def test_two_strong_answers_together_are_believed_as_less_than_their_sum(tmp_path: Path) -> None:
    """Added up they would make the cause 250 times as likely as the other."""
    one = book(tmp_path, observations={"look": choice("bad", "good"), "sound": choice("bad", "good")},
               causes={"fault": cause(common="very common", evidence=[
                   {"when": {"look": "bad"}, "weight": "strong for"},
                   {"when": {"sound": "bad"}, "weight": "strong for"}]),
                   "other": cause(common="very common")})
    chances = {r.cause: r.probability for r in rank(Reasoner(one).infer({"look": "bad", "sound": "bad"}))}
    assert 60 < chances["fault"] / chances["other"] < 80


MINUTES = {"plain": 9, "two_shots": 15, "tools": 12, "technician": 129, "half_a_day": 43.4, "one_hour": 34.6}
"""What it costs to try a remedy: it is set up and checked, beyond half an hour it is mostly waiting."""
REMEDIES = {"plain": remedy(5), "two_shots": remedy(5, shots=2), "tools": remedy(5, tools="a spanner"),
            "technician": remedy(5, who="technician"), "half_a_day": remedy(500), "one_hour": remedy(60)}


@pytest.mark.parametrize("name", MINUTES)
def test_what_it_costs_to_try_a_remedy(name: str, tmp_path: Path) -> None:
    made = Planner(book(tmp_path, remedies=REMEDIES, causes={"one": cause(cures={"plain": "usually"})}))
    assert made.cost[name] == pytest.approx(MINUTES[name])


def planner(folder: Path, **remedies: dict[str, object]) -> Planner:
    """A fault for each remedy, which it usually cures."""
    return Planner(book(folder, remedies=remedies,
                        causes={f"fault_{r}": cause(cures={r: "usually"}) for r in remedies}))


def test_where_nothing_helps_four_hours_are_lost(tmp_path: Path) -> None:
    assert planner(tmp_path, one=remedy(5)).expected_minutes({OTHER: 1.0}) == 240


def test_nobody_starts_on_what_is_half_as_likely_to_reach_the_cause(tmp_path: Path) -> None:
    made = planner(tmp_path, quick=remedy(1), slow=remedy(31))
    for quick, lost in ((0.3, made.cost["slow"] * 0.3), (0.4, made.cost["quick"] * 0.6)):
        chances = {"fault_quick": quick, "fault_slow": 1 - quick}
        assert made.wasted(["quick", "slow"], chances) == pytest.approx(lost)


def test_nobody_starts_on_what_cannot_be_undone(tmp_path: Path) -> None:
    made = planner(tmp_path, harsh=remedy(1, reversible="no"))
    assert made.wasted(["harsh"], {"fault_harsh": 1}) == math.inf


def test_a_cause_of_one_in_a_hundred_has_its_fix_in_the_order_and_one_in_a_thousand_none(
        tmp_path: Path) -> None:
    made = planner(tmp_path, likely=remedy(5), rare=remedy(5), hardly=remedy(5))
    order = made.order({"fault_likely": 0.989, "fault_rare": 0.01, "fault_hardly": 0.001})
    assert [o.remedy for o in order] == ["likely", "rare"]


def test_what_cannot_be_undone_waits_for_one_chance_in_twenty(tmp_path: Path) -> None:
    made = planner(tmp_path, harsh=remedy(1, reversible="no"), gentle=remedy(10))
    for gentle, first in ((0.06, "gentle"), (0.03, "harsh")):
        order = made.order({"fault_harsh": 0.5, "fault_gentle": gentle, OTHER: 0.5 - gentle})
        assert order[0].remedy == first


@pytest.fixture
def harmful(tmp_path: Path) -> Planner:
    """A fix that breaks something under another cause."""
    return Planner(book(
        tmp_path, remedies={"bold": remedy(5, harmful_under={"causes": ["jam"], "why": "It chips."})},
        causes={"loud": cause(cures={"bold": "usually"}), "jam": cause()}))


def test_what_may_do_harm_is_not_first_from_one_chance_in_ten_of_it(harmful: Planner) -> None:
    assert harmful.harmful("bold", {"jam": 0.12}) and not harmful.harmful("bold", {"jam": 0.08})


def test_harm_costs_two_hours(harmful: Planner) -> None:
    minutes = harmful.by_cause(["bold"], ["loud", "jam"])
    assert minutes["jam"] == pytest.approx(harmful.cost["bold"] + 120 + 240)


def test_two_long_fixes_neither_worth_its_minutes_by_itself_are_worth_trying_in_turn(tmp_path: Path) -> None:
    """106 minutes for 40 % of four hours; once the first has failed, the second is for two thirds of what
    is left.
    """
    made = planner(tmp_path, one=remedy(5), two=remedy(5))
    made.cost = {"one": 106.0, "two": 106.0}
    assert made.plan({"fault_one": 0.5, "fault_two": 0.5}).order == ("one", "two")
    assert made.plan({"fault_one": 0.5, OTHER: 0.5}).order == ()


# What told situations count.

@pytest.fixture
def told(tmp_path: Path) -> Experience:
    """Forty situations: one cause was always told with a bad look, the other never with anything."""
    one = book(tmp_path, observations={"look": choice("bad", "good"), "sound": choice("bad", "good")},
               causes={"one": cause(tells={"sound": {"bad": "strong for"}}), "two": cause()})
    return Experience(one, Counts(causes={
        "one": CauseCounts(20, answers={"look=bad": 20}), "two": CauseCounts(20)}))


def test_the_books_word_counts_as_much_as_twelve_situations(tmp_path: Path) -> None:
    """The book says 80 %, of twelve situations told none showed it."""
    one = book(tmp_path, causes={"one": cause()})
    counted = Experience(one, Counts(causes={"one": CauseCounts(12)}))
    assert counted.shows("one", "off", 0.8) == pytest.approx(0.4)


def test_what_was_always_told_of_a_cause_alone_counts_for_it_by_half_a_deciban(told: Experience) -> None:
    """Told twice as often as in general, laid over what is told in general, and three tenths believed."""
    assert 0.45 < told.speaks("look", "bad")["one"] < 0.6


def test_a_strong_word_of_the_book_on_a_single_answer_counts_as_a_slight_one(told: Experience) -> None:
    assert 3.5 < told.speaks("sound", "bad")["one"] < 5


def test_what_nobody_ever_told_is_known_three_fifths_as_often(told: Experience) -> None:
    assert 0.55 < told.known("sound") < 0.7
