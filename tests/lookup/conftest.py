"""The shipped book, loaded once."""

from __future__ import annotations

from typing import Any

import pytest

from diagnose.load import load
from diagnose.lookup.search import Index


@pytest.fixture(scope="session")
def book() -> Any:
    return load(None).book


@pytest.fixture(scope="session")
def index(book: Any) -> Index:
    return Index(book)
