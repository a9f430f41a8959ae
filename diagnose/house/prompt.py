"""Plain questions over lines in and out, one answer a line; back to the one before at any time.

Answers are kept as they are given, by id or in full. So a round of questions can be gone
through again with answers it had: silently as far as they go, then asked on from there.
"""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Callable, Mapping, Sequence
from typing import TextIO

from diagnose.book.answers import picked
from diagnose.errors import UserError
from diagnose.house.finding import Finder

WIDEST = 79
LEAVE = ("q", "quit")
BACK = ("b", "back")


class Back(Exception):
    """The person wants the question before this one again."""


class PromptEnded(UserError):
    """The answers ended, or the person left, before all was asked."""


class Prompter:
    """Asks and reads; `kept` is told of every answer."""

    def __init__(self, source: TextIO, sink: TextIO,
                 kept: Callable[[Sequence[str]], None] = lambda answers: None) -> None:
        self._source, self._sink, self.kept = source, sink, kept
        self.answers: list[str] = []
        self._given: list[str] = []

    @property
    def live(self) -> bool:
        """Is somebody at a terminal?"""
        return self._source.isatty()

    def again(self, answers: Sequence[str]) -> None:
        """Begin anew with these answers to the first questions."""
        self.answers, self._given = [], list(answers)

    def say(self, text: str = "", hang: int = 0) -> None:
        """Show a text, on a terminal broken at its width; further lines hang by `hang`."""
        if self._given:
            return
        if self._sink.isatty():
            text = wrapped(text, hang)
        print(text, file=self._sink, flush=True)

    def line(self, question: str) -> str:
        """One line of answer."""
        end = " " if self.live else "\n"     # nobody's typing ends the line there
        print(wrapped(question) if self._sink.isatty() else question, end=end, file=self._sink, flush=True)
        line = self._source.readline()
        if not line:
            raise PromptEnded("the answers ended before all was asked; nothing was changed")
        said = line.strip()
        if said.lower() in LEAVE:
            raise PromptEnded("left before the end; nothing was changed")
        if said.lower() in BACK:
            raise Back
        return said

    def _answer(self, fits: Callable[[str], bool], ask: Callable[[], str]) -> str:
        """The answer that was given before, if it fits; else that to the question."""
        if self._given and not fits(self._given[0]):
            self._given.clear()
        answer = self._given.pop(0) if self._given else ask()
        self.answers.append(answer)
        if not self._given:
            self.kept(self.answers)
        return answer

    def text(self, question: str, check: Callable[[str], str] = lambda text: "",
             empty: bool = False) -> str:
        """A text; `check` says what is wrong with it, in words, and it is asked again."""
        return self._answer(lambda a: empty if not a else not check(a),
                            lambda: self._text(question, check, empty))

    def _text(self, question: str, check: Callable[[str], str], empty: bool) -> str:
        while True:
            answer = self.line(question)
            wrong = check(answer) if answer else "" if empty else "please say something"
            if not wrong:
                return answer
            self.say(f"  {wrong[:1].upper()}{wrong[1:]}", hang=2)

    def yes(self, question: str) -> bool:
        """Yes or no."""
        answer = self.text(f"{question} (yes or no)", _yes_or_no)
        return answer.lower() in ("y", "yes")

    def agreed(self, question: str) -> bool:
        """Yes or no to all that was answered, which is no answer itself."""
        self._given.clear()
        return self._text(f"{question} (yes or no)", _yes_or_no, empty=False).lower() in ("y", "yes")

    def one_of(self, question: str, options: Mapping[str, str]) -> str:
        """One of a short list, by number, id or words; returns the id."""
        return self._answer(options.__contains__, lambda: self._one_of(question, options))

    def _one_of(self, question: str, options: Mapping[str, str]) -> str:
        self.say(question)
        self._list(options)
        finder = Finder(options)
        while True:
            answer = self.line("Number or words:")
            hit = _exact(answer, options, list(options)) or (answer and finder.sure(answer))
            holding = [n for n, words in options.items() if answer and answer.casefold() in words.casefold()]
            if hit or len(holding) == 1:
                return hit or holding[0]
            self.say(f"  Please take one of 1 to {len(options)}.")

    def find(self, question: str, finder: Finder, empty: bool = False) -> str:
        """One of a long list, found by words; returns the id, or nothing where that may be."""
        return self._answer(lambda a: a in finder.options if a else empty,
                            lambda: self._find(question, finder, empty))

    def _find(self, question: str, finder: Finder, empty: bool) -> str:
        self.say(question)
        shown: list[str] = []
        while True:
            answer = self.line("Other words, or a number from the list:" if shown else "Some words of it:")
            if not answer and empty:
                return ""
            if hit := _exact(answer, finder.options, shown):
                return hit
            shown = finder.found(answer)
            if not shown:
                self.say("  Nothing like it; try other words.")
            self._list({name: finder.options[name] for name in shown})

    def _list(self, options: Mapping[str, str]) -> None:
        for number, words in enumerate(options.values(), 1):
            self.say(f"  {number}. {words}", hang=5)


def wrapped(text: str, hang: int = 0) -> str:
    """A text of one or more lines, broken at the terminal's width."""
    width = min(WIDEST, shutil.get_terminal_size((WIDEST + 1, 24)).columns - 1)
    return "\n".join(textwrap.fill(line, width, subsequent_indent=" " * (hang or _indent(line)),
                                   drop_whitespace=True, replace_whitespace=False,
                                   break_on_hyphens=False) for line in text.split("\n"))


def _indent(line: str) -> int:
    """How far the lines after the first hang: under the text, past a mark of a list."""
    return len(line) - len(line.lstrip(" -"))


def _yes_or_no(answer: str) -> str:
    return "" if answer.lower() in ("y", "yes", "n", "no") else "please answer yes or no"


def _exact(answer: str, options: Mapping[str, str], shown: Sequence[str]) -> str:
    if number := picked(answer, len(shown)):
        return shown[number - 1]
    if answer in options:
        return answer
    said = answer.casefold()
    return next((name for name, words in options.items() if words.casefold() == said), "") if said else ""
