"""What was learnt ahead of time fits the corpus it was learnt from, and the book."""

from __future__ import annotations

import zlib
from functools import cache
from pathlib import Path

import pytest

from diagnose.book.book import Book
from diagnose.book.with_house import load
from diagnose.errors import UserError
from diagnose.learn import corpus, experience
from diagnose.reading import classifier, reader
from diagnose.reason.infer import experience as counted
from diagnose.storage import paths

MOST_BYTES, MOST_PACKED = 8_000_000, 5_000_000


@cache
def shipped() -> Book:
    """The shipped book, loaded once."""
    return load([]).book


def known(meant: str) -> bool:
    """Is there an entry for what a phrase is said to mean?"""
    book = shipped()
    kind, _, name = meant.partition(":")
    if kind == "answer":
        question, _, answer = name.partition("=")
        stated = book.observations.get(question)
        return stated is not None and (answer in stated.answers or not stated.answers)
    held = {"symptom": book.symptoms, "practice": book.practice,
            "hazard": getattr(book, "hazards", None)}[kind]
    return meant == corpus.ANY_HAZARD or held is None or name in held


def test_every_meaning_of_the_corpus_is_in_the_book() -> None:
    meant = {m for one in corpus.examples() for m in one.means}
    assert len(meant) > 1_000 and [m for m in sorted(meant) if not known(m)] == []


def test_what_was_learnt_was_learnt_from_this_corpus() -> None:
    """If this fails: `python -m diagnose.learn`."""
    assert classifier.shipped().header.corpus == corpus.digest() == counted.shipped().counted


def test_the_counts_are_those_of_the_situations() -> None:
    assert experience.count(load([]).book) == counted.shipped()


def test_the_reader_is_small() -> None:
    data = (paths.shipped() / classifier.FILE).read_bytes()
    assert len(data) <= MOST_BYTES and len(zlib.compress(data)) <= MOST_PACKED


@pytest.mark.parametrize("text, symptom", [
    ("ever since the new bag my shots are through in about ten seconds and look like dishwater",
     "shot_too_fast"),
    ("whatever i do the coffee makes my face pucker, so sharp, like biting a lemon", "taste_sour"),
    ("there is a puddle on the worktop under the machine every single morning", "leaks_under"),
])
def test_what_nobody_wrote_down_is_read(text: str, symptom: str) -> None:
    likely = list(reader.read(text).likely)
    assert symptom in likely[:3]


def test_a_text_of_nothing_is_likely_nothing() -> None:
    assert reader.read("").likely == {}


def test_a_file_cut_short_is_said_in_one_line(tmp_path: Path) -> None:
    whole = (paths.shipped() / classifier.FILE).read_bytes()
    (tmp_path / "reader.bin").write_bytes(whole[:-1])
    with pytest.raises(UserError, match="can't be read"):
        classifier.load(tmp_path / "reader.bin")


@pytest.mark.parametrize("data", [b"", b"{}\n", b"not json\nxyz"])
def test_a_broken_file_is_said_in_one_line(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "reader.bin").write_bytes(data)
    with pytest.raises(UserError, match="can't be read"):
        classifier.load(tmp_path / "reader.bin")
