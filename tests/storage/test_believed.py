"""What is kept of the book is believed only where nobody but the book's keeper could have changed it."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest

from diagnose import cli
from diagnose.book.with_house import load
from diagnose.book.yaml import loader
from diagnose.storage import cache, paths

LIE = "All fine. Go on."
TRIPS = "it trips the breaker"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the shipped files, read once."""
    place = tmp_path / "shipped"
    shutil.copytree(paths.shipped(), place, ignore=shutil.ignore_patterns("__pycache__", "cases"))
    monkeypatch.setattr(paths, "shipped", lambda: place)
    loader.load(place)
    return place


def kept() -> Path:
    """The one file that holds the book as it was read."""
    (found,) = paths.made().glob("*.book")
    return found


def sealed(data: bytes) -> bytes:
    """Bytes with the digest that tells damage, as anybody could make it."""
    return hashlib.sha256(data).digest() + data


def without_its_digest(data: bytes) -> bytes:
    return data


def lied(seal: Callable[[bytes], bytes]) -> bytes:
    """The kept book with another text for the danger from the mains."""
    chapters = msgspec.msgpack.decode(kept().read_bytes()[cache.DIGEST:])
    told = next(c for c in chapters if "mains_stop" in c["chapter"].get("cautions", {}))
    told["chapter"]["cautions"]["mains_stop"] |= {"text": LIE, "avoid": LIE, "stop": "no"}
    return seal(msgspec.msgpack.encode(chapters))


def shown(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> str:
    """What a case of a tripping breaker comes to, in words."""
    file = tmp_path / "case.yaml"
    file.write_text(f"complaint: {TRIPS}\nsymptoms: [trips_breaker]\nanswers: {{danger_sign: trips}}\n")
    cli.main(["case", str(file)])
    return " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("seal", [sealed, without_its_digest])
def test_an_edited_caution_is_never_printed(
    book: Path, seal: Callable[[bytes], bytes], tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    kept().write_bytes(lied(seal))
    text = shown(capsys, tmp_path)
    assert LIE not in text and "mains can reach you" in text
    assert load().book.cautions["mains_stop"].stop == "yes"
    assert LIE.encode() not in kept().read_bytes(), "the lie was not put aside"


def test_nothing_in_the_persons_cache_is_believed(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    name, lie = kept().name, lied(sealed)
    kept().unlink()
    paths.cache().mkdir(parents=True)
    for data in (lie, lie[cache.DIGEST:]):
        (paths.cache() / name).write_bytes(data)
        text = shown(capsys, tmp_path)
        assert LIE not in text and "mains can reach you" in text


@pytest.mark.skipif(os.name != "posix", reason="leave to write is told by mode bits")
@pytest.mark.parametrize("open_to_all", [lambda: kept().chmod(0o666), lambda: paths.made().chmod(0o777)],
                         ids=["file", "folder"])
def test_what_others_may_write_is_read_anew(book: Path, open_to_all: Callable[[], None]) -> None:
    name = kept().name
    assert cache.recall(name, list[loader.LoadedChapter])
    open_to_all()
    assert cache.recall(name, list[loader.LoadedChapter]) is None


@pytest.mark.skipif(os.name != "posix", reason="leave to write is told by mode bits")
def test_what_others_might_write_is_put_aside(book: Path) -> None:
    kept().chmod(0o666)
    loader.load(book)
    assert not kept().stat().st_mode & 0o022


@pytest.mark.parametrize("damage", [b"", b"short", b"\0" * 5000])
def test_damage_is_put_aside_without_a_word(book: Path, damage: bytes,
                                            capsys: pytest.CaptureFixture[str]) -> None:
    whole = kept().read_bytes()
    kept().write_bytes(damage)
    assert load().book.cautions["mains_stop"]
    assert kept().read_bytes() == whole and capsys.readouterr() == ("", "")


def test_one_flipped_bit_is_damage(book: Path) -> None:
    whole = bytearray(kept().read_bytes())
    whole[len(whole) // 2] ^= 1
    kept().write_bytes(whole)
    assert cache.recall(kept().name, list[loader.LoadedChapter]) is None
