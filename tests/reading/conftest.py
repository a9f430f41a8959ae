"""What the tests of this room share with those of the search."""

from __future__ import annotations

from tests.search.conftest import book, index  # noqa: F401
