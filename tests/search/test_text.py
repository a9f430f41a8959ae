"""Words: endings, contractions, negation."""

from __future__ import annotations

import pytest

from diagnose.search.text import LONGEST_WORD, stem, words


@pytest.mark.parametrize(
    "forms",
    [
        "leak leaks leaked leaking",
        "sour sourness",
        "drip drips dripping dripped",
        "bubble bubbles bubbly",
        "heat heats heated heating",
        "quick quickly quicker",
        "grind grinds grinding",
        "burn burnt burning",
    ],
)
def test_forms_of_a_word_meet(forms: str) -> None:
    assert len({stem(form) for form in forms.split()}) == 1


@pytest.mark.parametrize(
    "pair", ["grind grinder", "ground grounds", "fine finer", "red read", "press pressure"]
)
def test_words_that_differ_stay_apart(pair: str) -> None:
    first, second = pair.split()
    assert stem(first) != stem(second)


def negated(text: str) -> set[str]:
    return {w.stem for w in words(text) if w.negated}


@pytest.mark.parametrize(
    "text, under",
    [
        ("no crema", {"crema"}),
        ("there isn't crema", {"crema"}),
        ("there isn’t crema", {"crema"}),
        ("won't heat", {"heat"}),
        ("never hot", {"hot"}),
        ("not sour but bitter", {"sour"}),
        ("not sour. bitter", {"sour"}),
        ("not sour, bitter", {"sour"}),
        ("no valve and the handle shot off", {"valv"}),
        ("no crema and body", {"crema", "and", "body"}),
        ("sour", set()),
    ],
)
def test_negation_reaches_as_far_as_people_mean_it(text: str, under: set[str]) -> None:
    assert negated(text) == under


@pytest.mark.parametrize("text", ["", " ", "...", "\0\1", "🙂🙂", "-" * 1000])
def test_text_without_words_gives_none(text: str) -> None:
    assert words(text) == []


def test_an_endless_word_is_cut() -> None:
    assert all(len(w.stem) <= LONGEST_WORD for w in words("a" * 100_000))
