"""What the tests of this room share with those of the case."""

from __future__ import annotations

from tests.case.conftest import system  # noqa: F401
