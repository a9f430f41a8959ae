"""Going back brings the same question again, with the shipped book's many to choose from."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case.events import Complained, Entry, now
from diagnose.dialogue.session import Session
from diagnose.reason.system import System
from tests.case.small import FakeLookup
from tests.dialogue.scripts import say

WRONG = ("shot_too_fast", "shot_too_slow", "taste_sour", "foam_none", "steam_none")


@pytest.fixture(scope="module")
def system() -> System:
    return System(load([]).book)


@pytest.mark.parametrize("wrong", WRONG)
def test_a_question_taken_back_is_asked_again(system: System, tmp_path: Path, wrong: str) -> None:
    session = Session(system, FakeLookup(system.book))
    session.begin(entries=[Entry(now(), Complained("as told", (wrong,)))])
    asked = session.stage.asks(session)
    assert asked, session.screen()
    for _ in range(3):
        say(session, "d")
        assert session.stage.asks(session) != asked
        say(session, "b")
        assert session.stage.asks(session) == asked
        say(session, "d")
        asked = session.stage.asks(session)
        if asked is None:
            break
