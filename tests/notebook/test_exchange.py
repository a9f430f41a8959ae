"""Files to carry: exact both ways, and all or nothing with the line named."""

from __future__ import annotations

import csv
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.errors import UserError
from diagnose.notebook import exchange, fields
from diagnose.notebook.store import Notebook, add_all
from diagnose.storage.spreadsheet import FORMULA
from tests.notebook.rows import NOW, fill, row, shot

HEAD = "at,grinder,mark,dose_g,yield_g,shot_time_s,beans,roast_date,taste,note\n"
GOOD = "2026-03-01T08:00:00+01:00,,12,18,36,28,,,,\n"


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    return Notebook(tmp_path / "notebook.sqlite")


def _take(notebook: Notebook, path: Path, what: str | None = None, new_only: bool = False
          ) -> tuple[int, int]:
    return add_all(notebook, exchange.read(path, what, NOW), new_only)


def _file(tmp_path: Path, text: str, name: str = "in.csv") -> Path:
    path = tmp_path / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


words = st.text(max_size=30).map(lambda t: " ".join(
    "".join(c if c.isprintable() else " " for c in t).split()) or None)
shots = st.builds(
    lambda days, mark, dose, time, beans, note: shot(days, mark, time, beans=beans, note=note) | {
        "dose_g": dose},
    st.integers(0, 300), st.none() | st.floats(-1000, 1000), st.floats(0.5, 60), st.floats(1, 300),
    words, words)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(shots, max_size=6, unique_by=lambda r: tuple(r.values())),
       st.sampled_from([".csv", ".json"]))
