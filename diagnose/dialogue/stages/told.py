"""What is told over a stage: any next line goes to what lies under it."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.dialogue.sitting import Moves, Sitting, Stage
from diagnose.present.screen_data import AnswersData
from diagnose.present.screens import Kind, Screen, Wanted
from diagnose.present.told_data import Told


@dataclass
class Explain(Stage):
    """Something told; any next line goes to what lies under it."""

    data: Told | AnswersData

    def screen(self, s: Sitting) -> Screen:
        kind: Kind = "answer" if isinstance(self.data, AnswersData) else "explain"
        return Screen(kind, self.data, wanted=Wanted("enter"))

    def take(self, s: Sitting, line: str) -> Moves:
        return s.stage.take(s, line)
