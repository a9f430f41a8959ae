"""Entries for tests of the notebook: invented, plausible."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta, timezone
from typing import Any

from diagnose.notebook.fields import KINDS
from diagnose.notebook.store import Notebook

NOW = datetime(2026, 3, 31, 9, 0, tzinfo=timezone(timedelta(hours=1)))


def row(kind: str, days_ago: float = 0.0, **values: Any) -> dict[str, Any]:
    """An entry with what is given, the rest empty."""
    at = (NOW - timedelta(days=days_ago)).isoformat(timespec="seconds")
    return {**dict.fromkeys(f.name for f in KINDS[kind]), "at": at, **values}


def shot(days_ago: float = 0.0, mark: float | None = 12.0, time: float = 28.0, **more: Any
         ) -> dict[str, Any]:
    """A shot of 18 g to 36 g."""
    return row("shots", days_ago, mark=mark, dose_g=18.0, yield_g=36.0, shot_time_s=time, **more)


def fill(notebook: Notebook, kind: str, rows: Iterable[dict[str, Any]]) -> None:
    """Add entries."""
    for one in rows:
        notebook.add(kind, one)


CURVE = [shot(6, 10, 20.0), shot(5, 11, 22.5), shot(4, 12, 25.0), shot(3, 12, 24.5), shot(2, 13, 28.0)]
"""Shots of a grinder whose higher marks are finer, about 2.6 s a mark."""
