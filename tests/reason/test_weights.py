"""The table of grades against the published scales it is named after."""

from __future__ import annotations

import pytest

from diagnose.reason.weights import GRADES, in_decibans, odds, outweighs

JEFFREYS = {"slight": (1.0, 10 ** 0.5), "substantial": (10 ** 0.5, 10.0), "strong": (10.0, 10 ** 1.5),
            "very strong": (10 ** 1.5, 100.0), "decisive": (100.0, float("inf"))}
"""Bayes factors of the grades: Jeffreys, Theory of Probability, 1961, appendix B; the first,
which he calls barely worth mentioning, is `slight` here."""
KASS_RAFTERY = {"slight": "weak", "substantial": "positive", "strong": "positive",
                "very strong": "strong", "decisive": "very strong"}
"""By the Bayes factor column of Kass and Raftery, J. Am. Stat. Assoc. 90 (1995) 773."""


@pytest.mark.parametrize("grade", GRADES)
def test_each_grade_lies_in_the_step_of_jeffreys_it_is_named_after(grade: str) -> None:
    low, high = JEFFREYS[grade]
    assert low < odds(GRADES[grade]) < high


@pytest.mark.parametrize("grade", GRADES)
def test_each_grade_has_its_place_on_the_scale_of_kass_and_raftery(grade: str) -> None:
    factor = odds(GRADES[grade])
    steps = ((3, "weak"), (20, "positive"), (150, "strong"), (float("inf"), "very strong"))
    assert next(word for top, word in steps if factor <= top) == KASS_RAFTERY[grade]


def test_ten_decibans_are_a_factor_of_ten() -> None:
    """Good, Probability and the Weighing of Evidence, 1950: the deciban is a tenth of a ban."""
    assert odds(10) == pytest.approx(10)
    assert in_decibans(100) == pytest.approx(20)


def test_of_two_weights_alike_the_one_against_counts() -> None:
    assert outweighs(-7, 7) and not outweighs(7, -7)
    assert outweighs(12, -7) and outweighs(-12, 7)
