"""The folder of the replies: it is one pile's, and nothing that is another's is written over."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from diagnose.errors import UserError
from diagnose.storage import atomic

JOURNAL = "replies.jsonl"
SUMMARY, FIGURES, TABLE = "SUMMARY.md", "summary.json", "summary.csv"
OURS = (JOURNAL, SUMMARY.casefold(), FIGURES, TABLE)
Record = dict[str, Any]
"""What the journal notes of one letter."""
PILE = "pile"
"""The key by which every line of a journal says whose replies it notes."""
_REPLY = re.compile(r"\d-[a-z]+-.*\.(?:md|txt)")


@contextmanager
def of_pile(out: Path, pile: str) -> Iterator[None]:
    """Hold the folder for the replies to a pile, made where there is none.

    UserError where it is another pile's, where a file that would be written over is not from here,
    or where another run is writing. Raises OSError where it can't be written.
    """
    out.mkdir(parents=True, exist_ok=True)
    with atomic.locked(out, wait=False):
        whose = _whose(out)
        if whose is None:
            atomic.write(out / JOURNAL, (json.dumps({PILE: pile}) + "\n").encode())
        elif whose != pile:
            raise UserError(f"{out} holds the replies to {whose}; name another folder with --out")
        yield


def _whose(out: Path) -> str | None:
    """The pile whose replies the folder holds; None where it holds none. UserError for a stranger's file."""
    if (out / JOURNAL).exists():
        lines = (out / JOURNAL).read_text(encoding="utf-8", errors="replace").splitlines()
        if found := next(filter(None, map(_named, lines)), ""):
            return found
    for file in sorted(out.iterdir()):
        if file.name.casefold() in OURS or _REPLY.fullmatch(file.name):
            raise UserError(f"{file} was not written here and stays as it is; name another folder with --out")
    return None


def _named(line: str) -> str:
    """The pile that a line of the journal names; empty where it is damaged or none of ours."""
    said = loaded(line)
    return said[PILE] if isinstance(said, dict) and isinstance(said.get(PILE), str) else ""


def loaded(line: str) -> Any:
    """A line of JSON; None where it is none."""
    try:
        return json.loads(line)
    except (ValueError, RecursionError):
        return None
