"""The one error this room raises."""

from __future__ import annotations


class EngineError(Exception):
    """Rules or facts the engine cannot take, or a failure of the library under it; one plain line."""
