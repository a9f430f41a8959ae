"""The command in a pseudo-terminal, at 80x24 and 40x20: what a person really sees."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

import pexpect
import pyte
import pytest

from diagnose.case.journal import Store
from diagnose.ui.typed_ahead import STILL_SECONDS

ROOT = Path(__file__).parents[2]
SECONDS = 12
LOOKED_AT = STILL_SECONDS + 0.1
pytestmark = pytest.mark.timeout(120)


class Seen:
    """A terminal that is looked at until a text stands on it."""

    def __init__(self, book: Path, columns: int = 80, rows: int = 24, *arguments: str,
                 **env: str) -> None:
        self.screen = pyte.Screen(columns, rows)
        self.stream = pyte.ByteStream(self.screen)
        self.raw = b""
        self.child = pexpect.spawn(
            sys.executable, ["-m", "tests.ui.small_main", str(book), *arguments], cwd=str(ROOT),
            env={**os.environ, "TERM": "xterm", **env}, dimensions=(rows, columns), timeout=SECONDS)

    def __enter__(self) -> Seen:
        return self

    def __exit__(self, *_: object) -> None:
        self.child.close(force=True)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.screen.display).split())

    def until(self, *texts: str) -> str:
        """Read until all the texts stand on the screen."""
        end = time.monotonic() + SECONDS
        while not all(t in self.text for t in texts):
            assert time.monotonic() < end, f"{texts} not in:\n" + "\n".join(self.screen.display)
            try:
                data = self.child.read_nonblocking(65536, timeout=0.1)
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                assert all(t in self.text for t in texts), "\n".join(self.screen.display)
                break
            self.raw += data
            if b"\x1b[6n" in data:  # the program asks where the cursor is
                self.child.send(f"\x1b[{self.screen.cursor.y + 1};{self.screen.cursor.x + 1}R")
            self.stream.feed(data)
        return self.text

    def send(self, keys: str) -> None:
        """Type once the screen has been looked at for a moment."""
        time.sleep(LOOKED_AT)
        self.child.send(keys)

    def at_once(self, keys: str) -> None:
        """Type without looking."""
        self.child.send(keys)

    def first_question(self) -> None:
        """Place a complaint, and go on to the first question of the case."""
        self.until("What is wrong?")
        self.send("the shot runs too fast\r")
        self.until("Is it right?")
        self.send("1\r")
        self.until("Anything else you know?")
        self.send("\r")
        self.until("What was changed last")


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (40, 20)])
def test_a_consult_from_complaint_to_cure(book, own_data, columns, rows):
    with Seen(book, columns, rows) as seen:
        seen.until("What is wrong?")
        seen.send("the shot runs too fast\r")
        seen.until("Is it right?", "1 yes, that is it")
        seen.send("1\r")
        seen.until("Anything else you know?")
        seen.send("\r")
        seen.until("What was changed last", "2 the beans")
        seen.send("1\r")
        shown = seen.until("the grind is too coarse", "Do this now: Grind finer", "Did it work?",
                           "1 solved")
        assert shown.index("WARNING: Burrs") < shown.index("1. Turn the grinder")
        seen.send("1\r")
        seen.until("Solved: Grind finer.")
        seen.send("1\r")
        seen.until("That is the end of this consult.")
    ((_, how),) = Store(own_data / "cases").cases()
    assert how == "solved"


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (40, 20)])
def test_the_best_fix_by_one_key_and_own_words_at_a_question(book, own_data, columns, rows):
    with Seen(book, columns, rows) as seen:
        seen.until("What is wrong?")
        seen.send("the shot runs too fast\r")
        seen.until("Is it right?")
        seen.send("\r")
        seen.until("Anything else you know?")
        seen.send("\r")
        seen.until("What was changed last", "! best fix now")
        seen.send("!\r")
        seen.until("Do this now: Grind finer", "6 ask me more first")
        seen.send("6\r")
        seen.until("What was changed last")
        seen.send("I opened a new bag on Monday because the old one was empty\r")
        seen.until("Is it right?", "the beans.")
        assert not any(e.event.__class__.__name__ == "Answered" for e in _entries(own_data))
        seen.send("\r")
        seen.until("Noted.", "Use a fresh bag")
    assert [e.event.value for e in _entries(own_data) if hasattr(e.event, "value")] == ["beans"]


def _entries(data: Path):
    store = Store(data / "cases")
    return store.load(store.cases()[0][0].id)


def test_a_killed_consult_is_offered_and_gone_on_with(book, own_data):
    with Seen(book) as seen:
        seen.first_question()
        seen.send("1\r")
        seen.until("Did it work?")
        seen.child.kill(signal.SIGKILL)
        seen.child.wait()
    with Seen(book) as seen:
        seen.until("Go on with the case you left?", "the shot runs too fast")
        seen.send("1\r")
        seen.until("Going on where you left", "Do this now: Grind finer")


def test_what_to_do_stays_on_the_screen_after_leaving(book):
    with Seen(book) as seen:
        seen.first_question()
        seen.send("1\r")
        seen.until("Did it work?")
        seen.send("save\r")
        shown = seen.until("To go on: diagnose consult --resume")
    assert shown.index("WARNING: Burrs") < shown.index("1. Turn the grinder") < shown.index("To go on")
    assert "Did it work?" not in shown


def test_control_c_asks_and_the_second_leaves(book, own_data):
    with Seen(book) as seen:
        seen.first_question()
        seen.send("\x03")
        seen.until("Leave now?")
        seen.send("\x03")
        seen.until("To go on: diagnose consult --resume")
    assert len(Store(own_data / "cases").open_cases()) == 1


def test_the_window_closing_loses_nothing(book, own_data):
    with Seen(book) as seen:
        seen.first_question()
        seen.child.kill(signal.SIGHUP)
        seen.child.wait()
    (kept,) = Store(own_data / "cases").open_cases()
    assert kept.complaint == "the shot runs too fast"


def test_without_colour_no_colour_is_sent(book):
    with Seen(book, NO_COLOR="1") as seen:
        seen.first_question()
        seen.send("1\r")
        seen.until("Did it work?")
    import re

    codes = {c for found in re.findall(rb"\x1b\[([0-9;]*)m", seen.raw) for c in found.split(b";")}
    assert not any(c.isdigit() and 30 <= int(c) <= 107 and int(c) not in (39, 49) for c in codes)


def test_a_dumb_terminal_gets_plain_lines(book):
    with Seen(book, 80, 24, TERM="dumb") as seen:
        seen.until("What is wrong?", ">")
        seen.send("the shot runs too fast\r")
        seen.until("Is it right?")
        assert b"\x1b" not in seen.raw


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (40, 20)])
def test_the_result_stays_in_the_terminal_after_the_end(book, columns, rows):
    with Seen(book, columns, rows) as seen:
        seen.first_question()
        seen.send("1\r")
        seen.until("Did it work?")
        seen.send("solved\r")
        seen.until("Solved: Grind finer.")
        seen.send("1\r")
        shown = seen.until("That is the end of this consult.")
    assert "What was done" in shown and "solved it" in shown and "Solved: Grind finer." in shown


def test_leaving_at_a_question_says_where_it_stands(book):
    with Seen(book) as seen:
        seen.first_question()
        seen.send("save\r")
        seen.until("So far the likeliest is: the grind is too coarse",
                   "Next I would ask: What was changed last", "To go on: diagnose consult --resume")
