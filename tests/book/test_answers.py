"""Answers typed and answers in data: slips of the keys are borne with at a prompt only, and
letters inside a word never make an answer."""

from __future__ import annotations

import string
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.book.answers import AnswerError, exact, parse, picked, told
from diagnose.book.book import Book
from diagnose.book.model import Observation
from diagnose.book.with_house import load

TODAY = date(2026, 3, 31)


@pytest.fixture(scope="module")
def book() -> Book:
    return load().book


def _takes(read, stated: Observation, text: str) -> bool:
    try:
        read(stated, text, TODAY)
    except AnswerError:
        return False
    return True


def _choices(book: Book) -> dict[str, Observation]:
    return {n: o for n, o in book.observations.items() if o.kind == "choice"}


def test_every_answer_is_told_as_a_person_says_it(book: Book) -> None:
    """No label made of an id: of `shot_time` "the shot took 15 s", not "shot time: 15 s"."""
    assert [n for n, o in book.observations.items() if not o.told] == []
    assert told("shot_time", book.observations["shot_time"], 15.0) == "the shot took 15 s"


def test_every_id_and_every_whole_phrase_of_the_book_is_taken(book: Book) -> None:
    for name, stated in _choices(book).items():
        for answer, said in stated.answers.items():
            assert exact(stated, answer) == answer, name
            for text in (said.says, *said.lay):
                assert exact(stated, text.upper()) == parse(stated, text), (name, text)


def test_no_letters_inside_a_word_are_an_answer(book: Book) -> None:
    """One letter or two that are no whole word of an answer: taken by neither reading."""
    for name, stated in _choices(book).items():
        whole = {t.lower() for a, s in stated.answers.items() for t in (a, s.says, *s.lay)}
        for text in (*string.ascii_lowercase, "an", "er", "on", "ow", "ea"):
            if text not in whole:
                assert not _takes(exact, stated, text), (name, text)
                assert not _takes(parse, stated, text), (name, text)


@given(st.data())
def test_part_of_a_word_is_no_answer_in_data(book: Book, data: st.DataObject) -> None:
    choices = _choices(book)
    stated = choices[data.draw(st.sampled_from(sorted(choices)))]
    answer = data.draw(st.sampled_from(sorted(stated.answers)))
    cut = data.draw(st.integers(1, len(answer)))
    known = {t.lower() for a, s in stated.answers.items()
             for t in (a, a.replace("_", " "), s.says, *s.lay)}
    for part in (answer[:-cut], answer[cut:]):
        if part and part.replace("_", " ").strip() not in known and part not in known:
            assert not _takes(exact, stated, part)


@pytest.mark.parametrize("typed", ["second hnad", "cafe", "secnd hand"])
def test_at_a_prompt_a_slip_or_a_whole_word_is_understood(book: Book, typed: str) -> None:
    stated = book.observations["burr_age"]
    assert parse(stated, typed) == "unknown_past"
    with pytest.raises(AnswerError, match=r"did you mean unknown_past\?"):
        exact(stated, typed)


def test_the_number_in_the_list_is_for_the_prompt(book: Book) -> None:
    stated = book.observations["burr_age"]
    assert parse(stated, "2") == list(stated.answers)[1]
    with pytest.raises(AnswerError, match="'2' is none of the answers"):
        exact(stated, "2")


@pytest.mark.parametrize("read", [exact, parse])
def test_other_kinds_are_read_alike(book: Book, read) -> None:
    assert read(book.observations["shot_time"], "25 s") == 25.0
    assert read(book.observations["roast_date"], "10 days ago", TODAY) == date(2026, 3, 21)
    yes_no = next(o for o in book.observations.values() if o.kind == "yes_no")
    assert read(yes_no, "Yes") == "yes"
    for stated, text in ((book.observations["shot_time"], "x"), (yes_no, "ye"), (yes_no, " ")):
        with pytest.raises(AnswerError):
            read(stated, text)


@pytest.mark.parametrize("typed", ["99999999999 days ago", "9" * 5_000 + " days ago", "700000 days ago",
                                   "0001-01-01", "1.1.0001", "²", "9" * 5_000])
def test_no_date_is_so_far_off_that_it_breaks_anything(book: Book, typed: str) -> None:
    with pytest.raises(AnswerError) as error:
        parse(book.observations["roast_date"], typed, TODAY)
    assert len(str(error.value)) < 200


@pytest.mark.parametrize("typed", ["²", "①", "9" * 5_000, "0", "-1"])
@pytest.mark.parametrize("name", ["burr_age", "shot_time", "roast_date"])
def test_what_only_looks_like_a_figure_is_no_choice(book: Book, name: str, typed: str) -> None:
    assert picked(typed, 9) is None
    with pytest.raises(AnswerError):
        parse(book.observations[name], typed, TODAY)


def test_the_number_of_a_choice_is_read_in_the_figures_of_any_script() -> None:
    assert [picked(typed, 12) for typed in ("1", "12", "２", "13")] == [1, 12, 2, None]
