"""However long and odd a text is, it is read in little time, and what is not read is said."""

from __future__ import annotations

import time

import pytest

from diagnose.reading.complaint import LONGEST, understand

AT_MOST = 5.0
"""Seconds of the processor; each took far less than one where nothing else ran."""


@pytest.mark.parametrize("again", [
    "sour ", "sour, ", "sour.\n", "grinder ", "machine ", "it runs too fast and ", "18 g in ", "not ", "the ",
    "roasted 3 days ago ", "sour bitter fast slow drip gush leak steam milk ", "9", ".", "(", "\n", " a",
    "é"])
def test_the_same_over_and_over_is_soon_read(book, again: str) -> None:
    understand(book, "sour")
    start = time.process_time()
    understand(book, again * (LONGEST // len(again)))
    assert time.process_time() - start < AT_MOST


def test_what_is_said_forty_times_is_understood_as_said_once(book) -> None:
    assert understand(book, "the shot tastes sour. " * 60).symptoms == understand(
        book, "the shot tastes sour.").symptoms


def test_what_is_too_long_to_be_read_is_said(book) -> None:
    found = understand(book, "the shot tastes sour. " + "and so on " * 900)
    assert found.symptoms and any("the rest was left out" in note for note in found.notes)
