"""One thing that can't be right ends in one line about it, and everything else goes on."""

from __future__ import annotations

import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose.cli import main
from diagnose.search import lexicon
from diagnose.storage import paths

FAR = ("99999999999 days ago", "9" * 5_000 + " days ago", "0001-01-01")
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """Runs a command with lines typed: status, output, errors."""
    monkeypatch.chdir(tmp_path)

    def one(*arguments: str, typed: str = "") -> tuple[int, str, str]:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        status = main(list(arguments))
        caught = capsys.readouterr()
        return status, caught.out, caught.err

    return one


@pytest.mark.parametrize("far", FAR)
def test_a_day_too_far_off_in_a_letter_costs_that_figure_only(run: Run, far: str) -> None:
    Path("bag.txt").write_text(f"Sour. Roasted {far}.\n\nMy milk foam is dry.\n\nRoasted on {far}, sour\n")
    status, out, _ = run("mail", "bag.txt", "--jobs", "1")
    assert status == 0 and "3 letters" in out


@pytest.mark.parametrize("far", FAR)
def test_a_day_too_far_off_in_a_complaint_costs_that_figure_only(run: Run, far: str) -> None:
    Path("case.yaml").write_text(f"complaint: it gushes, I had it for {'9' * 5_000} years, roasted {far}\n")
    status, out, _ = run("case", "case.yaml")
    assert status == 0 and "Causes, most likely first" in out


@pytest.mark.parametrize("far", FAR)
@pytest.mark.parametrize("line", ["answers: {roast_date: FAR}", "today: FAR"])
def test_a_day_too_far_off_in_a_case_is_refused(run: Run, line: str, far: str) -> None:
    Path("case.yaml").write_text(f"complaint: it gushes\n{line.replace('FAR', far)}\n")
    status, _, err = run("case", "case.yaml")
    assert status == 2 and "case.yaml:2:" in err and err.count("\n") == 1


@pytest.mark.parametrize("far", FAR)
@pytest.mark.parametrize("words", [
    ("notebook", "add", "shot", "--dose", "18g", "--yield", "36g", "--time", "28s", "--at"),
    ("calc", "shot", "--roasted")])
def test_a_day_too_far_off_is_refused(run: Run, words: tuple[str, ...], far: str) -> None:
    status, _, err = run(*words, far)
    assert status == 2 and err.count("\n") == 1 and len(err) < 300


def test_a_number_too_long_is_refused(run: Run) -> None:
    long = "9" * 4_400
    Path("in.json").write_text(f'{{"notebook": 1, "shots": [{{"dose_g": {long}}}]}}')
    for words in (("notebook", "import", "in.json"), ("calc", "shot", "--dose", long),
                  ("notebook", "add", "shot", "--dose", long)):
        status, _, err = run(*words)
        assert status == 2 and err.count("\n") == 1 and len(err) < 300


@pytest.mark.parametrize("typed", ["²", "①", "9" * 5_000])
def test_what_only_looks_like_a_figure_is_asked_again(run: Run, typed: str) -> None:
    lines = f"list\n{typed}\n1\n{typed}\n1\n{typed}\nsave\nyes\n"
    assert run("consult", "--new", "--plain", typed=lines)[0] == 0
    said = "".join(json.dumps({"say": line}) + "\n" for line in lines.splitlines())
    status, out, _ = run("consult", "--new", "--json", typed=said)
    assert status == 0 and '"ended": "left"' in out
    assert run("notebook", "add", "equipment", "burr_age", typed)[0] == 2
    status, out, err = run("house", "add", typed=f"{typed}\nq\n")
    assert status == 2 and "take one of 1 to" in out and "left before the end" in err


def test_a_damaged_consult_stops_no_other(run: Run) -> None:
    run("consult", "--new", "--plain", typed="it gushes\n\nsave\nyes\n")
    kept, = (paths.data() / "cases").glob("*.jsonl")
    for name, raw in (("20990101-000000", b"\xff\n"), ("20990101-000001", b"[" * 100_000 + b"\n"),
                      ("20990101-000002", kept.read_bytes() + b"\xff\xfe\n" + b"[" * 100_000 + b"\n")):
        kept.with_name(f"{name}.jsonl").write_bytes(raw)
    for words in (("consult", "--list"), ("notebook", "cases"), ("consult", "--resume", "--plain")):
        status, out, err = run(*words)
        assert status == 0 and out
        assert words[-1] == "--plain" or err.count("diagnose: ") == 3


def test_a_folder_called_like_a_house_file_is_named_and_stops_nothing(run: Run) -> None:
    (paths.house() / "x.yaml").mkdir(parents=True)
    Path("bag.txt").write_text("Sour.\n")
    status, out, err = run("mail", "bag.txt", "--jobs", "1")
    assert status == 0 and "1 letter" in out and "x.yaml:1:1: can't be read: Is a directory" in err


def test_a_faulty_lexicon_is_one_line(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    book = shutil.copytree(paths.shipped(), tmp_path / "book", ignore=shutil.ignore_patterns("cases"))
    words = book / lexicon.FILE
    words.write_text(words.read_text().replace("schema: 1", "schema: " + "9" * 4_400, 1))
    monkeypatch.setattr(paths, "shipped", lambda: book)
    Path("case.yaml").write_text("complaint: it gushes\n")
    for command in (("case", "case.yaml"), ("lookup", "gushes")):
        status, _, err = run(*command)
        assert status == 2 and "words.yaml:" in err


def test_a_letter_that_breaks_the_reading_stops_no_other(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    from diagnose.mail.reading import Desk

    read = Desk.read

    def breaks(desk: Desk, text: str) -> object:
        if "bad" in text:
            raise ZeroDivisionError("nought")
        return read(desk, text)

    monkeypatch.setattr(Desk, "read", breaks)
    Path("bag.txt").write_text("Sour.\n\nbad\n\nMy milk foam is dry.\n")
    status, out, err = run("mail", "bag.txt", "--jobs", "1")
    assert status == 2 and "2 letters" in out and "bag.txt:3: could not be worked through" in err
    assert "bag.txt:3" in Path("bag-replies/SUMMARY.md").read_text()


def test_a_complaint_that_is_not_read_to_its_end_is_said(run: Run) -> None:
    Path("case.yaml").write_text("answers: {}\ncomplaint: the shot tastes sour." + " and so on" * 900)
    status, out, err = run("case", "case.yaml")
    assert status == 0 and out
    assert "case.yaml:2:1: Only the first 8000 signs were read; the rest was left out." in err
