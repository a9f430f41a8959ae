"""Every scripted consult through the session itself, the measure for all front ends."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.ui import text
from tests.case.small import FakeLookup, small_system
from tests.dialogue.scripts import SCRIPTS, Script


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda s: s.name)
def test_a_script_ends_as_it_says(script: Script, tmp_path: Path) -> None:
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), Store(tmp_path / "cases"))
    shown = []
    for line in script.lines:
        assert not session.ended, line
        session.take(line)
        shown.append(text.linear(session.screen()))
    assert ended(session) == (script.ended, script.values, script.tried)
    everything = " ".join(" ".join(shown).split())
    assert [w for w in script.seen if w not in everything] == []


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda s: s.name)
def test_no_screen_comes_twice_in_a_row_without_a_word(script: Script, tmp_path: Path) -> None:
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book))
    before = session.screen()
    for line in script.lines:
        session.take(line)
        shown = session.screen()
        assert shown.notes or shown != replace(before, notes=()) or session.ended, line
        before = shown


def ended(session: Session) -> tuple[str, dict[str, str], tuple[tuple[str, str], ...]]:
    """How a session ended, to be compared with a script's end."""
    case = session.case
    return (session.ended, {n: str(v) for n, v in case.values.items()},
            tuple((t.remedy, t.outcome) for t in case.fixes))
