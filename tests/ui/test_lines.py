"""The plain line front end: every script, the end of input, Ctrl-C."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.present import screens
from diagnose.ui import lines
from tests.case.small import FakeLookup, small_system
from tests.dialogue.scripts import SCRIPTS, Script
from tests.dialogue.test_scripts import ended


@pytest.fixture(scope="module")
def system(tmp_path_factory: pytest.TempPathFactory):
    return small_system(tmp_path_factory.mktemp("small"))


def run(system, folder: Path, read: io.TextIOBase, broken: tuple[str, ...] = ()
        ) -> tuple[Session, str]:
    out = io.StringIO()
    session = lines.run(
        screens.complaint(),
        lambda: Session(system, FakeLookup(system.book), Store(folder / "cases"), broken=broken),
        read, out)
    return session, out.getvalue()


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda s: s.name)
def test_a_script_ends_as_it_says(script: Script, system, tmp_path: Path) -> None:
    session, shown = run(system, tmp_path, io.StringIO("\n".join(script.lines) + "\n"))
    assert ended(session) == (script.ended, script.values, script.tried)
    everything = " ".join(shown.split())
    assert [w for w in script.seen if w not in everything] == []


def test_the_end_of_input_leaves_with_everything_on_file(system, tmp_path):
    session, _ = run(system, tmp_path, io.StringIO("gush\n1\n\ngrind"))
    assert session.ended == "left"
    assert Store(tmp_path / "cases").load(session.id) == session.case.entries
    assert session.case.values == {"last_change": "grind"}


def test_no_line_is_wider_than_its_width_and_nothing_is_redrawn(system, tmp_path):
    _, shown = run(system, tmp_path, io.StringIO("gush\n1\n\ngrind\nmore\nwhy\n"))
    assert max(map(len, shown.splitlines())) <= 78
    assert "\x1b" not in shown and "\r" not in shown


def test_a_refused_answer_does_not_read_the_whole_screen_again(system, tmp_path):
    _, shown = run(system, tmp_path, io.StringIO("gush\n1\n\npurple\n"))
    assert shown.count("What was changed last") == 1
    assert shown.count('"purple" is none of the answers') == 1


def test_broken_house_files_are_named_on_every_screen(system, tmp_path):
    broken = ("ours/rules.yaml:3:1: no such key",)
    _, shown = run(system, tmp_path, io.StringIO("gush\n1\n\ngrind\nwhy\n"), broken)
    screens_shown = [s for s in shown.split("> ")[:-1] if s.strip()]
    assert all("ours/rules.yaml:3:1" in " ".join(s.split()) for s in screens_shown)
    assert len(screens_shown) == 6


class Interrupted(io.StringIO):
    """Input in which some lines are Ctrl-C."""

    def readline(self, *_):
        line = super().readline()
        if line == "^C\n":
            raise KeyboardInterrupt
        return line


def test_control_c_asks_whether_to_leave_and_loses_nothing(system, tmp_path):
    session, shown = run(system, tmp_path, Interrupted("gush\n1\n\ngrind\n^C\nno\n^C\nyes\n"))
    assert shown.count("Leave now?") == 2 and session.ended == "left"
    assert session.case.values == {"last_change": "grind"}


def test_every_choice_of_every_screen_has_a_digit(system, tmp_path):
    _, shown = run(system, tmp_path, io.StringIO("gush\n1\n\ngrind\n"))
    for text in ("1 yes, that is it", "1 the grind", "1 solved   2 better   3 same   4 worse"):
        assert text in shown
