"""What the records come to: every source counted, damage said, advice judged by what was told of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.journal import Store
from diagnose.cli import main
from diagnose.mail.folder import JOURNAL
from diagnose.notebook.store import Notebook
from diagnose.reason.system import System
from diagnose.teach import records, stats

DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture(scope="module")
def system() -> System:
    return System(load().book)


def consult(system: System, folder: Path, symptom: str, *tried: tuple[str, str]) -> None:
    """A consult on file."""
    keeper = Store(folder / "cases").new_journal()
    case = Case(system, journal=keeper)
    case.complain("", [symptom])
    for remedy, outcome in tried:
        case.tried(remedy, outcome)  # type: ignore[arg-type]
    keeper.close("solved" if tried and tried[-1][1] == "solved" else "left")
    keeper.release()


def found(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict:
    assert main(["book", "stats", "--json", *arguments]) == 0
    return json.loads(capsys.readouterr().out)


def test_consults_count_with_what_came_of_their_advice(
        system: System, own_data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    consult(system, own_data, "shot_too_fast", ("grind_finer", "better"), ("grind_finer", "solved"))
    consult(system, own_data, "shot_too_fast", ("grind_finer", "same"))
    consult(system, own_data, "foam_dry")
    data = found(capsys)
    assert data["sources"] == {"consults": 3, "letters": 0, "case_files": 0}
    assert data["closed"] == {"solved": 1, "left": 2}
    assert data["complaints"][0] == {"symptom": "shot_too_fast", "name": "the shot runs too fast",
                                     "count": 2, "solved": 1}
    (advice,) = data["advice"]
    assert [advice[k] for k in ("tried", "solved", "better", "same", "worse")] == [3, 1, 1, 1, 0]
    assert {n["symptom"]: n["unsolved"] for n in data["teach_next"]} == {"shot_too_fast": 1, "foam_dry": 1}
    met = {c["cause"] for c in data["causes"]}
    assert met and met.isdisjoint(n["cause"] for n in data["never"])
    assert len(met) + len(data["never"]) == len(system.book.causes)


def test_advice_that_mostly_fails_is_to_be_shown_by_hand(system: System) -> None:
    told = [records.TroubleRecord("consult", ("shot_too_fast",), "", (), (("grind_finer", outcome),))
            for outcome in ("same", "worse", "solved")]
    data = stats.data(system.book, told, [], [])
    assert data["teach_next"][-1]["failed"] == 2
    assert "it failed 2 times of 3; show it by hand" in stats.page(data)
    assert "show it by hand" not in stats.page(stats.data(system.book, told[2:], [], []))


def test_letters_and_case_files_count_where_they_are_named(
        tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = {"id": "a-1", "kind": "remedy", "symptoms": ["shot_too_fast"], "asked": ["tamp_pressure"],
              "cause": "grind_too_coarse"}
    lines = [{"pile": "x"}, record, record | {"id": "a-2"}, record | {"id": "a-2"},
             record | {"id": "a-3", "symptoms": 7}]
    (tmp_path / JOURNAL).write_text("\n".join([*map(json.dumps, lines), "{torn"]))
    data = found(capsys, str(tmp_path), str(DEMO / "01-gushing.yaml"))
    assert data["sources"] == {"consults": 0, "letters": 2, "case_files": 1}
    assert data["complaints"][0]["count"] == 3 and len(data["unread"]) == 1
    assert main(["book", "stats", str(DEMO)]) == 2 and "holds no replies" in capsys.readouterr().err


def test_the_notebooks_shots_are_held_against_the_houses_time(
        own_data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for time in ("19 s", "29 s", "30 s", "45 s"):
        assert main(["notebook", "add", "shot", "--mark", "7", "--dose", "18 g", "--yield", "36 g",
                     "--time", time]) == 0
    assert len(Notebook(own_data / "notebook.sqlite").rows("shots")) == 4
    capsys.readouterr()
    assert found(capsys)["shots"] == {"count": 4, "too_fast": 1, "too_slow": 1, "from_s": 26.0, "to_s": 32.0}
    assert main(["book", "stats"]) == 0
    assert "Of 4 shots in the notebook 1 ran faster and 1 slower" in capsys.readouterr().out


def test_without_any_record_it_says_so_and_teaches_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["book", "stats"]) == 0
    said = capsys.readouterr().out
    assert "Nothing is on record yet" in said and "Never came up" not in said and "To teach next" not in said


def test_a_damaged_consult_is_said_and_the_others_count(
        system: System, own_data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    consult(system, own_data, "foam_dry")
    (own_data / "cases" / "20200101-000000.jsonl").write_text("nothing of ours\n")
    data = found(capsys)
    assert data["sources"]["consults"] == 1 and len(data["unread"]) == 1
