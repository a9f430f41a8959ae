"""The consult at a terminal: one screen at a time, answered by a key or a few letters."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace
from prompt_toolkit.application import Application
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.layout import (
    BufferControl,
    CompletionsMenu,
    Float,
    FloatContainer,
    FormattedTextControl,
    HSplit,
    Layout,
    Window,
)
from prompt_toolkit.layout.processors import BeforeInput
from prompt_toolkit.output import Output
from prompt_toolkit.styles import Style

from diagnose.errors import UserError
from diagnose.present.screens import Screen
from diagnose.ui import draw, words
from diagnose.ui.layout import Line, Part, fit, lines, pages

if TYPE_CHECKING:
    from diagnose.dialogue.session import Session

TICK_SECONDS = 0.1
WARM_SECONDS = 0.05
"""After the first screen is drawn, before the engine is made ready behind it."""
MENU_ROWS = 7
LEFT_OUT = (words.STEPS_LEFT_OUT[1], words.STEPS_LEFT_OUT[2])
NOT_STEPS = 3
"""How spare a part is at least that is left out before a step is."""
STYLE = Style.from_dict({
    "title": "bold", "do": "bold", "danger": "bold ansired", "warning": "bold", "caution": "",
    "notice": "", "note": "italic", "error": "bold", "status": "", "hint": "", "choice": "",
    "heading": "",
    "clock": "bold", "completion-menu": "noreverse bg:default fg:default",
    "completion-menu.completion": "bg:default fg:default",
    "completion-menu.completion.current": "noinherit reverse",
    "completion-menu.meta.completion": "bg:default fg:default italic",
    "completion-menu.meta.completion.current": "noinherit reverse",
    "scrollbar.background": "noinherit", "scrollbar.button": "noinherit reverse",
})


class Terminal:
    """Draws a session's screens and reads keys until it ends."""

    def __init__(self, first: Screen, opened: Callable[[], Session], input: Input | None = None,
                 output: Output | None = None) -> None:
        self.shown, self.page, self._opened = first, 0, opened
        self._left = (_bare(first), 0)
        """The screen last left, explanations apart, and the page it was left on."""
        self.buffer = Buffer(multiline=False, completer=_Offers(self), complete_while_typing=True)
        self.app: Application[None] = Application(
            Layout(self._root()), key_bindings=self._keys(), style=STYLE, full_screen=True,
            mouse_support=False, input=input, output=output, include_default_pygments_style=False)
        self.app.ttimeoutlen = 0.05
        self._begin()

    def run(self) -> Session:
        """Go on until the session ends. Raises UserError where it can't be opened."""
        self.app.run(pre_run=self._warm, handle_sigint=False)
        return self.session

    @cached_property
    def session(self) -> Session:
        """The session, opened once the first screen stands or the first key asks for it."""
        return self._opened()

    # What is drawn.

    def _root(self) -> FloatContainer:
        prompt = BufferControl(self.buffer, input_processors=[BeforeInput(words.PROMPT)],
                               focusable=True)
        self.prompt = Window(prompt, height=1)
        rows = HSplit([
            Window(FormattedTextControl(self._body), always_hide_cursor=True),
            Window(FormattedTextControl(self._foot), dont_extend_height=True),
            self.prompt,
            Window(FormattedTextControl(self._hint), height=1),
        ])
        menu = CompletionsMenu(max_height=MENU_ROWS, scroll_offset=1)
        return FloatContainer(rows, [Float(menu, xcursor=True, ycursor=True)])

    @property
    def _size(self) -> tuple[int, int]:
        size = self.app.output.get_size()
        return size.columns - 1, size.rows

    def _pages(self) -> list[list[Line]]:
        width, height = self._size
        return paged(self.shown, width, height - 2 - len(self._foot_lines(width)))

    def _foot_lines(self, width: int) -> list[Line]:
        parts = [*draw.notes(self.shown), *draw.foot(self.shown),
                 Part(draw.keys(self.shown), "hint")]
        return lines(parts, width, gaps=False)

    def _body(self) -> StyleAndTextTuples:
        found = self._pages()
        self.page = min(self.page, len(found) - 1)
        page = list(found[self.page])
        if len(found) > 1:
            text = words.PAGE if self.page < len(found) - 1 else words.LAST_PAGE
            page.append(Line(text.format(page=self.page + 1, pages=len(found)), "hint"))
        if (clock := self._clock()) is not None:
            page += [Line(""), Line(words.SECONDS.format(seconds=clock), "clock")]
        return _fragments(page)

    def _clock(self) -> float | None:
        if self.shown.kind == "timer" and self.shown.data["phase"] == "running":
            return self.session.elapsed
        return None

    def _foot(self) -> StyleAndTextTuples:
        return _fragments(self._foot_lines(self._size[0]))

    def _hint(self) -> StyleAndTextTuples:
        """Under the prompt: what may be typed, how it is read, or why it can't be."""
        text = self.buffer.text.strip()
        asked = self.shown.wanted
        if not text or asked.expects not in ("quantity", "date"):
            return [("class:hint", draw.wanted(self.shown))]
        if self.session.own_words(text):
            return [("class:hint", words.READ_WORDS)]
        problem = self.session.check(text)
        return [("class:error", problem)] if problem else [
            ("class:hint", words.READ_AS.format(value=self.session.read_as(text)))]

    # What is read.

    def say(self, line: str) -> None:
        """Hand a line to the session and show what comes of it."""
        if not self.session.ended:  # keys may still come in once it is over
            self.session.take(line)
            self._changed()

    def _changed(self) -> None:
        if self.session.ended:
            self.app.exit()
            return
        if self.shown.kind not in ("explain", "answer"):
            self._left = (_bare(self.shown), self.page)
        self.shown = self.session.screen()
        # What was read already is not to be turned to again.
        self.page = self._left[1] if self._left[0] == _bare(self.shown) else 0
        self._begin()

    def _begin(self) -> None:
        start = self.shown.wanted.start if self.shown.kind != "save" else ""
        self.buffer.set_document(Document(start, len(start)), bypass_readonly=True)
        self.prompt.horizontal_scroll = 0  # else a long line before leaves the prompt out of sight

    def _enter(self, event: KeyPressEvent) -> None:
        text = self.buffer.text
        if not text.strip() and self.page < len(self._pages()) - 1:
            self.page += 1
        else:
            self.buffer.reset()
            self.say(text)
            self._tick()

    def _tick(self) -> None:
        if self._clock() is not None:
            self.app.create_background_task(self._ticking())

    async def _ticking(self) -> None:
        while self._clock() is not None:
            self.app.invalidate()
            await asyncio.sleep(TICK_SECONDS)

    def _warm(self) -> None:
        """Make book and engine ready while the person reads the first screen."""
        async def warm() -> None:
            await asyncio.sleep(WARM_SECONDS)
            try:
                self.shown = self.session.screen()
            except UserError as error:
                self.app.exit(exception=error)
                return
            self.app.invalidate()
            for _ in self.session.warming():
                await asyncio.sleep(WARM_SECONDS)

        self.app.create_background_task(warm())

    def _keys(self) -> KeyBindings:
        keys = KeyBindings()
        empty = Condition(lambda: not self.buffer.text)
        keys.add("enter")(self._enter)
        keys.add("c-c")(lambda event: self._interrupt())
        keys.add("<sigint>")(lambda event: self._interrupt())
        keys.add("c-d", filter=empty)(lambda event: self._interrupt())
        keys.add("escape", eager=True)(lambda event: self._escape())
        keys.add("?", filter=empty)(lambda event: self.say("?"))
        keys.add("!", filter=empty)(lambda event: self.say("!"))
        keys.add("pagedown")(lambda event: self._turn(1))
        keys.add("pageup")(lambda event: self._turn(-1))
        at_clock = Condition(lambda: self.shown.kind == "timer")
        keys.add(" ", filter=empty & at_clock)(self._enter)
        timed = Condition(lambda: self.shown.kind == "question" and self.shown.wanted.unit == "s")
        keys.add("t", filter=empty & timed)(lambda event: self.say("timer"))
        at_once = Condition(self._one_key)
        for digit in "123456789":
            keys.add(digit, filter=empty & at_once)(_digit(self, digit))
        return keys

    def _one_key(self) -> bool:
        """Does one digit say it all?"""
        return self.shown.wanted.expects == "one" and len(self.shown.choices) <= 9

    def _interrupt(self) -> None:
        if not self.session.ended:
            self.session.interrupt()
            self._changed()

    def _escape(self) -> None:
        """Drop what was typed; else leave what lies over the case."""
        if self.buffer.text:
            self.buffer.reset()
        elif self.session.over or self.session.hurried:
            self.say("back")

    def _turn(self, by: int) -> None:
        self.page = max(0, min(self.page + by, len(self._pages()) - 1))


