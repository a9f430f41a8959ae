"""Case files: what does not fit the book is one line with the place, the value and the nearest."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from diagnose.book.book import Book
from diagnose.book.with_house import load
from diagnose.case import casefile, casefile_check
from diagnose.case.casefile import CaseFileError
from diagnose.reason.system import System
from diagnose.storage import paths


@pytest.fixture(scope="module")
def system() -> System:
    return System(load().book)


@pytest.fixture(scope="module")
def book(system: System) -> Book:
    return system.book


def built(system: System, path: Path, text: str):
    path.write_text(text)
    (found, tree), *_ = casefile.read(path)
    return casefile.build(system, found, tree)


WRONG = [
    ("answers: {burr_age: x}", "burr_age: 'x' is none of the answers; choose one of: new,"),
    ("answers: {burr_age: secnd hand}", "did you mean unknown_past?"),
    ("answers: {bur_age: new}", "no observation 'bur_age'; did you mean 'burr_age'?"),
    ("answers: {shot_time: x}", "shot_time: "),
    ("unknown: [bur_age]", "no observation 'bur_age'; did you mean 'burr_age'?"),
    ("symptoms: [shot_fats]", "no symptom 'shot_fats'"),
    ("tried: {grind_fine: better}", "no remedy 'grind_fine'; did you mean 'grind_finer'?"),
    ("tried: {grind_finer: good}", "'good' is none of solved, better, same, worse"),
    ("today: tomorrow", "'tomorrow' is no date"),
]


@pytest.mark.parametrize(("line", "said"), WRONG)
def test_what_does_not_fit_is_refused_in_one_line(system: System, tmp_path: Path, line: str,
                                                  said: str) -> None:
    path = tmp_path / "one.yaml"
    with pytest.raises(CaseFileError) as caught:
        built(system, path, f"complaint: it gushes\n{line}\n")
    text = str(caught.value)
    assert text.startswith(f"{path}:2:") and said in text and "\n" not in text


def test_ids_whole_phrases_and_not_known_are_taken(system: System, tmp_path: Path) -> None:
    case = built(system, tmp_path / "one.yaml", (
        "complaint: it gushes\n"
        "answers: {burr_age: Second hand, shot_time: 15 s, dose: not sure}\n"))
    assert case.values["burr_age"] == "unknown_past" and case.values["shot_time"] == 15.0
    assert "dose" in case.unknown


INVALID = """\
- title: nothing-fits
  complaint: it gushes
  answers: {burr_age: x, bur_age: new}
  unknown: [shot_tme]
  tried: {grind_fine: good}
  expect:
    causes: [grind_too_coarse|no_such]
    fix: [no_fix]
    cautions: [no_caution]
    stopped: maybe
  kind: odd
- complaint: it gushes
"""


def test_the_check_of_the_book_reads_the_worked_cases(book: Book, tmp_path: Path) -> None:
    """Every invalid id is one line with its place; a file that can't be read is one too."""
    folder = tmp_path / "cases"
    folder.mkdir()
    (folder / "bad.yaml").write_text(INVALID)
    (folder / "worse.yaml").write_text("- complaint: [\n")
    found = [str(i) for i in casefile_check.issues(book, tmp_path)]
    wrong = ("'x' is none", "observation 'bur_age'", "observation 'shot_tme'",
             "remedy 'grind_fine'", "'good' is none", "cause 'no_such'", "remedy 'no_fix'",
             "caution 'no_caution'", "'maybe' is none", "'odd' is none")
    for part in wrong:
        assert sum(part in line for line in found) == 1, part
    assert any(line.startswith("cases/worse.yaml:") for line in found)
    here = [line for line in found if line.startswith("cases/bad.yaml:")]
    assert any(line.startswith("cases/bad.yaml:7:") and "no_such" in line for line in here)
    assert all("error: case_fits: nothing-fits: " in line for line in here)
    assert len([line for line in here if "grind_too_coarse" in line]) == (
        "grind_too_coarse" not in book.causes)


def test_the_shipped_worked_cases_fit_the_book(book: Book) -> None:
    assert not [str(i) for i in casefile_check.issues(book, paths.shipped())]


def test_a_book_without_worked_cases_has_nothing_wrong_with_them(book: Book, tmp_path: Path) -> None:
    assert not list(casefile_check.issues(book, tmp_path))


def test_what_a_mapped_report_says_beside_the_case_is_read_over(system: System, tmp_path: Path) -> None:
    case = built(system, tmp_path / "one.yaml", (
        "complaint: it gushes\nanswers: {shot_time: 15 s}\nlost: [the kettle stands beside it]\n"
        "gap: steam from a kettle\nin_words:\n  symptoms: [shot_too_fast]\n  answers: {onset: sudden}\n"))
    assert case.values["shot_time"] == 15.0 and "onset" not in case.values


def test_many_cases_of_one_file_are_read_in_time_that_goes_with_their_number(tmp_path: Path) -> None:
    """One after another through all places of the file, these took a quarter of a minute."""
    path = tmp_path / "many.yaml"
    path.write_text("- complaint: it gushes\n  answers: {burr_age: new}\n" * 8_000)
    start = time.process_time()
    assert len(casefile.read(path)) == 8_000
    assert time.process_time() - start < 5


def test_what_has_no_end_is_no_case(system: System) -> None:
    with pytest.raises(CaseFileError, match="file is larger than 4 MB; split it"):
        casefile.read(Path("/dev/zero"))
