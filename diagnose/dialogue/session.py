"""The consult, driven by typed lines: what all front ends have in common.

`screen()` says what to show, `take(line)` what the person said to it. Front ends differ
in how they draw and read, never in what happens.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from diagnose.book import answers
from diagnose.book.answers import AnswerError
from diagnose.case.case import Case
from diagnose.case.journal import Kept as OnFile
from diagnose.dialogue import command_actions, commands
from diagnose.dialogue.matching import stands_there
from diagnose.dialogue.replies import is_words
from diagnose.dialogue.sitting import Sitting, Stage
from diagnose.dialogue.stages import answered
from diagnose.dialogue.stages.complaint import Complaint, Resume
from diagnose.dialogue.stages.confirm import Understood
from diagnose.dialogue.stages.ending import Leave
from diagnose.dialogue.stages.question import Timer
from diagnose.dialogue.stages.step import Next
from diagnose.dialogue.stages.told import Explain
from diagnose.present import case_data, handover
from diagnose.present.parts import HouseRule
from diagnose.present.screens import Offer, Screen, Status
from diagnose.reason.explain import explain

NO_ANSWER = ("no_choice", "no_other_choice", "no_answer", "refused")
"""Notes that a line was taken for nothing that was asked."""
MOST_SAID = 4000
"""Characters of one line that are read; the rest is cut off and said to be."""


class Session(Sitting):
    """One person's consult from the first word to the end."""

    def offer_resume(self, kept: OnFile) -> None:
        """Ask first whether to go on with a case on file."""
        self.over.append(Resume(kept))

    def warming(self) -> Iterator[None]:
        """Make ready, step by step, what the first words and the first question will need."""
        _ = self.system.reasoner
        yield
        _ = self.system.asker
        yield
        self.lookup.search("")
        yield
        self.lookup.understand("")
        yield
        _ = Case(self.system, today=self.today).inference

    # What is shown.

    @property
    def stage(self) -> Stage:
        """What takes the next line."""
        if self.over:
            return self.over[-1]
        return Next() if self.begun else Complaint()

    def screen(self) -> Screen:
        """What to show now."""
        shown = self.stage.screen(self)
        return replace(shown, notes=(*self.notes, *shown.notes), broken=self.broken,
                       status=self._status(), unkept=self.guarded.problem if self.guarded else "",
                       house=shown.house or self._house(shown))

    def standing(self) -> Screen | None:
        """What stands where the person leaves or ends; None before there is a case."""
        shown = Next().screen(self) if self.begun else None
        return replace(shown, house=self._house(shown), status=self._status()) if shown else None

    def done_so_far(self) -> list[str]:
        """The fixes tried, with what came of each, in words."""
        return handover.tried(self.case)

    def _house(self, shown: Screen) -> tuple[HouseRule, ...]:
        if shown.kind not in ("remedy", "stop", "done"):
            return ()
        return tuple(case_data.house_rules(self.case))

    def _status(self) -> Status:
        if not self.begun or self.case.hazard:
            return Status(len(self.case.values))
        top = self.seen.ranked[0]
        left = self.countdown.left(self.case, self.aside)
        return Status(len(self.case.values), explain.name(self.book, top.cause), round(top.probability, 4),
                      left.count if left else None, bool(left and left.at_least))

    def offers(self, line: str) -> list[Offer]:
        """Ways to finish a complaint being typed."""
        if not isinstance(self.stage, Complaint | Understood) or len(line.strip()) < 2:
            return []
        return [Offer(hit.name) for hit in self.lookup.search(line)]

    def check(self, line: str) -> str:
        """Why a line can't be the answer; empty where it can, or where it is none."""
        return "" if self._command(line) else self.stage.check(self, line)

    def means(self, line: str) -> list[str] | None:
        """The choices that a line takes here, none for an answer without any; None for all else."""
        line = _plain(line)
        return None if self._command(line) else self.stage.means(self, line)

    def own_words(self, line: str) -> bool:
        """Would a line that is no answer be read as words of the person's own?"""
        return self.stage.asks(self) is not None and is_words(line) and bool(self.check(line))

    def read_as(self, line: str) -> str:
        """How an answer being typed is read; empty where it can't be, or where none is asked."""
        name = self.stage.asks(self)
        try:
            value = self.read(name, line) if name else None
        except AnswerError:
            return ""
        return answers.shown(self.book.observations[name], value) if name else ""

    @property
    def elapsed(self) -> float | None:
        """Seconds on a running clock; None where none runs."""
        stage = self.stage
        return stage.elapsed(self) if isinstance(stage, Timer) else None

    # What is said.

    def take(self, line: str) -> None:
        """Take one line: a command or an answer to what is shown."""
        self.notes = []
        line = _plain(line)
        if len(line) > MOST_SAID:
            line = line[:MOST_SAID]
            self.say("cut", most=str(MOST_SAID))
        command = self._command(line)
        if isinstance(self.stage, Explain) and self._told(line, command):
            return
        if command is None:
            self.move(self.stage.take(self, line))
            self._answer_instead(line)
        else:
            self.move(command_actions.DO[command[0]](self, command[1]))

    def _answer_instead(self, line: str) -> None:
        """A question said where only a choice or an answer is taken is answered there too."""
        refused = [n for n in self.notes if n.code in NO_ANSWER]
        told = answered.only_answered(self, line) if refused and is_words(line) else None
        if told is not None:
            self.move(told)
            self.notes = [n for n in self.notes if n not in refused]

    def _command(self, line: str) -> tuple[str, str] | None:
        """The command meant; none where the same word stands on the screen as a choice."""
        command = commands.read(line)
        return None if command and stands_there(line, self.stage.screen(self).choices) else command

    def _told(self, line: str, command: tuple[str, str] | None) -> bool:
        """Leave what is told. What can't be seen under it is not chosen; a question is answered in words."""
        explained = self.over.pop()
        if not line or command == ("back", ""):
            return True
        under = self.stage.screen(self)
        in_words = under.kind == "question" and not under.cautions and not line.isdigit()
        if command is None and not in_words and self.stage.means(self, line) is not None:
            self.over.append(explained)
            self.say("not_in_sight")
            return True
        return False

    def interrupt(self) -> None:
        """Ctrl-C: asks once whether to save and leave; the second time leaves."""
        self.notes = []
        if self.over and isinstance(self.over[-1], Leave):
            self.leave()
        else:
            self.over.append(Leave())


def _plain(line: str) -> str:
    return "".join(c if c.isprintable() else " " for c in line).strip()
