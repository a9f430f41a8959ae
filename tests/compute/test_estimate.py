"""The estimate: a value that stays within its own span."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.compute.errors import ComputeError
from diagnose.compute.estimate import Estimate

numbers = st.floats(-1e6, 1e6)


@given(st.lists(numbers, min_size=3, max_size=3).map(sorted), numbers)
def test_a_factor_of_either_sign_keeps_the_value_in_its_span(parts, factor):
    low, value, high = parts
    scaled = Estimate(value, low, high, "s", "made up").times(factor, "ms")
    assert scaled.low <= scaled.value <= scaled.high
    assert (scaled.unit, scaled.basis) == ("ms", "made up")


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ((5, 6, 7), "outside its span"),
        ((math.nan, 0, 1), "value reads nan"),
        ((1, 0, math.inf), "high reads inf"),
    ],
)
def test_an_estimate_that_cannot_be_is_refused(parts, said):
    with pytest.raises(ComputeError, match=said):
        Estimate(*parts, "s", "made up")


def test_an_estimate_cannot_be_changed():
    with pytest.raises(AttributeError):
        Estimate(1, 0, 2, "s", "made up").value = 3
