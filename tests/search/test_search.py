"""Search: finds what is meant, by any of its words, in time."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from diagnose.search import documents as cat
from diagnose.search.index import Index

HERE = Path(__file__).parent
TOP_1, TOP_3 = 0.71, 0.85
"""Floors a little below what was measured on 215 phrasings: 0.744 and 0.879 at the first look,
0.753 and 0.884 after later mends that were decided on other phrasings."""


def collection(name: str) -> list[dict[str, Any]]:
    return yaml.safe_load((HERE / name).read_text(encoding="utf-8"))


def shares(index: Index, rows: list[dict[str, Any]]) -> tuple[float, float]:
    first = third = 0
    for row in rows:
        found = [hit.id for hit in index.search(row["text"], limit=3)]
        first += bool(found) and found[0] in row["ids"]
        third += any(name in row["ids"] for name in found)
    return first / len(rows), third / len(rows)


def test_the_collection_is_large_and_names_symptoms_of_the_book(book: Any) -> None:
    rows = collection("phrases.yaml")
    assert len([r for r in rows if r["ids"]]) >= 200
    assert len({r["text"] for r in rows}) == len(rows)
    assert [n for r in rows for n in r["ids"] if n not in book.symptoms] == []


def test_phrasings_never_used_to_tune_find_their_symptom(index: Index) -> None:
    first, third = shares(index, [r for r in collection("phrases.yaml") if r["ids"]])
    assert first >= TOP_1 and third >= TOP_3, (first, third)


def test_phrasings_of_the_development_find_their_symptom(index: Index, book: Any) -> None:
    rows = [r for r in collection("known.yaml") if any(n in book.symptoms for n in r["ids"])]
    first, third = shares(index, rows)
    assert first >= 0.93 and third >= 0.96, (first, third)


def test_every_lay_phrase_of_the_book_finds_its_symptom(index: Index, book: Any) -> None:
    rows = [(phrase, name) for name, s in book.symptoms.items() for phrase in s.lay]
    found = [name in {h.id for h in index.search(phrase, limit=3)} for phrase, name in rows]
    assert sum(found) / len(found) >= 0.97


@pytest.mark.parametrize(
    "text, name",
    [
        ("dry foam", "foam_dry"),
        ("DRY FOAM!!", "foam_dry"),
        ("dyr faom", "foam_dry"),
        ("stiff froth", "foam_dry"),
        ("my steam arm is clogged", "wand_blocked"),
        ("portafiller stuck", "handle_stuck"),
        ("there isn’t any crema", "no_crema"),
    ],
)
def test_typos_and_synonyms_survive(index: Index, text: str, name: str) -> None:
    assert index.search(text, limit=1)[0].id == name


@pytest.mark.parametrize("text", ["", "   ", "the of and", "xyzzy qwrtp", "\0\0\0", "1234567890", "🙂"])
def test_words_that_mean_nothing_find_nothing(index: Index, text: str) -> None:
    assert index.search(text) == []


@pytest.mark.parametrize("kind", cat.KINDS)
def test_every_kind_is_searched(index: Index, kind: str) -> None:
    hits = index.search("the milk is too hot", (kind,))
    assert hits and {h.kind for h in hits} == {kind}
    assert [h.score for h in hits] == sorted((h.score for h in hits), reverse=True)
    assert all(0 <= h.score <= 1 for h in hits)


def test_a_catalogue_kept_and_recalled_searches_alike(index: Index) -> None:
    cat.keep("test", index.catalogue)
    kept = cat.recall("test")
    assert kept is not None and Index(kept).search("dry foam") == index.search("dry foam")


def test_a_damaged_cache_counts_for_nothing() -> None:
    from diagnose.storage import paths

    paths.cache().mkdir(parents=True, exist_ok=True)
    (paths.cache() / "broken.lookup").write_bytes(b"\x93\x01")
    assert cat.recall("broken") is None


def test_enormous_text_is_searched_in_time(index: Index) -> None:
    import time

    start = time.perf_counter()
    index.search("the foam is dry and stiff " * 100)
    assert time.perf_counter() - start < 10
