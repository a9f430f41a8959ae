"""The tree as a drawing: one column, narrow enough for a phone, told without colour."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from html import escape

from diagnose.teach.tree import Fork, Leaf, TreeNode

WIDTH = 340
INDENT, PAD, LINE, GAP = 16, 6, 16, 8
SIZE = 12.5
SIGN = 0.54
"""How wide a sign is on average, of its size; bold ones take a tenth more."""
STYLE = f"font-family:system-ui,sans-serif;font-size:{SIZE}px;fill:#000"
LeafName = Callable[[Leaf], str]
"""Says a leaf in words."""


class _Pen:
    """Draws from top to bottom and knows how far down it is."""

    def __init__(self) -> None:
        self.y = 2.0
        self.parts: list[str] = []
        self.said: list[str] = []

    def lines(self, text: str, x: float, bold: bool = False) -> list[str]:
        """The text in lines that fit between a place and the right edge."""
        room = (WIDTH - 2 - PAD - x) / (SIZE * SIGN * (1.1 if bold else 1.0))
        return textwrap.wrap(text, max(12, int(room))) or [""]

    def text(self, lines: list[str], x: float, bold: bool = False) -> None:
        """Lines of text from the present height on."""
        weight = ' font-weight="bold"' if bold else ""
        for line in lines:
            self.parts.append(f'<text x="{x:g}" y="{self.y + SIZE:g}"{weight}>{escape(line)}</text>')
            self.y += LINE

    def frame(self, x: float, top: float, heavy: bool, round_: int) -> None:
        """A frame from a height down to the present one."""
        self.parts.append(f'<rect x="{x:g}" y="{top:g}" width="{WIDTH - 1 - x:g}" height="{self.y - top:g}" '
                          f'rx="{round_}" fill="none" stroke="#000" stroke-width="{3 if heavy else 1}"/>')

    def rail(self, x: float, top: float, bottom: float) -> None:
        """An upright line."""
        self.parts.append(f'<path d="M{x:g} {top:g}V{bottom:g}" stroke="#000" fill="none"/>')

    def arm(self, x: float, y: float) -> None:
        """A short line from an upright one to what hangs on it."""
        self.parts.append(f'<path d="M{x:g} {y:g}h{INDENT - 5}" stroke="#000" fill="none"/>')


def svg(root: TreeNode, ask: Callable[[str], str], name: LeafName, key: str) -> str:
    """The drawing of a tree; `ask` says a question, `key` makes its ids its own."""
    if isinstance(root, Leaf):
        return ""
    pen = _Pen()
    _fork(pen, root, 1, "1", ask, name)
    told = escape(" ".join(pen.said))
    return (f'<figure><svg role="img" aria-labelledby="{key}-title {key}-desc" '
            f'viewBox="0 0 {WIDTH} {pen.y + 2:g}" width="{WIDTH}" height="{pen.y + 2:g}" style="{STYLE}">'
            f'<title id="{key}-title">What to look at first, and where it leads</title>'
            f'<desc id="{key}-desc">{told}</desc>{"".join(pen.parts)}</svg></figure>\n')


def _fork(pen: _Pen, fork: Fork, x: float, number: str, ask: Callable[[str], str], name: LeafName) -> None:
    question = f"{number}. {ask(fork.observation)}"
    pen.said.append(question)
    _boxed(pen, question, x, bold=True, heavy=False, round_=8)
    rail, top, last = x + 7, pen.y, pen.y
    for place, branch in enumerate(fork.branches, 1):
        pen.y += GAP
        last = pen.y + LINE / 2
        pen.arm(rail, last)
        answers = " or ".join(branch.answers)
        pen.said.append(f"Answer to {number}: {answers}.")
        pen.text(pen.lines(answers, rail + INDENT), rail + INDENT)
        if isinstance(branch.to, Leaf):
            said = name(branch.to)
            pen.said.append(said)
            pen.y += 2
            _boxed(pen, said, rail + INDENT, bold=bool(branch.to.stop), heavy=bool(branch.to.stop), round_=0)
        else:
            pen.y += 2
            _fork(pen, branch.to, rail + INDENT, f"{number}.{place}", ask, name)
    pen.rail(rail, top, last)


def _boxed(pen: _Pen, text: str, x: float, bold: bool, heavy: bool, round_: int) -> None:
    top = pen.y
    pen.y += PAD / 2
    pen.text(pen.lines(text, x + PAD, bold), x + PAD, bold)
    pen.y += PAD
    pen.frame(x, top, heavy, round_)
