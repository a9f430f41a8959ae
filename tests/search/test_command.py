"""The command lookup."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.cli import main

HOUSE = """\
schema: 1
chapter: ours
title: Ours
findings:
  kettle_sings:
    label: kettle
    values:
      sings: {says: "the blue kettle sings"}
symptoms:
  kettle_song:
    name: the blue kettle sings out of tune
    area: kettle
    finding: {kettle_sings: sings}
    lay: [off-key kettle, wobbly kettle song]
    source: house
"""


def test_a_hit_is_told_with_its_causes(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookup", "dry", "foam"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("1. the foam is stiff and dry  [foam_dry]") and "often: " in out


def test_json_has_the_hits_best_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookup", "dry foam", "--json", "--limit", "3"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [set(h) for h in data["hits"]] == [{"kind", "id", "name", "score", "matched", "causes"}] * 3
    assert data["hits"][0]["id"] == "foam_dry"


@pytest.mark.parametrize("kind", ["symptoms", "causes", "findings", "remedies"])
def test_every_kind(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookup", "milk too hot", "--kind", kind]) == 0
    assert capsys.readouterr().out.startswith("1. ")


def test_no_hit_says_so_and_offers_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookup", "xyzzy qwrtp"]) == 1
    assert "lookup --list" in capsys.readouterr().out


def test_the_list_is_complete(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookup", "--list", "--json"]) == 0
    entries = json.loads(capsys.readouterr().out)["entries"]
    assert main(["lookup", "--list"]) == 0
    out = capsys.readouterr().out
    assert len(entries) > 50 and all(f"[{e['id']}]" in out for e in entries)


@pytest.mark.parametrize(
    "args, said",
    [
        (["lookup"], "say what is wrong"),
        (["lookup", "x", "--limit", "0"], "--limit 0"),
        (["lookup", "x", "--kind", "dogs"], "dogs"),
        (["lookup", "x", "--house", "nowhere"], "nowhere"),
    ],
)
def test_bad_use_is_one_clear_line(args: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(args) == 2
    error = capsys.readouterr().err
    assert said in error and error.count("\n") == 1


def test_a_house_symptom_is_found_and_a_change_of_the_house_seen(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = tmp_path / "house"
    house.mkdir()
    (house / "ours.yaml").write_text(HOUSE, encoding="utf-8")
    for wobble in ("wobbly kettle song", "off-key kettle"):
        assert main(["lookup", wobble, "--house", str(house)]) == 0
        assert "kettle_song" in capsys.readouterr().out
    (house / "ours.yaml").write_text(
        HOUSE.replace("off-key kettle", "kettle in a minor key"), encoding="utf-8"
    )
    assert main(["lookup", "minor key", "--house", str(house)]) == 0
    assert "kettle_song" in capsys.readouterr().out
    assert main(["lookup", "wobbly kettle song"]) in (0, 1)
    assert "kettle_song" not in capsys.readouterr().out


def test_a_broken_house_file_is_named_and_the_rest_works(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = tmp_path / "house"
    house.mkdir()
    (house / "ours.yaml").write_text("schema: [", encoding="utf-8")
    assert main(["lookup", "dry foam", "--house", str(house)]) == 0
    captured = capsys.readouterr()
    assert "ours.yaml" in captured.err and "foam_dry" in captured.out


def test_lookup_loads_neither_engine_nor_screen() -> None:
    assert main(["lookup", "dry foam"]) == 0  # keeps what the next is quick by
    code = (
        "import sys; from diagnose.cli import main; main(['lookup', 'dry foam']); "
        "print([m for m in ('prompt_toolkit', 'numpy', 'durable', 'durable_rules_engine', 'diagnose.engine') "
        "if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_a_question_is_answered_before_the_troubles(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookup", "24 s with 20 g in and 40 g out: finer or coarser?"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "You asked: Do I go finer or coarser?"
    assert said[1].startswith("Finer, one small mark: 24 s")
    assert main(["lookup", "Can I freeze coffee beans?", "--json"]) == 0
    assert [a["id"] for a in json.loads(capsys.readouterr().out)["asked"]] == ["beans_freeze"]
