"""What a stage says is to lie on the screen is done by the consult, and by nobody else."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import diagnose.dialogue.stages
from diagnose.dialogue.session import Session
from diagnose.dialogue.sitting import STAY, Clear, Drop, Have, Moves, Push
from diagnose.dialogue.stages.ending import Leave, Summary
from diagnose.dialogue.stages.question import Known, Question

ASKED, OTHER = Question("shot_time"), Known()


@pytest.mark.parametrize(("before", "moves", "after"), [
    ([ASKED], STAY, [ASKED]),
    ([ASKED], (Push(OTHER),), [ASKED, OTHER]),
    ([ASKED], (Push(ASKED),), [ASKED, ASKED]),
    ([ASKED, OTHER], (Have(ASKED),), [ASKED, OTHER]),
    ([OTHER], (Have(ASKED),), [OTHER, ASKED]),
    ([ASKED, OTHER], (Drop(ASKED),), [OTHER]),
    ([ASKED], (Drop(OTHER),), [ASKED]),
    ([ASKED, OTHER], (Clear(), Push(ASKED)), [ASKED]),
    ([ASKED], (Push(OTHER), Clear()), []),
])
def test_moves_are_done_one_after_another(session: Session, before: list, moves: Moves, after: list) -> None:
    session.over[:] = before
    session.move(moves)
    assert session.over == after


def test_a_stage_changes_nothing_on_the_screen_by_itself(session: Session) -> None:
    for stage, line, moves in ((Leave(), "no", (Drop(Leave()),)), (Leave(), "hm", STAY)):
        session.over[:] = [Summary(), stage]
        assert stage.take(session, line) == moves
        assert session.over == [Summary(), stage]


def test_no_stage_writes_to_what_lies_on_the_screen() -> None:
    files = list(Path(diagnose.dialogue.stages.__path__[0]).glob("*.py"))
    writes = re.compile(r"\bover\.(?:append|clear|extend|insert|pop|remove)\b|\bover\s*(?:\[.*\])?\s*=[^=]")
    assert len(files) > 8
    assert [file.name for file in files if writes.search(file.read_text())] == []
