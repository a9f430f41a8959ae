"""Tables of somebody's own: headings guessed and shown, units read, every problem at once."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from diagnose import cli
from diagnose.errors import UserError
from diagnose.notebook import columns, exchange
from diagnose.notebook.store import Notebook
from tests.notebook.rows import NOW

OWN = ("Datum;Uhrzeit;Mühle;Mahlgrad;Dose (g);yield, g;Zeit [s];Bohnen;Farbe\n"
       "31.1.2026;8:15;links;12;18,5;36,2;28;Haus;braun\n"
       "1.2.2026;08:20;links;12,5;18,0;35;29,5;Haus;braun\n")


def _file(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "own.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(("head", "name", "unit"), [
    ("Dose (g)", "dose_g", "g"), ("Zeit [s]", "shot_time_s", "s"), ("yield, g", "yield_g", "g"),
    ("dose in oz", "dose_g", "oz"), ("Grind size", "mark", ""), ("TIME (sec)", "shot_time_s", "s"),
    ("Getränk g", "yield_g", ""), ("Röstdatum", "roast_date", ""), ("durée (s)", "shot_time_s", "s"),
    ("Flavour", "taste", ""), ("comments", "note", ""), ("extracton time", "shot_time_s", ""),
    ("price", "", ""), ("shot_time_s", "shot_time_s", ""), ("Date/Time", "at", "")])
def test_a_heading_is_guessed_with_its_unit(head: str, name: str, unit: str) -> None:
    (found,) = columns.guess([head], "shots", {})
    assert (found.field, found.unit) == (name, unit)


def test_each_field_is_taken_once_and_by_the_surer_heading() -> None:
    found = columns.guess(["coffee name here", "Dose", "coffee"], "shots", {})
    assert [c.field for c in found] == ["", "dose_g", ""]


def test_a_table_of_one_s_own_is_read(tmp_path: Path) -> None:
    found = exchange.taken(_file(tmp_path, OWN), None, NOW)
    assert found.kind == "shots" and [c.field for c in found.columns][-1] == ""
    (_, _, first), (_, _, second) = found.entries
    assert (first["at"][:16], first["dose_g"], first["yield_g"], first["grinder"]) == (
        "2026-01-31T08:15", 18.5, 36.2, "links")
    assert (second["at"][:16], second["mark"], second["shot_time_s"]) == ("2026-02-01T08:20", 12.5, 29.5)


@pytest.mark.parametrize("separator", ["\t", "|", ","])
def test_the_separator_is_made_out(tmp_path: Path, separator: str) -> None:
    text = "Date|Dose|Yield|Time\n2026-01-31 08:15|18|36|28\n".replace("|", separator)
    assert len(exchange.read(_file(tmp_path, text), None, NOW)) == 1


def test_a_unit_of_the_heading_holds_and_one_of_the_cell_wins(tmp_path: Path) -> None:
    text = "Date,Dose (oz),Yield (g),Time\n2026-01-31,0.63,36,28\n2026-01-30,18 g,36,0:28\n"
    first, second = exchange.read(_file(tmp_path, text), None, NOW)
    assert first[2]["dose_g"] == pytest.approx(17.86, abs=0.01)
    assert (second[2]["dose_g"], second[2]["shot_time_s"]) == (18, 28)


def test_thousands_or_decimals_are_never_guessed(tmp_path: Path) -> None:
    with pytest.raises(UserError, match=r'own.csv:3: dose_g: "1,800 g" could mean two numbers'):
        exchange.read(_file(tmp_path, OWN.replace("18,0", "1,800")), None, NOW)


def test_every_problem_is_told_at_once_with_its_line(tmp_path: Path) -> None:
    text = OWN.replace("18,0", "1,800").replace("29,5", "long").replace("31.1.2026", "31.13.2026") + "x;y\n"
    with pytest.raises(UserError) as caught:
        exchange.read(_file(tmp_path, text), None, NOW)
    said = str(caught.value).splitlines()
    assert said[0] == "4 problems, so nothing was taken in:"
    assert [line.partition("own.csv:")[2][0] for line in said[1:]] == ["2", "3", "3", "4"]


def test_many_problems_are_counted_but_not_all_told(tmp_path: Path) -> None:
    text = "Date,Dose,Yield,Time\n" + "2026-01-31,lots,36,28\n" * 30
    with pytest.raises(UserError, match="30 problems") as caught:
        exchange.read(_file(tmp_path, text), None, NOW)
    assert str(caught.value).endswith("... and 10 more")


@pytest.fixture
def imported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    """Runs the import of a text with these options and lines typed, at a terminal or not."""

    def one(text: str, *options: str, lines: str | None = None) -> tuple[int, str, str]:
        stdin = io.StringIO(lines or "")
        monkeypatch.setattr(stdin, "isatty", lambda: lines is not None, raising=False)
        monkeypatch.setattr("sys.stdin", stdin)
        status = cli.main(["notebook", "import", str(_file(tmp_path, text)), *options])
        caught = capsys.readouterr()
        return status, caught.out, caught.err

    return one


def test_how_columns_are_read_is_shown_and_wants_a_yes(imported) -> None:
    status, out, err = imported(OWN)
    assert status == 2 and "Zeit [s]: shot_time_s, bare numbers in s" in out and "Farbe: left out" in out
    assert "--yes" in err and Notebook().rows("shots") == []
    assert imported(OWN, "--yes")[0] == 0 and len(Notebook().rows("shots")) == 2


@pytest.mark.parametrize(("said", "rows"), [("yes\n", 2), ("no\n", 0), ("", 0)])
def test_at_a_terminal_it_is_asked(imported, said: str, rows: int) -> None:
    status, out, _ = imported(OWN, lines=said)
    assert status == 0 and "Is that right?" in out and len(Notebook().rows("shots")) == rows


def test_a_column_can_be_named(imported) -> None:
    text = OWN.replace("Dose (g)", "Schaufel")
    status, _, err = imported(text, "--yes")
    assert status == 2 and "'dose_g' is missing" in err and "Schaufel" in err
    assert imported(text, "--yes", "--column", "Schaufel=dose_g", "--column", "Bohnen=")[0] == 0
    assert Notebook().rows("shots")[0]["beans"] is None


@pytest.mark.parametrize(("named", "words"), [
    ("Farbe=colour", "no field 'colour'"), ("Farb=note", "did you mean 'Farbe'"), ("Farbe", "HEADING=FIELD")])
def test_a_column_named_wrong_is_one_clear_line(imported, named: str, words: str) -> None:
    status, _, err = imported(OWN, "--yes", "--column", named)
    assert status == 2 and words in err and err.count("\n") == 1


def test_what_was_exported_is_not_asked_about(imported) -> None:
    imported(OWN, "--yes")
    text = exchange._csv("shots", Notebook().rows("shots"))
    status, said, _ = imported(text, "--new-only")
    assert (status, said) == (0, "Taken in: 0 entries; 2 known already\n")