def paged(screen: Screen, width: int, room: int) -> list[list[Line]]:
    """A screen on one page, its cautions on it in full.

    Where they leave no room for the steps, they come first, in full on pages of their own,
    and the screen after them repeats each in brief above the steps. That something must stop
    comes before all cautions; what would stop is named in brief where words are sorted out, since
    all of it comes once they are confirmed.
    """
    if screen.kind == "understood":
        screen = draw.in_brief(screen)
    if not screen.cautions or screen.kind in ("stop", "understood"):
        return pages(draw.draw(screen), width, room, LEFT_OUT)
    whole = fit(draw.draw(screen), width, room, LEFT_OUT, NOT_STEPS)
    if whole is not None:
        return [whole]
    return [*pages(draw.before(screen), width, room - 1, LEFT_OUT), *_brief(screen, width, room - 1)]


def _brief(screen: Screen, width: int, room: int) -> list[list[Line]]:
    """A screen whose cautions were read: as much of them as leaves room for every step."""
    brief, briefest, recalled = (draw.draw(cut(screen)) for cut in (
        draw.in_brief, draw.in_briefest, draw.recalled))
    for body, least in ((brief, NOT_STEPS), (briefest, NOT_STEPS), (recalled, NOT_STEPS),
                        (briefest, 1)):
        one = fit(body, width, room, LEFT_OUT, least)
        if one is not None:
            return [one]
    return pages(recalled, width, room, LEFT_OUT)


