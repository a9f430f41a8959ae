"""Files are read up to a bound, whatever they are."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagnose.errors import UserError
from diagnose.storage import bounded


def test_a_file_is_read_whole_up_to_the_bound(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"12345")
    assert bounded.read(path, 5) == b"12345"
    with pytest.raises(UserError, match="a: larger than 4 bytes; split it"):
        bounded.read(path, 4, "a")


def test_what_has_no_end_is_refused() -> None:
    with pytest.raises(UserError, match="larger than 2 MB"):
        bounded.read(Path("/dev/zero"), 2_000_000)


def test_a_pipe_is_read(tmp_path: Path) -> None:
    out, into = os.pipe()
    os.write(into, b"words")
    os.close(into)
    assert bounded.read(Path(f"/dev/fd/{out}"), 100) == b"words"
    os.close(out)


def test_a_whole_number_has_an_end() -> None:
    assert bounded.whole("-12") == -12
    with pytest.raises(ValueError, match="a number of 4,400 figures is none"):
        bounded.whole("9" * 4_400)
