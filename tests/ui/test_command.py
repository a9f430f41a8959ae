"""The command itself, as a process: plain lines, JSON lines, resuming, refusing."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from diagnose.case.journal import Store
from diagnose.present.schema import SCREEN_SCHEMA
from tests.dialogue.scripts import SCRIPTS, Script

ROOT = Path(__file__).parents[2]
SECONDS = 30


def command(book: Path, *arguments: str) -> list[str]:
    return [sys.executable, "-m", "tests.ui.small_main", str(book), *arguments]


def run(book: Path, *arguments: str, typed: str | bytes = "", **env: str
        ) -> subprocess.CompletedProcess:
    raw = typed if isinstance(typed, bytes) else typed.encode()
    done = subprocess.run(command(book, *arguments), input=raw, capture_output=True, cwd=ROOT,
                          timeout=SECONDS, env={**os.environ, **env})
    done.stdout, done.stderr = done.stdout.decode(), done.stderr.decode()
    assert "Traceback" not in done.stderr
    return done


def through_json(book: Path, *said: object) -> list[dict]:
    """What the JSON consult writes to these lines, every line held against the schema."""
    done = run(book, "--json", typed="".join(json.dumps(line) + "\n" for line in said))
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    for line in lines:
        jsonschema.validate(line, SCREEN_SCHEMA)
    return lines


def cases(data: Path) -> Store:
    return Store(data / "cases")


def test_no_input_at_all_shows_the_first_question_and_ends(book, own_data):
    done = run(book)
    assert done.returncode == 0 and "What is wrong?" in done.stdout
    assert done.stdout.rstrip().endswith("Nothing was said, so nothing is kept.")
    assert not (own_data / "cases").exists()


def test_a_file_of_answers_goes_through_to_the_end(book, own_data):
    done = run(book, "--plain", typed="the shot runs too fast\n1\n\ngrind\nsolved\nfinish\n")
    assert done.returncode == 0 and "Solved: Grind finer." in done.stdout
    (kept,) = cases(own_data).cases()
    assert kept[1] == "solved"


def test_the_end_of_the_input_says_how_to_go_on_and_that_works(book, own_data):
    first = run(book, typed="the shot runs too fast\n1\n\ngrind\n")
    (kept,) = cases(own_data).open_cases()
    assert f"diagnose consult --resume {kept.id}" in first.stdout
    again = run(book, "consult", "--resume", kept.id, typed="")
    assert "Going on where you left" in again.stdout and "Grind finer" in again.stdout


def test_diagnose_alone_asks_whether_to_go_on_with_the_last_case(book, own_data):
    run(book, typed="the shot runs too fast\n1\n\n")
    yes = run(book, typed="yes\n")
    assert 'Go on with the case you left?' in yes.stdout and "What was changed last" in yes.stdout
    no = run(book, typed="no\n")
    assert "Put by." in no.stdout and "What is wrong?" in no.stdout
    third = run(book, typed="")
    assert "Go on with" not in third.stdout


def test_new_starts_without_asking_and_the_other_stays_open(book, own_data):
    run(book, typed="the shot runs too fast\n1\n\n")
    done = run(book, "--new")
    assert "Go on with" not in done.stdout and len(cases(own_data).open_cases()) == 1


def test_list_names_the_cases_with_their_state(book, own_data):
    assert "No cases on file" in run(book, "consult", "--list").stdout
    run(book, typed="the shot runs too fast\n1\n\n")
    shown = run(book, "consult", "--list").stdout
    assert "open" in shown and "the shot runs too fast" in shown


def test_data_moves_the_folder(book, own_data, tmp_path):
    run(book, "--data", str(tmp_path / "elsewhere"), typed="the shot runs too fast\n1\n\n")
    assert len(cases(tmp_path / "elsewhere").open_cases()) == 1
    assert not (own_data / "cases").exists()


@pytest.mark.parametrize(("arguments", "says"), [
    (("--resume", "nothere"), "no case 'nothere' on file"),
    (("--resume", "../../etc"), "is no case"),
    (("--resume",), "no case is open"),
    (("--plain", "--json"), "not allowed with"),
    (("--house", "nowhere"), "no house folder"),
])
def test_what_can_t_be_done_is_one_line_on_stderr(book, arguments, says):
    done = run(book, *arguments)
    assert done.returncode == 2 and says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


@pytest.mark.parametrize("arguments", [
    ("mail", "a" * 5000), ("case", "a" * 5000), ("lookup", "gush", "--house", "a" * 5000),
    ("notebook", "import", "a" * 5000 + ".csv"), ("notebook", "shots", "--data", "a" * 5000)],
    ids=lambda arguments: arguments[0])
def test_a_name_too_long_for_a_file_is_one_line_on_stderr(book, arguments):
    done = run(book, *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("diagnose: ") and done.stderr.count("\n") == 1


def test_a_data_folder_in_the_way_is_said_and_the_consult_goes_on(book, tmp_path):
    blocked = tmp_path / "blocked"
    blocked.write_text("")
    done = run(book, "--data", str(blocked), typed="the shot runs too fast\n1\n\ngrind\n")
    assert done.returncode == 0 and "your answers are not being kept" in done.stdout
    assert "Grind finer" in done.stdout
    assert "Your answers could not be kept" in done.stdout


@pytest.mark.parametrize("typed", [b"\xff\xfe\x00\x01\n", b"\x00" * 2000 + b"\n", b"a" * 200_000])
def test_input_that_is_no_text_ends_in_no_traceback(book, typed):
    assert run(book, "--plain", typed=typed).returncode == 0


@pytest.mark.parametrize("typed", [b"\xff\xfe\n", b"{" * 10_000 + b"\n", b'"' + b"a" * 300_000,
                                   b'{"say": 5}\n', b"[]\n", b'{"report": true}\n'])
def test_json_input_that_is_none_is_answered_with_an_error_line(book, typed):
    done = run(book, "--json", typed=typed)
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    assert done.returncode == 0 and lines[-1]["ended"] == "left"
    assert "error" in lines[1] or "report" in lines[1]


@pytest.mark.parametrize("script", SCRIPTS[:5], ids=lambda s: s.name)
def test_the_json_consult_ends_as_the_script_says(book, own_data, script: Script):
    lines = through_json(book, "the shot runs too fast", *script.lines[1:])
    assert lines[-1]["ended"] == script.ended


def test_own_words_and_the_best_fix_through_json(book, own_data):
    said = ["the shot runs too fast", "yes", "", "!", "ask",
            "I opened a new bag on Monday because the old one was empty", "last_change=beans",
            {"report": True}, "save"]
    lines = through_json(book, *said)
    kinds = [line["screen"]["kind"] for line in lines if "screen" in line]
    assert kinds == ["complaint", "understood", "besides", "question", "remedy", "question",
                     "understood", "remedy"]
    (report,) = [line["report"] for line in lines if "report" in line]
    assert {a["id"]: a["value"] for a in report["answers"]} == {"last_change": "beans"}
    early = next(line["screen"] for line in lines if line.get("screen", {}).get("kind") == "remedy")
    assert early["choices"][-1] == {"id": "ask", "text": "ask me more first"}


FACTS = ("I opened a new bag on Monday because the old one was empty", "last_change=beans", "", "!")


def test_facts_without_a_complaint_come_to_a_fix_through_json(book, own_data):
    lines = through_json(book, *({"say": s} for s in FACTS))
    screens = [line["screen"] for line in lines if "screen" in line]
    assert [s["kind"] for s in screens][:3] == ["complaint", "understood", "complaint"]
    assert [n["code"] for n in screens[3]["notes"]] == ["no_trouble_named"]
    assert (screens[-1]["kind"], screens[-1]["data"]["id"]) == ("remedy", "fresh_bag")


def test_facts_without_a_complaint_come_to_a_fix_in_plain_lines(book, own_data):
    shown = " ".join(run(book, "--plain", typed="\n".join(FACTS) + "\n").stdout.split())
    assert "Enter goes on with what is kept" in shown and "Do this now: Use a fresh bag" in shown


def test_the_schema_is_printed(book):
    assert json.loads(run(book, "consult", "--schema").stdout) == SCREEN_SCHEMA


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGHUP, signal.SIGTERM])
def test_no_signal_loses_an_answer(book, own_data, number):
    with subprocess.Popen(command(book, "--plain"), cwd=ROOT, stdin=subprocess.PIPE,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdin.write(b"the shot runs too fast\n1\n\ngrind\n")
        process.stdin.flush()
        seen = b""
        while b"Did it work?" not in seen:
            line = process.stdout.readline()
            assert line, process.stderr.read()
            seen += line
        process.send_signal(number)
        _, errors = process.communicate(timeout=SECONDS)
    assert b"Traceback" not in errors
    (kept,) = cases(own_data).open_cases()
    assert kept.answers == 1
    assert "Grind finer" in run(book, "--resume", kept.id).stdout


def test_output_that_nobody_reads_ends_quietly(book):
    done = subprocess.run(" ".join(command(book, "--plain")) + " </dev/null | true", shell=True,
                          cwd=ROOT, capture_output=True, timeout=SECONDS)
    assert b"Traceback" not in done.stderr


def test_a_case_file_makes_a_page(book, tmp_path):
    file = tmp_path / "case.yaml"
    file.write_text("complaint: it gushes\nsymptoms: [too_fast]\nanswers: {last_change: grind}\n")
    done = run(book, "case", str(file))
    assert done.returncode == 0
    at = {word: done.stdout.index(word) for word in
          ("Complaint", "Causes, most likely first", "WARNING: Burrs", "1. Turn the grinder")}
    assert list(at.values()) == sorted(at.values())
    assert max(map(len, done.stdout.splitlines())) <= 78


def test_what_was_said_to_another_screen_is_not_taken(book, own_data):
    lines = through_json(book, {"say": "the shot runs too fast", "to": 1}, {"say": "1", "to": 1},
                         {"say": "1", "to": 2}, "save")
    assert [line.get("number") for line in lines[:4]] == [1, 2, None, 3]
    assert "another screen; this is screen 2" in lines[2]["error"]
    assert lines[3]["screen"]["kind"] == "besides"
