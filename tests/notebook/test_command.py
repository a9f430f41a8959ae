"""`diagnose notebook` from the command line."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from diagnose.case.events import Complained, Entry, Tried
from diagnose.case.journal import Store
from diagnose.cli import main
from diagnose.notebook.store import Notebook

SHOT = ["--dose", "18g", "--yield", "36 g", "--time", "0:28"]


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit status, what went to stdout and to stderr."""
    status = main(["notebook", *arguments])
    out, err = capsys.readouterr()
    return status, out, err


def test_a_shot_is_kept_and_listed(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "add", "shot", *SHOT, "--mark", "12", "--taste", "sour")
    assert status == 0 and "mark 12  18 g in  36 g out  28 s  sour" in out
    assert "mark 12  18 g in" in run(capsys, "shots")[1]
    kept = json.loads(run(capsys, "shots", "--json")[1])["shots"]
    assert (kept[0]["dose_g"], kept[0]["shot_time_s"], kept[0]["mark"]) == (18.0, 28.0, 12.0)


def test_units_convert(capsys: pytest.CaptureFixture[str]) -> None:
    """A German degree is 17.848 mg/L as CaCO3, from molar masses after IUPAC."""
    run(capsys, "add", "water", "--hardness", "10 dH", "--litres", "2000 ml")
    (kept,) = Notebook().rows("waters")
    assert kept["hardness_mg_l"] == pytest.approx(178.48, abs=0.01)
    assert kept["litres"] == 2.0


@pytest.mark.parametrize(("arguments", "words"), [
    (["add", "shot", "--dose", "18", "--yield", "36g", "--time", "28s"], "without a unit"),
    (["add", "shot", "--dose", "18g", "--yield", "36g"], "time is missing"),
    (["add", "shot", "--dose", "180g", "--yield", "36g", "--time", "28s"], "between"),
    (["add", "shot", "--dose", "nan g", "--yield", "36g", "--time", "28s"], "number"),
    (["add", "shot", *SHOT, "--roasted", "2999-01-01"], "future"),
    (["add", "shot", *SHOT, "--at", "2999-01-01"], "future"),
    (["add", "shot", *SHOT, "--at", "2026-01-01", "--roasted", "2026-01-05"], "one of the two"),
    (["add", "shot", *SHOT, "--at", "soon"], "no date"),
    (["add", "water", "--source", "tap"], "one number at least"),
    (["add", "cleaning", "windows"], "write one of"),
    (["add", "weighing", "--timer", "9g", "--dose", "18g"], "is a mass"),
    (["add", "equipment", "machine_knd", "x"], "did you mean 'machine_kind'"),
    (["add", "equipment", "water_hardness", "180"], "without a unit"),
    (["add", "equipment", "machine_kind", "a bicycle"], "none of the answers"),
    (["shots", "--last", "0"], "less than 1"),
    (["export", "out.txt"], ".csv or .json"),
    (["import", "nowhere.csv"], "No such file"),
])
def test_what_can_t_be_is_refused_in_one_line(
        capsys: pytest.CaptureFixture[str], arguments: list[str], words: str) -> None:
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (2, "")
    assert err.startswith("diagnose: ") and err.count("\n") == 1 and words in err
    assert Notebook().rows("shots") == []


def test_equipment_is_kept_by_the_books_questions(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "add", "equipment", "machine kind", "heat exchanger")[0] == 0
    run(capsys, "add", "equipment", "cup_width", "8 cm")
    assert {r["name"]: r["value"] for r in Notebook().rows("equipment")} == {
        "machine_kind": "heat_exchanger", "cup_width": "80.0 mm"}
    out = run(capsys, "equipment")[1]
    assert "machine_kind: heat exchanger" in out and "cup_width: 80 mm" in out
    assert "marks_direction" in run(capsys, "equipment", "--all")[1]


def test_without_options_it_asks_line_by_line_and_again_where_needed(
        capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    lines = ["", "", "12", "18", "18 g", "", "36g", "28s", "", "", "", ""]
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(lines) + "\n"))
    status, out, err = run(capsys, "add", "shot")
    assert status == 0 and "18 g in" in out
    assert "without a unit" in err and "yield is missing" in err


@pytest.mark.parametrize("said", ["\n\n12\n", "\n\nq\n"], ids=["ended", "quit"])
def test_what_is_left_half_way_is_not_kept(
        capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, said: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(said))
    status, _, err = run(capsys, "add", "shot")
    assert status == 2 and "nothing was kept" in err
    assert Notebook().rows("shots") == []


def test_export_and_import_by_another_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    run(capsys, "add", "shot", *SHOT)
    out = tmp_path / "shots.csv"
    assert "1 entry" in run(capsys, "export", str(out))[1]
    other = ["--data", str(tmp_path / "other")]
    assert "Taken in: 1 entry" in run(capsys, "import", str(out), *other)[1]
    status, _, err = run(capsys, "import", str(out), *other)
    assert status == 2 and "shots.csv:2" in err
    assert "1 known already" in run(capsys, "import", str(out), "--new-only", *other)[1]


def test_upkeep_goes_by_what_is_logged(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Nothing is logged" in run(capsys, "due")[1]
    run(capsys, "add", "shot", *SHOT, "--at", "40 days ago")
    out = run(capsys, "due")[1]
    assert out.startswith("now: ") and "maker's instructions" in out
    run(capsys, "add", "cleaning", "detergent")
    rows = {r["job"]: r for r in json.loads(run(capsys, "due", "--json")[1])["due"]}
    assert rows["detergent"]["used"] < 0.01 and rows["tank"]["used"] > 1


@pytest.mark.parametrize("trend", ["time", "dose", "rest", "scale"])
def test_a_trend_without_entries_says_what_to_add(capsys: pytest.CaptureFixture[str], trend: str) -> None:
    status, out, _ = run(capsys, "plot", trend)
    assert status == 0 and "is logged yet" in out and "|" not in out


def test_cases_are_listed_with_what_came_of_them(capsys: pytest.CaptureFixture[str], own_data: Path) -> None:
    assert "No consults" in run(capsys, "cases")[1]
    journal = Store(own_data / "cases").journal("20260301-080000")
    at = "2026-03-01T08:00:00+01:00"
    journal([Entry(at, Complained("it gushes", ("shot_too_fast",))),
             Entry(at, Tried("grind_finer", "solved"))])
    journal.close("solved")
    journal.release()
    out = run(capsys, "cases")[1]
    assert "solved  it gushes" in out and "tried grind finer: solved" in out
    (case,) = json.loads(run(capsys, "cases", "--json")[1])["cases"]
    assert case["tried"] == [{"remedy": "grind_finer", "outcome": "solved"}]
