"""The JSON Schema for editors: it takes the shipped book, refuses what the loader refuses, and teaches."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest

from diagnose.book.json_schema import MEANINGS, schema
from diagnose.book.yaml.source import read_file
from diagnose.reason import weights
from diagnose.storage import paths
from tests.book.small import SMALL, changed


@pytest.fixture(scope="module")
def validator() -> Any:
    """A validator of chapters."""
    found = schema()
    jsonschema.Draft202012Validator.check_schema(found)
    return jsonschema.Draft202012Validator(json.loads(json.dumps(found)))


def _typed(data: Any) -> Any:
    """Text as an editor's YAML reader types it: numbers as numbers."""
    if isinstance(data, dict):
        return {k: _typed(v) for k, v in data.items()}
    if isinstance(data, list):
        return [_typed(v) for v in data]
    try:
        number = float(data)
    except ValueError:
        return data
    return int(number) if number == int(number) else number


def test_the_small_book_fits(validator: Any) -> None:
    assert not list(validator.iter_errors(SMALL))


@pytest.mark.parametrize("name", ["targets.yaml", "cautions.yaml", "machine.yaml", "shot.yaml"])
def test_shipped_chapters_fit(validator: Any, name: str) -> None:
    data = _typed(read_file(paths.shipped() / name).data)
    assert [e.message for e in validator.iter_errors(data)] == []


@pytest.mark.parametrize(("path", "value"), [
    ("schema", 9), ("causes/too_old/common", "frequent"), ("causes/too_old/evidence/0/weight", "strong"),
    ("causes/too_old/shows/too_fast", "never"), ("remedies/finer/who", "child"),
    ("cautions/hot/signal", "ATTENTION"), ("observations/fresh/kind", "bool"),
    ("observations/fresh/minuts", 1), ("remedies/finer/steps", []), ("targets/shot_time/label", ...),
])
def test_what_the_loader_refuses_does_not_fit(validator: Any, path: str, value: Any) -> None:
    assert list(validator.iter_errors(changed(path, value)))


def test_every_allowed_word_is_explained() -> None:
    def walk(part: Any) -> None:
        if isinstance(part, dict):
            assert "enum" not in part or part["enum"] == [None], part
            for option in part.get("oneOf", ()):
                assert len(option["description"]) >= 8
            for value in part.values():
                walk(value)
        elif isinstance(part, list):
            for value in part:
                walk(value)

    walk(schema())


def test_the_figures_are_those_the_reasoning_uses() -> None:
    text = {word: said for words in MEANINGS.values() for word, said in words.items()}
    for word, decibans in weights.GRADES.items():
        assert f"({decibans:g} decibans)" in text[f"{word} for"]
        times = float(text[f"{word} for"].split()[1])
        assert times == pytest.approx(weights.odds(decibans), rel=0.1)
    for table in (weights.COMMON,):
        for word, decibans in table.items():
            assert f"({decibans:g} decibans)" in text[word]
    typical = next(w for w in MEANINGS.values() if "always" in w)
    assert all(f"({d:g} decibans)" in typical[w] for w, d in weights.TYPICAL.items())
    cures = next(w for w in MEANINGS.values() if "nearly always" in w)
    assert all(f"{100 * share:g} of 100" in cures[w] for w, share in weights.CURES.items())