def _bare(screen: Screen) -> Screen:
    """A screen without what is said once and what stands at its foot."""
    return replace(screen, notes=(), status=None)


def _digit(terminal: Terminal, digit: str) -> Any:
    return lambda event: terminal.say(digit)


def _fragments(found: list[Line]) -> StyleAndTextTuples:
    parts: StyleAndTextTuples = []
    for i, line in enumerate(found):
        parts.append((f"class:{line.style}" if line.style else "", line.text))
        if i < len(found) - 1:
            parts.append(("", "\n"))
    return parts


class _Offers(Completer):
    """Completes complaints from the book, and choices and commands by their first letters."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal

    def get_completions(self, document: Document, complete_event: CompleteEvent
                        ) -> Iterator[Completion]:
        """What the text so far may become, each with a word of help beside it."""
        said = document.text_before_cursor
        if not said.strip():
            return
        for text, more in self._offers(said):
            yield Completion(text, -len(said), display_meta=more)

    def _offers(self, said: str) -> Iterator[tuple[str, str]]:
        session, screen = self.terminal.session, self.terminal.shown
        yield from ((o.text, o.more) for o in session.offers(said))
        low = said.lower()
        for i, choice in enumerate(screen.choices, 1):
            text = draw.choice(screen, choice)
            if text.lower().startswith(low) or choice.id.startswith(low):
                yield (text if choice.text else choice.id), choice.more or f"{i}"
        if screen.kind not in ("complaint", "understood", "besides", "save"):
            yield from ((w, h) for w, h in words.HELP.items() if w.startswith(low) and w != said)
