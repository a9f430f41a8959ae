"""Nothing that is printed can steer a terminal, wherever it came from."""

from __future__ import annotations

import io
import json
import sys
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose.case.events import Complained, Entry
from diagnose.case.journal import Store
from diagnose.cli import main
from diagnose.notebook.store import Notebook
from diagnose.storage import paths
from diagnose.ui.shown import all_shown, in_place, shown
from tests.notebook.rows import shot

STEERING = "\x1b]0;mine\x07\x1b[2J\r\x9b31m\u202eolleh\u2028"
KEPT = {"\n", "\t"}


def steers(text: str) -> list[str]:
    return [s for s in text if unicodedata.category(s) in ("Cc", "Cf", "Zl", "Zp") and s not in KEPT]


@pytest.mark.parametrize("sign", [*map(chr, range(32)), *map(chr, range(127, 160)),
                                  *"\u202a\u202e\u2066\u2069\u2028"])
def test_every_sign_that_steers_is_spelt_out(sign: str) -> None:
    spelt = sign if sign in KEPT else sign.encode("unicode_escape").decode()
    assert shown(f"a{sign}b") == f"a{spelt}b"


def test_words_are_shown_as_they_are() -> None:
    for text in ("dose: 18 g", "Café crème, 日本, ½ °C", "a\tb\n"):
        assert shown(text) is text or shown(text) == text


def test_a_sign_that_the_terminal_lacks_is_spelt_out(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii", write_through=True))
    with all_shown():
        print("93 °C \udcff")
    assert raw.getvalue() == b"93 \\xb0C \\udcff\n"


def test_how_far_it_is_stands_in_its_own_line(capsys: pytest.CaptureFixture[str]) -> None:
    with all_shown():
        in_place("3 of 4 \x1b[2J")
    assert capsys.readouterr().err == "\r3 of 4 \\x1b[2J"


def note(tmp_path: Path) -> list[str]:
    Notebook().add("shots", shot() | {"note": STEERING})
    return ["notebook", "shots"]


def equipment(tmp_path: Path) -> list[str]:
    return ["notebook", "add", "equipment", f"grinder{STEERING}", "x"]


def cell(tmp_path: Path) -> list[str]:
    (tmp_path / "in.csv").write_text(f"at,{STEERING!s}x\n", newline="")
    return ["notebook", "import", str(tmp_path / "in.csv")]


def complaint(tmp_path: Path) -> list[str]:
    said = json.dumps(f"it gushes {STEERING}")
    (tmp_path / "case.yaml").write_text(f"complaint: {said}\n")
    return ["case", str(tmp_path / "case.yaml")]


def key(tmp_path: Path) -> list[str]:
    (tmp_path / "case.yaml").write_text(f"complaint: x\n{json.dumps('x' + STEERING)}: y\n")
    return ["case", str(tmp_path / "case.yaml")]


def consult(tmp_path: Path) -> list[str]:
    keeper = Store(paths.data() / "cases").new_journal()
    keeper([Entry("2026-03-31T10:00:00+02:00", Complained(f"gushes {STEERING}", ("shot_fast",)))])
    keeper.release()
    return ["consult", "--list"]


def file_name(tmp_path: Path) -> list[str]:
    (tmp_path / "\x1b[2Jx.csv").write_text("x")
    return ["notebook", "import", str(tmp_path / "\x1b[2Jx.csv")]


def no_text_name(tmp_path: Path) -> list[str]:
    return ["case", str(tmp_path / "\udcff\x1b[2J.yaml")]


def house(tmp_path: Path) -> list[str]:
    paths.house().mkdir(parents=True)
    text = json.dumps(f"Mind the {STEERING} lever.")
    (paths.house() / "a.yaml").write_text(
        f"schema: 1\nchapter: house\ntitle: Levers\ncautions:\n  lever: {{signal: NOTICE, text: {text}, "
        "avoid: Let it rest., when: {last_change: grind}, source: house}\n")
    return ["house", "list"]


@pytest.mark.parametrize("made", [note, equipment, cell, complaint, key, consult, file_name, no_text_name,
                                  house])
def test_what_comes_from_elsewhere_does_not_reach_the_terminal_raw(
        made: Callable[[Path], list[str]], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(made(tmp_path))
    out, err = capsys.readouterr()
    assert steers(out + err) == []
    assert "\\x1b" in out + err or "U+001B" in out + err