def test_what_goes_out_comes_back_exactly(rows: list[dict[str, Any]], suffix: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        first, second = (Notebook(Path(folder) / f"{n}.sqlite") for n in "ab")
        fill(first, "shots", rows)
        path = Path(folder) / f"out{suffix}"
        exchange.write(first, path, "shots")
        if rows:
            _take(second, path)
        assert second.rows("shots") == first.rows("shots")
        again = Path(folder) / f"again{suffix}"
        exchange.write(second, again, "shots")
        assert again.read_bytes() == path.read_bytes()


def test_every_kind_goes_out_and_comes_back_in_one_json_file(tmp_path: Path, notebook: Notebook) -> None:
    fill(notebook, "shots", [shot()])
    fill(notebook, "weighings", [row("weighings", timer_s=9.1, dose_g=17.9, grinder="left")])
    fill(notebook, "waters", [row("waters", hardness_mg_l=178.4832, source='the "well", cold')])
    fill(notebook, "cleanings", [row("cleanings", what="detergent")])
    fill(notebook, "equipment", [row("equipment", name="gauge", value="brew")])
    exchange.write(notebook, tmp_path / "all.json", None)
    other = Notebook(tmp_path / "other.sqlite")
    assert _take(other, tmp_path / "all.json") == (5, 0)
    assert all(other.rows(k) == notebook.rows(k) for k in fields.KINDS)


@pytest.mark.parametrize("kind", list(fields.KINDS))
def test_an_empty_table_goes_both_ways(tmp_path: Path, notebook: Notebook, kind: str) -> None:
    exchange.write(notebook, tmp_path / "empty.csv", kind)
    assert exchange.read(tmp_path / "empty.csv", None, NOW) == []


def test_a_file_that_is_there_is_not_written_over_unasked(tmp_path: Path, notebook: Notebook) -> None:
    path = _file(tmp_path, "mine", "mine.csv")
    with pytest.raises(UserError, match="--replace"):
        exchange.write(notebook, path, None)
    assert path.read_text() == "mine"
    exchange.write(notebook, path, None, replace=True)
    assert path.read_text() == HEAD


@pytest.mark.parametrize(("text", "line", "words"), [
    (HEAD + GOOD + "2026-03-02T08:00:00+01:00,,12,18", 3, "cut off"),
    (HEAD + '2026-03-02T08:00:00+01:00,,12,18,36,28,"open', 2, "cut off"),
    (HEAD.replace("dose_g", "sugar") + GOOD, 1, "I make nothing: sugar"),
    (HEAD.replace("dose_g", "dose_oz") + GOOD, 2, "510.3 g"),
    (HEAD.replace("mark", "dose_g") + GOOD, 1, "twice"),
    ("at,dose_g\n2026-03-02,18\n", 1, "missing from shots"),
    (HEAD + GOOD + GOOD.replace(",18,", ",18 s,"), 3, "is a time"),
    (HEAD + GOOD.replace(",18,", ",180,"), 2, "between"),
    (HEAD + GOOD.replace(",18,", ",nan,"), 2, "dose"),
    (HEAD + GOOD.replace(",18,", ",1e999,"), 2, "too large a number"),
    (HEAD + GOOD.replace(",18,", ",\"1,800\","), 2, "could mean two numbers"),
    (HEAD + GOOD.replace(",18,", ",lots,"), 2, "number"),
    (HEAD + GOOD.replace(",28,", ",,"), 2, "missing"),
    (HEAD + GOOD.replace("2026-03-01T08:00:00+01:00", ""), 2, "at is missing"),
    (HEAD + GOOD.replace("2026-03-01", "2036-03-01"), 2, "future"),
    (HEAD + GOOD.replace("28,,,", "28,,2026-03-09,"), 2, "one of the two"),
    (HEAD + GOOD + GOOD, 3, "the same entry as"),
    ("", None, "empty"),
])
def test_a_bad_file_is_refused_whole_with_line_and_mend(
        tmp_path: Path, notebook: Notebook, text: str, line: int | None, words: str) -> None:
    with pytest.raises(UserError) as caught:
        _take(notebook, _file(tmp_path, text))
    said = str(caught.value)
    assert words in said and "\n" not in said
    assert line is None or f"in.csv:{line}: " in said
    assert notebook.rows("shots") == []


@pytest.mark.parametrize(("text", "words"), [
    ('{"notebook": 1, "shots": [', "cut off"),
    ('{"notebook": 7}', "no exported notebook"),
    ("[]", "no exported notebook"),
    ('{"notebook": 1, "shorts": []}', "did you mean 'shots'"),
    ('{"notebook": 1, "shots": [5]}', "shots, entry 1: is no object"),
    ('{"notebook": 1, "shots": [{"at": "2026-03-01", "dose_g": NaN}]}', "NaN"),
    ('{"notebook": 1, "shots": [{"at": "2026-03-01", "dose_g": true, "yield_g": 36, '
     '"shot_time_s": 28}]}', "entry 1"),
    ("[" * 100_000, "cut off"),
])
def test_a_bad_json_file_is_refused_whole(tmp_path: Path, notebook: Notebook, text: str, words: str
                                          ) -> None:
    with pytest.raises(UserError) as caught:
        _take(notebook, _file(tmp_path, text, "in.json"))
    assert words in str(caught.value) and "\n" not in str(caught.value)
    assert notebook.rows("shots") == []


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    (tmp_path / "in.csv").write_bytes(HEAD.encode() + b"\xff\xfe")
    with pytest.raises(UserError, match="UTF-8"):
        exchange.read(tmp_path / "in.csv", None, NOW)


def test_a_cell_may_carry_a_unit_of_its_own(tmp_path: Path, notebook: Notebook) -> None:
    """One ounce is 28.349523125 g: NIST Special Publication 811, appendix B."""
    _take(notebook, _file(tmp_path, HEAD + GOOD.replace(",18,36,28,", ",0.65 oz,36 g,0:28,")))
    (kept,) = notebook.rows("shots")
    assert kept["dose_g"] == pytest.approx(0.65 * 28.349523125)
    assert kept["shot_time_s"] == 28.0


def test_a_spreadsheet_with_semicolons_and_decimal_commas_is_read(tmp_path: Path, notebook: Notebook
                                                                  ) -> None:
    text = (HEAD + GOOD).replace(",", ";").replace(";18;", ";18,5;")
    _take(notebook, _file(tmp_path, "\ufeff" + text))
    assert notebook.rows("shots")[0]["dose_g"] == 18.5


def test_what_is_known_stops_the_import_or_is_skipped_on_asking(tmp_path: Path, notebook: Notebook) -> None:
    path = _file(tmp_path, HEAD + GOOD)
    _take(notebook, path)
    more = _file(tmp_path, HEAD + GOOD.replace("28", "29") + GOOD, "more.csv")
    with pytest.raises(UserError, match=r"more.csv:3: .*--new-only"):
        _take(notebook, more)
    assert len(notebook.rows("shots")) == 1
    assert _take(notebook, more, new_only=True) == (1, 1)


def test_an_import_never_changes_what_is_known_of_the_equipment(tmp_path: Path, notebook: Notebook) -> None:
    notebook.add("equipment", row("equipment", name="gauge", value="brew"))
    path = _file(tmp_path, "name,value,at\ngauge,none,2026-03-01\n")
    with pytest.raises(UserError, match="an answer for gauge"):
        _take(notebook, path)
    assert notebook.rows("equipment")[0]["value"] == "brew"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-2 clicks", "@SUM(A1)", "'=x", "''=x", "''", "'tis", "'",
                                  "a=b"])
