"""Words taught to the house: kept in its file, read at once, refused where they would weaken a danger."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.cli import main
from diagnose.mail.reading import Desk
from diagnose.reading.complaint import understand
from diagnose.reading.questions import asked
from diagnose.reason.system import System
from diagnose.storage import paths

ODD = "goes like the clappers"
FILE = "phrases.yaml"
HEAD = "schema: 1\nchapter: house\ntitle: What people here say\n\nphrases:\n"


def taught(words: str, means: str) -> int:
    return main(["house", "phrase", words, "--means", means])


def test_taught_words_are_kept_and_read_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert "shot_too_fast" not in understand(load().book, f"Mine {ODD}.").symptoms
    assert taught(ODD, "shot_too_fast") == 0
    file = paths.house() / FILE
    assert "means: the shot runs too fast." in capsys.readouterr().out
    assert file.read_text() == f"{HEAD}  - {{words: {ODD}, means: shot_too_fast}}\n"
    assert "shot_too_fast" in understand(load().book, f"Mine {ODD}.").symptoms
    assert main(["lookup", ODD]) == 0
    assert capsys.readouterr().out.startswith("1. the shot runs too fast  [shot_too_fast]\n   as in: " + ODD)
    assert main(["house", "check", "--strict"]) == 0 and main(["house", "list"]) == 0
    assert f"{file}:6:5: adds phrases shot_too_fast: {ODD}" in capsys.readouterr().out


def test_a_second_phrase_is_put_after_the_first_and_comments_stay() -> None:
    assert taught(ODD, "shot_too_fast") == 0
    file = paths.house() / FILE
    file.write_text(file.read_text() + "  # said by the choir\n")
    assert taught("face like a lemon after it", "taste_sour") == 0
    assert file.read_text().endswith("# said by the choir\n  - {words: face like a lemon after it, "
                                     "means: taste_sour}\n")


@pytest.mark.parametrize("text, read", [
    (f"On the coast with two dogs and a cousin and a picnic in the rain, mine {ODD} and he laughs", True),
    (f"Mine does not {ODD.replace('goes', 'go')}.", False), ("It claps like the goers.", False)])
def test_taught_words_are_read_in_a_long_text_and_not_where_denied(text: str, read: bool) -> None:
    assert taught(ODD, "shot_too_fast") == 0
    assert ("shot_too_fast" in Desk(System(load().book)).read(text).understood.symptoms) == read


def test_words_may_mean_a_question(capsys: pytest.CaptureFixture[str]) -> None:
    words = "how much elbow on the brown stuff"
    assert "tamp_how_hard" not in [a.entry for a in asked(load().book, f"{words}?")]
    assert taught(words, "tamp_how_hard") == 0
    assert "How hard do I have to tamp?" in capsys.readouterr().out
    assert "tamp_how_hard" in [a.entry for a in asked(load().book, f"{words}?")]


@pytest.mark.parametrize("words, means, said", [
    (ODD, "shot_fast", "no trouble or question 'shot_fast' in the book; did you mean 'shot_too_fast'?"),
    ("coffee", "shot_too_fast", "'coffee' says too little by itself"),
    ("my arm tingles near it", "shot_too_fast", "are words of the danger"),
    ("smells of gas round here", "beans_freeze", "are words of the danger"),
    ("elbow " * 20, "shot_too_fast", "phrases"),
    ("it [link](http://a) runs mad", "shot_too_fast", "mark-up"),
    ("runs \u202emad today", "shot_too_fast", "hidden character"),
])
def test_what_may_not_be_taught_is_refused_and_nothing_is_written(
        words: str, means: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert taught(words, means) == 2
    error = capsys.readouterr().err
    assert said in error and error.count("\n") == 1
    assert not (paths.house() / FILE).exists()


def test_the_words_of_a_danger_in_a_file_by_hand_are_refused_with_their_line(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / FILE).write_text(f"{HEAD}  - {{words: {ODD}, means: shot_too_fast}}\n"
                                 "  - {words: it gives me a tingle, means: taste_sour}\n")
    assert main(["house", "check", str(tmp_path)]) == 1
    out = capsys.readouterr().out
    assert f"{FILE}:7:5: 'it gives me a tingle' are words of the danger" in out
    assert load([str(tmp_path)]).book.layers.phrases == {}


def test_words_may_be_added_to_a_danger() -> None:
    assert taught("it bites me like the fence", "tingling") == 0
    assert Desk(System(load().book)).read("Since Monday it bites me like the fence.").kind == "hazard"


def test_a_danger_told_beside_taught_words_is_heard() -> None:
    assert taught(ODD, "shot_too_fast") == 0 and taught("how much elbow on the stuff", "tamp_how_hard") == 0
    desk = Desk(System(load().book))
    for text in (f"Mine {ODD} and gives me an electric shock.",
                 "How much elbow on the stuff when it gives me an electric shock?"):
        assert desk.read(text).kind in ("hazard", "look")


def test_what_is_taught_already_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert taught(ODD, "shot_too_fast") == 0 and taught(ODD, "shot_too_fast") == 2
    assert "in this house already" in capsys.readouterr().err
