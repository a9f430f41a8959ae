"""The lexicon: read strictly, and in step with the book."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from diagnose.book.problems import KnowledgeError
from diagnose.search import lexicon

SOUND = "schema: 1\nlight: [a, the]\nsynonyms:\n  - [gush, pour]\nlanguages:\n  German: [und, nicht]\n"


def problems(tmp_path: Path, text: str) -> str:
    path = tmp_path / "words.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(KnowledgeError) as caught:
        lexicon.read(path)
    return str(caught.value)


def test_a_sound_lexicon_is_read(tmp_path: Path) -> None:
    path = tmp_path / "words.yaml"
    path.write_text(SOUND, encoding="utf-8")
    assert lexicon.read(path).synonyms == (("gush", "pour"),)


@pytest.mark.parametrize(
    "change, place, said",
    [
        (("schema: 1", "schema: 7"), "words.yaml:1:", "write 1"),
        (("[gush, pour]", "[gush]"), "words.yaml:4:", "two words or more"),
        (("[gush, pour]", "[gush, gush]"), "words.yaml:4:", "twice"),
        (("[gush, pour]", "[gush, '...']"), "words.yaml:4:", "holds no word"),
        (("[und, nicht]", "[und, the]"), "words.yaml:6:", "English word"),
        (("[gush, pour]", "gush"), "words.yaml:4:", "array"),
        (("light:", "lite:"), "words.yaml:", "lite"),
        (("schema: 1\n", ""), "words.yaml:", "schema"),
        (("schema: 1\n", "schema: 1\nschema: 1\n"), "words.yaml:2:", "already in line 1"),
        (("[a, the]", "&x [a, the]"), "words.yaml:2:", "anchors"),
    ],
)
def test_a_fault_is_named_with_its_place(
    tmp_path: Path, change: tuple[str, str], place: str, said: str
) -> None:
    text = problems(tmp_path, SOUND.replace(*change))
    assert text.startswith(place) and said in text


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "words.yaml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(KnowledgeError, match="UTF-8"):
        lexicon.read(path)


def test_every_name_in_the_shipped_lexicon_is_in_the_book(book: Any) -> None:
    shipped = lexicon.read(lexicon.shipped())
    assert [s for s in shipped.alone if s not in book.symptoms] == []
