"""What is told over a stage: any next line goes to what lies under it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from diagnose.dialogue.sitting import Sitting, Stage
from diagnose.present.screens import Screen, Wanted


@dataclass
class Explain(Stage):
    """Something told; any next line goes to what lies under it."""

    code: str
    data: dict[str, Any]

    def screen(self, s: Sitting) -> Screen:
        return Screen("explain", {"about": self.code, **self.data}, wanted=Wanted("enter"))

    def take(self, s: Sitting, line: str) -> None:
        s.stage.take(s, line)


@dataclass
class Answers(Explain):
    """Answers to what was asked, in the order asked; then it goes on where it was."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("answer", self.data, wanted=Wanted("enter"))
