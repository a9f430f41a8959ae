"""Failures a person can mend."""

from __future__ import annotations


class UserError(Exception):
    """What is wrong, where, and what to do, in one plain line."""
