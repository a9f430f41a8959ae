"""Plain questions over lines in and out: numbered lists found by words, one answer a line."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Callable, Mapping
from typing import TextIO

from rapidfuzz import fuzz, process, utils

from diagnose.book.answers import picked
from diagnose.errors import UserError

SHOWN = 8
WIDEST = 79
LEAVE = ("q", "quit")
LEAST = 45
"""Likeness, of 100, from which an entry is offered."""


class Prompter:
    """Asks and reads; ends with UserError where the lines run out or the person leaves."""

    def __init__(self, source: TextIO, sink: TextIO) -> None:
        self._source, self._sink = source, sink

    def say(self, text: str = "", hang: int = 0) -> None:
        """Show a text, on a terminal broken at its width; further lines hang by `hang`."""
        if self._sink.isatty():
            text = wrapped(text, hang)
        print(text, file=self._sink, flush=True)

    def line(self, question: str) -> str:
        """One line of answer."""
        end = " " if self._source.isatty() else "\n"     # nobody's typing ends the line there
        print(question, end=end, file=self._sink, flush=True)
        line = self._source.readline()
        if not line:
            raise UserError("the answers ended before all was asked; nothing was changed")
        if line.strip().lower() in LEAVE:
            raise UserError("left before the end; nothing was changed")
        return line.strip()

    def text(self, question: str, check: Callable[[str], str] = lambda text: "",
             empty: bool = False) -> str:
        """A text; `check` says what is wrong with it, in words, and it is asked again."""
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

    def one_of(self, question: str, options: Mapping[str, str]) -> str:
        """One of a short list, by number, id or words; returns the id."""
        self.say(question)
        self._list(dict(options))
        return self._pick(dict(options), "Number or words:")

    def find(self, question: str, options: Mapping[str, str], empty: bool = False,
             more: Mapping[str, str] | None = None) -> str:
        """One of a long list, found by words; returns the id, or nothing where that may be.

        `more` are words by which an entry is found too, though they are not shown.
        """
        self.say(question)
        shown: list[str] = []
        while True:
            answer = self.line("Some words of it, or a number from the list:" if shown
                               else "Some words of it:")
            if not answer and empty:
                return ""
            hit = _exact(answer, options, shown)
            if hit:
                return hit
            shown = found(answer, options, more=more)
            if not shown:
                self.say("  Nothing like it; try other words.")
            else:
                self._list({name: options[name] for name in shown})

    def _pick(self, options: dict[str, str], question: str) -> str:
        while True:
            answer = self.line(question)
            hit = _exact(answer, options, list(options))
            if not hit and len(close := found(answer, options)) == 1:
                hit = close[0]
            if hit:
                return hit
            self.say(f"  Please take one of 1 to {len(options)}.")

    def _list(self, options: Mapping[str, str]) -> None:
        for number, (name, words) in enumerate(options.items(), 1):
            self.say(f"  {number}. {words}" + (f"  [{name}]" if words != name else ""), hang=5)


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


def _exact(answer: str, options: Mapping[str, str], shown: list[str]) -> str:
    if number := picked(answer, len(shown)):
        return shown[number - 1]
    if answer in options:
        return answer
    said = answer.casefold()
    return next((name for name, words in options.items() if words.casefold() == said), "") if said else ""


def found(answer: str, options: Mapping[str, str], most: int = SHOWN,
          more: Mapping[str, str] | None = None) -> list[str]:
    """The ids whose words are most like the answer, best first."""
    if not answer:
        return list(options)[:most]
    words = {name: f"{name.replace('_', ' ')} {text} {(more or {}).get(name, '')}"
             for name, text in options.items()}
    hits = process.extract(answer, words, scorer=fuzz.token_set_ratio, processor=utils.default_process,
                           limit=most, score_cutoff=LEAST)
    return [name for _, _, name in hits]
