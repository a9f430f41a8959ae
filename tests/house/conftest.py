"""A shipped book of the tests' own, so that house rules are tried in milliseconds."""

from __future__ import annotations

from pathlib import Path

import pytest

import diagnose
from diagnose.search import lexicon
from diagnose.storage import paths
from tests.book.small import SMALL, dumped, folder

KNOWLEDGE = Path(diagnose.__file__).parents[1] / "knowledge"
CASES = """\
- title: gushes after a new bag
  complaint: it gushes
  symptoms: [too_fast]
  answers: {shot_time: 25 s, last_change: beans}
- title: burns
  complaint: smell
  symptoms: [too_slow]
  answers: {smell: burning}
"""


@pytest.fixture(autouse=True)
def shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The shipped book, with two cases."""
    place = folder(tmp_path, "shipped", small=dumped(SMALL))
    folder(place, "cases", two=CASES)
    (place / "lexicon").mkdir()
    (place / lexicon.FILE).write_bytes((KNOWLEDGE / lexicon.FILE).read_bytes())
    monkeypatch.setattr(paths, "shipped", lambda: place)
    return place