def test_no_note_is_a_formula_in_a_spreadsheet_and_each_comes_back(tmp_path: Path, notebook: Notebook,
                                                                   text: str) -> None:
    fill(notebook, "shots", [shot(taste=text, note=text, mark=-3.0)])
    out = tmp_path / "out.csv"
    exchange.write(notebook, out, "shots")
    (cells,) = csv.DictReader(out.read_text().splitlines())
    assert not cells["note"].startswith(FORMULA) and cells["mark"] == "-3.0"
    again = Notebook(tmp_path / "again.sqlite")
    add_all(again, exchange.read(out, None, NOW))
    assert again.rows("shots") == notebook.rows("shots")


@pytest.mark.parametrize(("found", "line", "words"), [
    ('{"at": "2026-03-01T08:00:00+01:00", "dose_g": "much"}', 7, "shots, entry 2"),
    ('{"dose_oz": 1}', 7, "no column 'dose_oz'"), ("17", 2, "is no object"),
    (GOOD_JSON := '{"at": "2026-03-01T08:00:00+01:00", "dose_g": 18, "yield_g": 36, "shot_time_s": 28}', 7,
     "the same entry as"),
])
def test_what_is_wrong_in_a_json_file_is_told_by_its_line(tmp_path: Path, notebook: Notebook, found: str,
                                                          line: int, words: str) -> None:
    text = f'{{"notebook": 1,\n "shots": [\n  {GOOD_JSON},\n\n\n\n  {found}\n ]}}\n'
    with pytest.raises(UserError) as caught:
        _take(notebook, _file(tmp_path, text, "in.json"))
    assert f"in.json:{line}: " in str(caught.value) and words in str(caught.value)


def test_an_unknown_list_of_a_json_file_is_told_by_its_line(tmp_path: Path, notebook: Notebook) -> None:
    with pytest.raises(UserError, match=r"in.json:2: 'shotz' is no list of entries; did you mean 'shots'"):
        _take(notebook, _file(tmp_path, '{"notebook": 1,\n "shotz": []}', "in.json"))


def test_an_entry_that_is_known_is_told_by_its_line(tmp_path: Path, notebook: Notebook) -> None:
    path = _file(tmp_path, f'{{"notebook": 1,\n "shots": [\n  {GOOD_JSON}\n ]}}\n', "in.json")
    _take(notebook, path)
    with pytest.raises(UserError, match=r"in.json:3: shots, entry 1: the notebook holds"):
        _take(notebook, path)


def test_many_entries_are_taken_in_in_time_that_goes_with_their_number(tmp_path: Path) -> None:
    """Each compared with all before it, these took some seven seconds."""
    first = datetime(2026, 1, 1, tzinfo=NOW.tzinfo)
    rows = (f"{(first + timedelta(minutes=i)).isoformat()},,12,18,36,28,,,,\n" for i in range(12_000))
    path = _file(tmp_path, HEAD + "".join(rows))
    start = time.process_time()
    assert _take(Notebook(tmp_path / "many.sqlite"), path) == (12_000, 0)
    assert time.process_time() - start < 4


def test_a_file_too_large_to_be_held_is_refused(tmp_path: Path, notebook: Notebook) -> None:
    assert exchange.MOST_BYTES <= 10_000_000
    path = tmp_path / "in.csv"
    with path.open("wb") as file:
        file.truncate(exchange.MOST_BYTES + 1)
    with pytest.raises(UserError, match=r"in\.csv: larger than 10 MB; split it"):
        exchange.read(path, None, NOW)
