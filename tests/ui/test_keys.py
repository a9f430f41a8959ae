"""Keys at a real terminal, typed fast and slowly: none acts before Enter, none passes a screen unseen."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from tests.case.small import FakeLookup, small_system
from tests.dialogue.scripts import say
from tests.ui.test_pty import LOOKED_AT, Seen

pytestmark = pytest.mark.timeout(120)
SIZES = [(80, 24), (40, 20)]


def told(data: Path) -> list[object]:
    """What stands on file of the one case."""
    store = Store(data / "cases")
    found = store.cases()
    return [e.event for e in store.load(found[0][0].id)] if found else []


def outcomes(data: Path) -> list[str]:
    return [e.outcome for e in told(data) if hasattr(e, "outcome")]


def at_the_fix(seen: Seen) -> None:
    seen.first_question()
    seen.send("1\r")
    seen.until("Grind finer")


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("key", ["1", "?", "!", "b", "d"])
def test_no_key_acts_before_enter(book, own_data, columns, rows, key):
    with Seen(book, columns, rows) as seen:
        at_the_fix(seen)
        before = seen.text
        seen.send(key)
        seen.until(f"> {key}")
        assert outcomes(own_data) == []
        assert "Grind finer" in seen.text and before.split("> ")[0][:60] in seen.text


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_what_is_typed_ahead_does_not_reach_the_fix(book, own_data, columns, rows):
    with Seen(book, columns, rows) as seen:
        seen.first_question()
        seen.send("1\r1\r1\r")
        seen.at_once("\r1\r")
        seen.until("Grind finer")
        seen.send("\x03")
        seen.until("Leave now?")
    assert outcomes(own_data) == []


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_what_is_typed_ahead_does_not_pass_a_stop(book, own_data, tmp_path, columns, rows):
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), Store(own_data / "cases"))
    say(session, "gush", "1", "", "well it is burning", "", "save")
    with Seen(book, columns, rows) as seen:
        seen.until("Go on with the case you left?")
        seen.send("1\r1\r1\r")
        seen.at_once("\r1\r")
        seen.until("Stop. Do not go on.")
        seen.send("\x03")
        seen.until("Leave now?")
        assert seen.child.isalive()


def test_an_enter_held_down_turns_one_page_and_no_more(book, own_data):
    with Seen(book, 40, 15) as seen:
        at_the_fix(seen)
        seen.until("Page 1 of")
        seen.send("\r\r\r\r\r\r")
        seen.until("Page 2 of")
        seen.send("?\r")
        seen.until("What you can")
    assert outcomes(own_data) == []


def test_a_digit_on_the_first_page_of_a_fix_records_nothing(book, own_data):
    with Seen(book, 40, 15) as seen:
        at_the_fix(seen)
        seen.until("Page 1 of")
        for said in ("1", "solved", "yes"):
            seen.send(f"{said}\r")
            seen.until("Not taken")
        assert outcomes(own_data) == []
        page = 1
        while "1 solved" not in seen.text:
            page += 1
            seen.send("\r")
            seen.until(f"Page {page} of")
        seen.send("1\r")
        seen.until("Solved: Grind finer")
    assert outcomes(own_data) == ["solved"]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("line", ["b", "back", "d", "s", "e"])
def test_a_letter_is_never_an_outcome(book, own_data, columns, rows, line):
    with Seen(book, columns, rows) as seen:
        at_the_fix(seen)
        for _ in range(4):
            seen.send(f"{line}\r")
            seen.until(">")
    assert outcomes(own_data) == []


def test_a_choice_under_what_is_told_is_not_taken(book, own_data):
    with Seen(book) as seen:
        at_the_fix(seen)
        seen.send("why\r")
        seen.until("Why I think so")
        seen.send("1\r")
        seen.until("Not taken: that is on the screen under this one.")
        seen.send("\r")
        seen.until("Did it work?")
    assert outcomes(own_data) == []


def test_nothing_left_from_before_stands_in_the_field(book):
    with Seen(book) as seen:
        seen.until("What is wrong?")
        seen.send("the shot runs too fast\r")
        seen.until("Is it right?")
        seen.send("no\r")
        seen.until("You said: the shot runs too fast")
        assert [r.rstrip() for r in seen.screen.display if r.startswith(">")] == [">"]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_lines_typed_ahead_are_dropped_in_plain_mode_too(book, own_data, columns, rows):
    with Seen(book, columns, rows, "--plain") as seen:
        seen.until("What is wrong?", ">")
        seen.send("the shot runs too fast\r1\r\r1\r1\r1\r1\r")
        seen.until("Is it right?")
        time.sleep(LOOKED_AT)
        assert "Anything else" not in seen.text and outcomes(own_data) == []
        seen.send("1\r")
        seen.until("Anything else you know?")
