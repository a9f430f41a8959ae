"""Degrees are written one way in what people read."""

from __future__ import annotations

import re

from diagnose.storage import paths

OTHERWISE = re.compile(r"\bdegrees? C\b|\bdeg C\b|° C\b|\bto \d+ C\b")


def test_the_book_writes_degrees_one_way_but_where_people_are_quoted() -> None:
    wrong = [f"{file.name}:{number}: {line.strip()}" for file in sorted(paths.shipped().glob("*.yaml"))
             for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
             if OTHERWISE.search(line) and "lay:" not in line]
    assert wrong == []
