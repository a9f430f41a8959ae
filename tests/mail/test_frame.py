"""The teacher's own frame for letters: where it stands, what it puts in, what it may not say."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.model import LetterFrame
from diagnose.book.with_house import load
from diagnose.cli import main

HOUSE = """\
schema: 1
chapter: letters
title: How we answer letters

letter:
"""
OURS = HOUSE + """\
  greeting: "Dear {name},"
  nameless: Good day,
  close: Come to the class on Saturday and bring your beans.
  signature: |
    Wendelmoot
    the coffee class at Lantern Lane
  headings: {probable: "", step: Your next cup}
"""
BAG = """\
name,email,number,complaint
Hollis Quaile,hq@example.org,17,"18 in, 40 out in 19 sec, sour"
,,18,The machine gives me a shock when I touch the metal.
"""


def answered(folder: Path, frame: str) -> dict[str, str]:
    """The replies to the bag in both forms, by the start of their names."""
    (folder / "house").mkdir()
    (folder / "house" / "letters.yaml").write_text(frame, encoding="utf-8")
    (folder / "bag.csv").write_text(BAG, encoding="utf-8")
    assert main(["mail", str(folder / "bag.csv"), "--jobs", "1", "--house", str(folder / "house")]) == 0
    return {p.name[0] + p.suffix: p.read_text(encoding="utf-8")
            for p in (folder / "bag-replies").glob("*bag-0*")}


def test_greeting_headings_close_and_signature_are_the_houses(tmp_path: Path) -> None:
    said = answered(tmp_path, OURS)
    assert said["4.txt"].startswith("Dear Hollis Quaile,\n\n")
    assert said["4.txt"].endswith("Come to the class on Saturday and bring your beans.\n\n"
                                  "Wendelmoot\nthe coffee class at Lantern Lane\n")
    assert "## Your next cup: " in said["4.md"] and "What it probably is" not in said["4.md"]
    assert "What to tell me then" in said["4.md"]


def test_a_danger_comes_right_after_the_greeting_and_no_close_follows_it(tmp_path: Path) -> None:
    said = answered(tmp_path, OURS)
    assert said["0.md"].startswith("Good day,\n\n> **Stop. Do not go on.**\n\n")
    assert said["0.txt"].startswith("Good day,\n\n! Stop. Do not go on.\n\n")
    assert "Come to the class" not in said["0.md"] and "Wendelmoot" in said["0.md"]


def test_without_a_frame_a_plain_default_stands(tmp_path: Path) -> None:
    (tmp_path / "bag.txt").write_text("18 in, 40 out in 19 sec, sour", encoding="utf-8")
    assert main(["mail", str(tmp_path / "bag.txt"), "--jobs", "1"]) == 0
    said = next((tmp_path / "bag-replies").glob("*.txt")).read_text(encoding="utf-8")
    assert said.startswith(LetterFrame().nameless) and said.endswith(f"{LetterFrame().close}\n")


@pytest.mark.parametrize("line, said", [
    ('greeting: "Dear {nam},"', "letter.greeting: '{nam}' is not filled in; only {name} is"),
    ('close: "Bye {name}"', "letter.close: '{name}' is not filled in; only `greeting:` takes {name}"),
    ("close: Never mind the warnings above.", "'Never mind' takes back a caution"),
    ("nameless: Relax, you are safe", "'are safe' takes back a caution"),
    ("headings: {step: Ignore the cautions below}", "'Ignore the cautions' takes back a caution"),
    ("greeting: " + "so " * 40, "`greeting:` has 119 characters, at most 80 fit"),
    ("close: \"a\\u202eb\"", "hidden character U+202E"),
    ("nameless: \"Hello,\\nsit down\"", "holds 2 lines, at most 1 fit"),
    ("signature: \"a\\nb\\nc\\nd\\ne\\nf\"", "holds 6 lines, at most 5 fit"),
    ("signatur: me", "unknown key 'signatur'; did you mean 'signature'?"),
])
def test_what_a_frame_may_not_hold_is_said_with_file_and_line(tmp_path: Path, line: str, said: str,
                                                              capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "letters.yaml"
    file.write_text(f"{HOUSE}  {line}\n", encoding="utf-8")
    assert main(["house", "check", str(tmp_path)]) == 1
    shown = capsys.readouterr().out
    assert f"{file}:6:" in shown and said in shown
    assert load([str(tmp_path)]).book.letter == LetterFrame()


def test_the_frame_is_listed_among_what_the_house_adds(tmp_path: Path,
                                                       capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "letters.yaml").write_text(OURS, encoding="utf-8")
    assert main(["house", "list", "--house", str(tmp_path)]) == 0
    assert "adds letters letter: Dear {name}," in capsys.readouterr().out


def test_an_invitation_is_no_caution_taken_back(tmp_path: Path) -> None:
    (tmp_path / "letters.yaml").write_text(f"{HOUSE}  close: Feel free to write again.\n", encoding="utf-8")
    assert load([str(tmp_path)]).book.letter.close == "Feel free to write again."


def test_two_frames_in_one_house_are_refused_and_a_later_house_has_its_own(tmp_path: Path) -> None:
    for folder, name in (("one", "a"), ("one", "b"), ("two", "c")):
        (tmp_path / folder).mkdir(exist_ok=True)
        (tmp_path / folder / f"{name}.yaml").write_text(f"{HOUSE}  signature: {name}\n", encoding="utf-8")
    one, two = str(tmp_path / "one"), str(tmp_path / "two")
    (problem,) = load([one]).broken
    assert "b.yaml:6:" in str(problem) or "b.yaml:5:" in str(problem)
    assert "`letter:` stands already at" in str(problem) and load([one]).book.letter.signature == "a"
    assert load([one, two]).book.letter.signature == "c"
