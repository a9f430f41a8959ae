"""Entries listed and shown, for the commands that do so."""

from __future__ import annotations

import json
import shutil
import sys

from diagnose.book.book import Book
from diagnose.book.model import KINDS
from diagnose.book.pages import pages
from diagnose.book.problems import nearest
from diagnose.errors import UserError

WIDTH = 78


def named(book: Book, name: str, kind: str = "") -> list[tuple[str, str]]:
    """Kind and id of every entry of this name; UserError with the nearest where there is none."""
    kinds = [kind_of(kind)] if kind else list(KINDS)
    found = [(k, name) for k in kinds if name in getattr(book, k)]
    if not found:
        known = sorted({n for k in kinds for n in getattr(book, k)})
        raise UserError(f"no entry {name!r}{nearest(name, known)}")
    return found


def kind_of(word: str) -> str:
    """The kind a word means, in the singular or plural; UserError with the nearest."""
    singular = {k[:-3] + "y" if k.endswith("ies") else k.removesuffix("s"): k for k in KINDS}
    if word in KINDS or word in singular:
        return singular.get(word, word)
    raise UserError(f"no kind {word!r}{nearest(word, KINDS)}; kinds: {', '.join(KINDS)}")


def shown(book: Book, kind: str, name: str) -> str:
    """An entry as a page of text."""
    from diagnose.ui.layout import Part, plain

    return plain([Part(p.text, "title" if p.heading else "", p.lead, gap=p.heading)
                  for p in pages.page(book, kind, name)], width())


def width() -> int:
    """How wide to write: as a page, or narrower where the terminal is."""
    return min(WIDTH, shutil.get_terminal_size((WIDTH + 2, 24)).columns - 1) if (
        sys.stdout.isatty()) else WIDTH


def data(book: Book, kind: str, name: str) -> str:
    """An entry as JSON, with its place."""
    import msgspec

    entry = msgspec.to_builtins(getattr(book, kind)[name])
    place = book.place(kind, name)
    return json.dumps({"kind": kind, "id": name, **place._asdict(), "entry": entry})
