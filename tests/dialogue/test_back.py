"""Going back brings the same question again, with the shipped book's many to choose from."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case import hypothetical
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


@pytest.mark.parametrize("complaint", ["taste_bitter", "leaks_under", "shot_too_fast"])
def test_the_questions_left_never_rise_while_one_only_answers_and_goes_back(
        system: System, monkeypatch: pytest.MonkeyPatch, complaint: str) -> None:
    """What was cut short at first is counted further the second time, and told no more for that."""
    monkeypatch.setattr(hypothetical.questions_left, "__defaults__", (0.0,))
    session = Session(system, FakeLookup(system.book))
    session.begin(entries=[Entry(now(), Complained("as told", (complaint,)))])
    said = [_left(session)]
    for line in ("d", "d", "d"):
        say(session, line)
        said.append(_left(session))
    monkeypatch.setattr(hypothetical.questions_left, "__defaults__", (60.0,))
    back = []
    for _ in said[1:]:
        say(session, "b")
        back.append(_left(session))
    assert back[::-1] == said[:-1]
    told = [count for line in ("d", "d", "d") if (count := _left_after(session, line)) is not None]
    assert told == sorted(told, reverse=True)


def _left(session: Session) -> int | None:
    """The number that stands on the screen."""
    status = session.screen().status
    return status.left if status and not status.at_least else None


def _left_after(session: Session, line: str) -> int | None:
    say(session, line)
    return _left(session)
