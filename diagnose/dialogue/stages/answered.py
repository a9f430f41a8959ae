"""Questions of practice said at any time: answered at once, and what else was said is heard."""

from __future__ import annotations

from diagnose.dialogue.sitting import Moves, Push, Sitting
from diagnose.dialogue.stages.told import Explain
from diagnose.present import worked_answer
from diagnose.present.screen_data import AnswersData


def find(s: Sitting, line: str) -> tuple[Explain | None, str]:
    """The answers to what a line asks, and what it says besides, which is all of it where it asks nothing."""
    found = s.lookup.asked(line)
    if not found:
        return None, line
    told = worked_answer.of_case(s.case, line, found)
    stage = Explain(AnswersData(told))
    return stage, s.lookup.besides(line, found, lambda name: bool(s.alarms.symptom(name)))


def only_answered(s: Sitting, line: str) -> Moves | None:
    """Answer what a line asks, whatever else it says; None where it asks nothing."""
    stage, _ = find(s, line)
    return (Push(stage),) if stage else None
