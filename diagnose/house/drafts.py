"""Answers of a change that somebody is still giving: kept at every answer, to be gone on with later."""

from __future__ import annotations

import contextlib
import json
import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import msgspec

from diagnose.errors import UserError
from diagnose.storage import atomic, bounded, paths

MOST_BYTES = 1_000_000


class _Held(msgspec.Struct):
    subject: str
    houses: tuple[str, ...]
    answers: tuple[str, ...]


@dataclass
class Draft:
    """One change in the making: what it is about, whose house it is for, the answers so far."""

    subject: str = ""
    houses: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()
    path: Path = field(default_factory=lambda: _folder() / f"{os.getpid()}-{secrets.token_hex(4)}.json")
    kept: bool = False
    """Does it stand on the disk?"""

    def keep(self, answers: Sequence[str]) -> None:
        """Keep the answers; where the disk won't have them, `kept` says so."""
        self.answers = tuple(answers)
        held = {"subject": self.subject, "houses": self.houses, "answers": self.answers}
        try:
            atomic.private_folder(self.path.parent)
            atomic.write(self.path, json.dumps(held).encode(), mode=atomic.PRIVATE)
        except OSError:
            self.kept = False
        else:
            self.kept = True

    def drop(self) -> None:
        """Forget it: it is kept in the house, or dropped."""
        with contextlib.suppress(OSError):
            self.path.unlink(missing_ok=True)


def latest() -> Draft:
    """The change that was left off last; UserError where there is none."""
    for path in _newest_first():
        try:
            held = msgspec.json.decode(bounded.read(path, MOST_BYTES), type=_Held)
        except (OSError, UserError, msgspec.MsgspecError):
            continue
        return Draft(held.subject, held.houses, held.answers, path, kept=True)
    raise UserError("no change was left off; begin one with `diagnose house add`")


def _folder() -> Path:
    return paths.data() / "house-drafts"


def _newest_first() -> list[Path]:
    found = []
    for path in _folder().glob("*.json"):
        with contextlib.suppress(OSError):
            found.append((path.stat().st_mtime_ns, path))
    return [path for _, path in sorted(found, reverse=True)]
