"""The shipped book, loaded once."""

from __future__ import annotations

from typing import Any

import pytest

from diagnose.book.with_house import load
from diagnose.search.index import Index


@pytest.fixture(scope="session")
def book() -> Any:
    return load(None).book


@pytest.fixture(scope="session")
def index(book: Any) -> Index:
    return Index(book)
