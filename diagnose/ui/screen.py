"""The consult at a terminal: one screen at a time, answered by a key or a few letters."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec.structs import replace
from prompt_toolkit.application import Application
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
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
from diagnose.present.screen_data import TimerData
from diagnose.present.screens import Note, Screen
from diagnose.ui import draw, remembered, words
from diagnose.ui.layout import Line, Part, lines
from diagnose.ui.paging import guarded, in_sight, paged
from diagnose.ui.typed_ahead import TypedAhead

if TYPE_CHECKING:
    from diagnose.dialogue.session import Session

TICK_SECONDS = 0.1
LAID_OVER = ("explain", "answer", "leave", "timer")
"""Screens that Escape leaves; on all others it only empties the field."""
WARM_SECONDS = 0.05
"""After the first screen is drawn, before the engine is made ready behind it."""
MENU_ROWS = 7
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
        self.furthest = 0
        """The last page of the screen that was shown."""
        self.cautioned: set[str] = set()
        """The cautions that were read in full."""
        self.ahead = TypedAhead()
        self._left = (_bare(first), 0, 0)
        """The screen last left, explanations apart, the page it was left on and the furthest shown."""
        self.buffer = Buffer(multiline=False, completer=_Offers(self), complete_while_typing=True)
        self.app: Application[None] = Application(
            Layout(self._root()), key_bindings=self._keys(), style=STYLE, full_screen=True,
            mouse_support=False, input=input, output=output, include_default_pygments_style=False)
        self.app.ttimeoutlen = 0.05
        self.app.after_render += lambda _: self.ahead.shown()
        self.working = True
        """Is something being worked out, so that a word says so?"""
        self._begin()
        self.ahead.drawn = first.kind == "complaint"  # nothing can be passed on it

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
        shown = remembered.cut(self.shown, self.cautioned)
        return paged(shown, width, height - 2 - len(self._foot_lines(width)))

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
        data = self.shown.data
        running = isinstance(data, TimerData) and data.phase == "running"
        return self.session.elapsed if running else None

    def _foot(self) -> StyleAndTextTuples:
        return _fragments(self._foot_lines(self._size[0]))

    def _hint(self) -> StyleAndTextTuples:
        """Under the prompt: what may be typed, how it is read, or why it can't be."""
        text = self.buffer.text.strip()
        asked = self.shown.wanted
        if self.working:
            return [("class:hint", words.WORKING)]
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
            self.working = True  # a word says so, before the screen stands still for it
            self.app.renderer.render(self.app, self.app.layout)
            self.session.take(line)
            self.working = False
            self._changed()

    def _changed(self) -> None:
        if self.session.ended:
            self.app.exit()
            return
        if self.shown.kind not in ("explain", "answer"):
            self._left = (_bare(self.shown), self.page, self.furthest)
        if self.furthest >= len(self._pages()) - 1:
            self.cautioned |= remembered.in_full(self.shown)
        self.shown = self.session.screen()
        # What was read already is not to be turned to again, nor said at length again.
        again = self._left[0] == _bare(self.shown)
        self.page, self.furthest = self._left[1:] if again else (0, 0)
        self._begin()

    def _begin(self) -> None:
        """An empty field under a screen that takes no key before it is drawn."""
        self.buffer.reset()
        self.prompt.horizontal_scroll = 0  # else a long line before leaves the prompt out of sight
        self.ahead.changed()

    def _enter(self, event: KeyPressEvent) -> None:
        text = self.buffer.text
        if not text.strip() and self.page < len(self._pages()) - 1:
            self._turn(1)
        elif self._out_of_sight(text):
            self.shown = replace(self.shown, notes=(Note("out_of_sight"),))
            self._begin()
        else:
            self.buffer.reset()
            self.say(text)
            self._tick()

    def _out_of_sight(self, text: str) -> bool:
        """Does a line choose, or answer, what was not shown yet?"""
        found = self._pages()
        if len(found) == 1 or not text.strip() or self.shown.kind == "explain":
            return False
        picked = self.session.means(text)
        if picked is None:
            return False
        ids = [c.id for c in self.shown.choices]
        unread = guarded(self.shown) and self.furthest < len(found) - 1
        seen = in_sight(self.shown, found, self.page, self.furthest)
        return unread or any(p in ids and ids.index(p) + 1 not in seen for p in picked)

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
            await asyncio.sleep(WARM_SECONDS)  # the first screen is drawn, with a word on what goes on
            try:
                opened = self.session.screen()
            except UserError as error:
                self.app.exit(exception=error)
                return
            if opened.kind != self.shown.kind:
                self.ahead.changed()
            self.shown, self.working = opened, False
            self.app.invalidate()
            for _ in self.session.warming():
                await asyncio.sleep(WARM_SECONDS)

        self.app.create_background_task(warm())

    def _keys(self) -> KeyBindings:
        keys = KeyBindings()
        empty = Condition(lambda: not self.buffer.text)
        ahead = Condition(lambda: self.ahead.now)
        keys.add("enter")(self._enter)
        keys.add("c-c", eager=True)(lambda event: self._interrupt())
        keys.add("<sigint>", eager=True)(lambda event: self._interrupt())
        keys.add("c-d", filter=empty)(lambda event: self._interrupt())
        keys.add("escape", eager=True, filter=~ahead)(lambda event: self._escape())
        keys.add("pagedown")(lambda event: self._turn(1))
        keys.add("pageup")(lambda event: self._turn(-1))
        at_clock = Condition(lambda: self.shown.kind == "timer")
        keys.add(" ", filter=empty & at_clock)(self._enter)
        keys.add(Keys.Any, eager=True, filter=ahead)(lambda event: self.ahead.dropped())
        return keys

    def _interrupt(self) -> None:
        if not self.session.ended:
            self.session.interrupt()
            self._changed()

    def _escape(self) -> None:
        """Drop what was typed; else leave what lies over the case."""
        if self.buffer.text:
            self.buffer.reset()
        elif self.shown.kind in LAID_OVER:
            self.say("back")

    def _turn(self, by: int) -> None:
        self.page = max(0, min(self.page + by, len(self._pages()) - 1))
        self.furthest = max(self.furthest, self.page)
        self.ahead.changed()


def _bare(screen: Screen) -> Screen:
    """A screen without what is said once and what stands at its foot."""
    return replace(screen, notes=(), status=None)


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
