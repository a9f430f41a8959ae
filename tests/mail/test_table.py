"""The table to work from: dangers first, every letter once, safe in a spreadsheet."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from diagnose.mail import pile, table
from tests.mail.bags import worked

BAG = """\
name,email,number,complaint
=cmd|' /C calc'!A0,+a@example.org,-1,"@The coffee tastes | sour.
Really."
Ada,a@example.org,2,At what hour does the library close on Sundays?
Bo,,3,The machine gives me a shock when I touch the metal.
Cy,,4,Can I freeze coffee beans?
Di,,5,"Mein Kaffee ist sauer und die Maschine ist laut, aber nicht immer"
"""


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag with columns worked through once, read-only for the tests."""
    return worked(tmp_path_factory.mktemp("table"), "bag.csv", BAG)


def rows(done: Path) -> list[dict[str, str]]:
    with (done / "summary.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_every_kind_of_letter_has_its_place() -> None:
    assert table.KINDS.keys() == pile.RANK.keys() and set(table.KINDS.values()) == set(table.ORDER)


def test_dangers_come_first_then_what_is_in_doubt_then_the_rest(done: Path) -> None:
    found = [(row["kind"], row["number"]) for row in rows(done)]
    assert found == [("danger", "3"), ("unsure", "5"), ("trouble", "'-1"), ("question", "4"),
                     ("off-topic", "2")]


def test_no_cell_is_a_formula_and_each_keeps_what_it_said(done: Path) -> None:
    row = rows(done)[2]
    assert not any(cell.lstrip().startswith(("=", "+", "-", "@")) for r in rows(done) for cell in r.values())
    assert row["person"] == "'=cmd|' /C calc'!A0" and row["address"] == "'+a@example.org"
    assert row["what it says"] == "'@The coffee tastes | sour. Really."


def test_the_sheet_names_file_or_row_doubts_and_the_reply(done: Path) -> None:
    for row in rows(done):
        assert row["file or row"].startswith("bag.csv:") and (done / row["reply"]).is_file()
    assert rows(done)[1]["what is unsure"] == "what it says: it is in German"


def test_the_page_shows_the_same_table_and_nothing_acts_in_it(done: Path) -> None:
    page = (done / "SUMMARY.md").read_text(encoding="utf-8")
    lines = [line for line in page.splitlines() if line.startswith("| bag.csv")]
    assert len(lines) == 5 and "| danger |" in lines[0]
    assert "tastes \\| sour" in page and all(line.replace("\\|", "").count("|") == 9 for line in lines)


def test_the_reply_keeps_who_wrote(done: Path) -> None:
    said = next(done.glob("0-*.md")).read_text(encoding="utf-8")
    assert said.startswith("Hello Bo,") and "- Number: 3" in said
