"""What is kept is made afresh as soon as any file is changed that had a hand in making it."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from diagnose.book import with_house
from diagnose.book.yaml import loader
from diagnose.house import readings
from diagnose.mail import pile
from diagnose.reading import questions
from diagnose.reading.wordings import phrasebook
from diagnose.reason import likeliest
from diagnose.search import documents
from diagnose.storage import cache, paths
from tests.imports import ROOT, closure, graph, package

KEPT = [loader, with_house, documents, phrasebook, questions, likeliest, readings, pile]
"""The modules that keep something between starts."""
ALWAYS = {"", "cli", "commands"}
"""The program's version is in every key; nothing is made by the command line."""


def kept_by(module: object) -> str:
    return module.__name__.removeprefix("diagnose.")  # type: ignore[attr-defined]  # a module


def rests_on(module: object) -> set[str]:
    """All modules, by the imports, that a module rests on."""
    return closure(kept_by(module), graph())


def test_nothing_else_keeps_anything() -> None:
    keeping = {name for name, others in graph().items() if "storage.cache" in others}
    assert keeping == {kept_by(module) for module in KEPT}


@pytest.mark.parametrize("module", KEPT, ids=kept_by)
def test_a_key_names_every_package_it_rests_on_and_no_other(module: object) -> None:
    needed = {package(name) for name in rests_on(module)} - ALWAYS
    made_by = module.MADE_BY  # type: ignore[attr-defined]  # a module
    assert sorted(needed) == sorted(made_by)


@pytest.fixture
def copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the program's source that keys are made of."""
    folder = tmp_path / "diagnose"
    shutil.copytree(ROOT / "diagnose", folder, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(cache, "PACKAGE", folder)
    return folder


def source(folder: Path, name: str) -> Path:
    path = folder.joinpath(*name.split("."))
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


@pytest.mark.parametrize("module", KEPT, ids=kept_by)
def test_a_change_of_any_source_it_rests_on_changes_the_key(module: object, copied: Path) -> None:
    made_by = module.MADE_BY  # type: ignore[attr-defined]  # a module
    keys = {cache.key(made_by, [])}
    names = sorted(name for name in rests_on(module) if package(name) not in ALWAYS)
    for name in names:
        with source(copied, name).open("a", encoding="utf-8") as file:
            file.write("# changed\n")
        keys.add(cache.key(made_by, []))
    assert len(keys) == 1 + len(names) > 5


def test_a_moved_or_new_source_changes_the_key(copied: Path) -> None:
    before = cache.code(["storage"])
    assert cache.code(["storage"]) == before
    (copied / "storage" / "atomic.py").rename(copied / "storage" / "whole.py")
    moved = cache.code(["storage"])
    (copied / "storage" / "deeper").mkdir()
    (copied / "storage" / "deeper" / "new.py").write_text("")
    assert len({before, moved, cache.code(["storage"])}) == 3


def test_a_package_that_is_not_there_is_no_key(copied: Path) -> None:
    with pytest.raises(FileNotFoundError):
        cache.code(["nowhere"])
    assert cache.key(["nowhere"], []) == ""


def test_replies_hang_on_the_day_the_book_and_the_house(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(paths, "shipped", lambda: tmp_path / "book")
    words = [tmp_path / "book" / folder / name for folder, name in (
        ("lexicon", "words.yaml"), ("wordings", "common.yaml"), ("learnt", "reader.bin"))]
    for file in words:
        file.parent.mkdir(parents=True)
    day, house = date(2024, 5, 1), tmp_path / "house"
    house.mkdir()
    keys = [pile.program_key([str(house)], day)]
    assert pile.program_key([str(house)], day) == keys[0]
    keys.append(pile.program_key([str(house)], date(2024, 5, 2)))
    for file in (tmp_path / "book" / "beans.yaml", *words, house / "ours.yaml"):
        file.write_text("schema: 1\n")
        keys.append(pile.program_key([str(house)], day))
    assert len(set(keys)) == len(keys)


# Keys of files.

def test_what_hangs_on_a_file_that_cannot_be_read_is_not_kept(tmp_path: Path) -> None:
    assert cache.key([], [tmp_path / "gone.yaml"]) == ""
    cache.keep(f"{cache.key([], [tmp_path / 'gone.yaml'])}.book", b"x")
    assert not list(paths.cache().glob("*"))


def test_a_key_tells_content_and_place_apart(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    one.write_bytes(b"a")
    other.write_bytes(b"a")
    keys = [cache.key([], [one]), cache.key([], [other]), cache.key([], [one], b"house"),
            cache.key([], [one, other]), cache.key(["storage"], [one])]
    one.write_bytes(b"b")
    assert len({*keys, cache.key([], [one])}) == 6
