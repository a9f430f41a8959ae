"""The mailbag as a whole: replies, hazards first, going on after a stop, bad input."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.cli import main
from diagnose.mail import matters, pile
from diagnose.mail.reading import Read
from diagnose.mail.reply import reply as reply_to
from diagnose.present import stopping
from diagnose.reading.complaint import Understood
from diagnose.reason.system import System
from tests.mail.bags import worked

BAG = """\
18 in, 40 out in 19 sec, sour

My milk foam is dry and stiff.

The machine gives me a shock when I touch the metal.

Der Kaffee schmeckt sauer und die Maschine ist laut

xyzzy qwrtp plugh
"""


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag worked through once, read-only for the tests."""
    return worked(tmp_path_factory.mktemp("bag"), "bag.txt", BAG)


def reply(done: Path, number: int) -> str:
    return next(done.glob(f"*bag-0000{number}.md")).read_text(encoding="utf-8")


def records(folder: Path) -> list[dict[str, Any]]:
    head, *noted = (folder / pile.JOURNAL).read_text(encoding="utf-8").splitlines()
    assert json.loads(head).keys() == {pile.PILE}
    return [json.loads(line) for line in noted]


def test_every_letter_has_one_reply_and_nothing_is_half_written(done: Path) -> None:
    assert len(list(done.glob("*bag-*.md"))) == 5
    assert not list(done.glob(".*"))


def test_a_hazard_is_on_top_of_the_pile_and_stops_everything(done: Path) -> None:
    first = sorted(done.glob("*bag-*.md"))[0]
    text = first.read_text(encoding="utf-8")
    assert "hazard-bag-00003" in first.name and text.startswith("Hello,\n\n> **Stop. Do not go on.**")
    assert "**DANGER: " in text and "What to try" not in text and "To hand over" in text
    assert records(done)[0]["kind"] == "hazard"
    summary = (done / "SUMMARY.md").read_text(encoding="utf-8")
    assert summary.index("| danger |") < summary.index("What people ask about most")


def test_a_reply_says_what_was_understood_what_it_is_and_what_to_try(done: Path) -> None:
    text = reply(done, 1)
    for part in ("18 g", "40 g", "19 s", "What it probably is", "What to try: ", "What you should see",
                 "What to tell me then", "1. "):
        assert part in text
    letter, notes = text.split("\n---\n")
    assert "%" in notes and "%" not in letter


def test_cautions_stand_above_the_steps(done: Path) -> None:
    for path in done.glob("4-remedy-*.md"):
        text = path.read_text(encoding="utf-8")
        steps = text.index("What you should see")
        before = text[text.index("## What to try") : steps]
        assert "> **" not in before[before.index("\n1. "):]


def test_three_questions_at_most(done: Path) -> None:
    texts = [p.read_text(encoding="utf-8") for p in done.glob("4-remedy-*.md")]
    asking = [text for text in texts if "## What to tell me then" in text]
    assert asking
    for text in asking:
        asked = text.split("## What to tell me then")[1].split("\n---")[0].split("\n## ")[0]
        assert 1 <= sum(line[:2] in ("1.", "2.", "3.", "4.") for line in asked.splitlines()) <= 3


def test_another_language_and_nonsense_are_not_placed(done: Path) -> None:
    assert "auf Englisch" in reply(done, 4) and "nothing in it about the coffee" in reply(done, 5)
    data = json.loads((done / "summary.json").read_text(encoding="utf-8"))
    assert {one["id"] for one in data["unplaced"]} == {"bag-00004"} and data["kinds"]["off"] == 1
    assert data["letters"] == 5 and sum(data["kinds"].values()) == 5


def test_run_again_nothing_is_redone_and_a_changed_letter_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = tmp_path / "bag.txt"
    bag.write_text("The coffee is sour.\n\nNo crema at all.\n", encoding="utf-8")
    command = ["mail", str(bag), "--jobs", "1", "--json"]
    assert main(command) == 0
    first = {p.name: p.stat().st_mtime_ns for p in (tmp_path / "bag-replies").glob("*bag-*.md")}
    assert main(command) == 0
    assert "2 were done before" in capsys.readouterr().err
    assert {p.name: p.stat().st_mtime_ns for p in (tmp_path / "bag-replies").glob("*bag-*.md")} == first
    bag.write_text("The coffee is sour.\n\nThe machine gives me electric shocks.\n", encoding="utf-8")
    assert main(command) == 0
    assert "1 were done before" in capsys.readouterr().err
    kinds = [r["kind"] for r in records(tmp_path / "bag-replies")]
    assert kinds[0] == "hazard" and len(list((tmp_path / "bag-replies").glob("*bag-*.md"))) == 2


def test_a_journal_cut_short_or_damaged_costs_only_what_it_lost(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = tmp_path / "bag.txt"
    bag.write_text("The coffee is sour.\n\nNo crema at all.\n", encoding="utf-8")
    assert main(["mail", str(bag), "--jobs", "1"]) == 0
    journal = tmp_path / "bag-replies" / pile.JOURNAL
    lines = journal.read_text(encoding="utf-8").splitlines()
    journal.write_text("\n".join(["[1]", "{}", '"x"', lines[1], lines[2][:40]]), encoding="utf-8")
    assert main(["mail", str(bag), "--jobs", "1"]) == 0
    assert "1 were done before" in capsys.readouterr().err
    assert len(records(tmp_path / "bag-replies")) == 2


def test_processes_come_to_the_same_replies_as_one(tmp_path: Path) -> None:
    bag = tmp_path / "bag.txt"
    bag.write_text("\n\n".join([BAG] * 2), encoding="utf-8")
    for jobs in ("1", "2"):
        assert main(["mail", str(bag), "--jobs", jobs, "--out", str(tmp_path / jobs)]) == 0
    one, two = (sorted((r["id"], r["kind"], r["cause"]) for r in records(tmp_path / j)) for j in "12")
    assert one == two and len(one) == 10


def test_a_killed_run_goes_on(tmp_path: Path) -> None:
    bag = tmp_path / "bag.txt"
    bag.write_text("\n\n".join(f"The coffee is sour, try {i}." for i in range(40)), encoding="utf-8")
    command = [sys.executable, "-m", "diagnose", "mail", str(bag), "--jobs", "1"]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    journal = tmp_path / "bag-replies" / pile.JOURNAL
    while running.poll() is None and not (
        journal.exists() and journal.read_text(encoding="utf-8").count("\n") >= 3
    ):
        pass
    running.kill()
    running.wait()
    again = subprocess.run(command, capture_output=True, text=True, check=True)
    assert "were done before" in again.stderr
    assert len(records(tmp_path / "bag-replies")) == 40
    assert len(list((tmp_path / "bag-replies").glob("*bag-*.md"))) == 40


@pytest.mark.parametrize(
    "args, said",
    [
        (["nowhere.txt"], "no such file"),
        (["{bag}", "--jobs", "-1"], "--jobs"),
        (["{bag}", "--house", "gone"], "gone"),
        (["{bag}", "--out", "{bag}/x"], ""),
    ],
)
def test_bad_use_is_one_clear_line(
    tmp_path: Path, args: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = tmp_path / "bag.txt"
    bag.write_text("sour", encoding="utf-8")
    assert main(["mail", *(a.format(bag=bag) for a in args)]) == 2
    error = capsys.readouterr().err
    assert said in error and error.startswith("diagnose: ") and error.count("\n") == 1


@pytest.mark.parametrize("named", [".", "./", "../pile", "inner/.."])
def test_a_folder_may_be_named_from_where_one_stands(
    tmp_path: Path, named: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "pile" / "inner").mkdir(parents=True)
    (tmp_path / "pile" / "one.txt").write_text("xyzzy qwrtp plugh", encoding="utf-8")
    monkeypatch.chdir(tmp_path / "pile")
    assert main(["mail", named, "--jobs", "1"]) == 0
    assert (tmp_path / "pile-replies" / "SUMMARY.md").exists()


def test_what_stands_beside_nothing_asks_for_a_folder(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mail", "/", "--jobs", "1"]) == 2
    assert "--out" in capsys.readouterr().err


def test_half_a_csv_is_said_and_the_rest_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a.csv").write_text('id,complaint\n1,"sour', encoding="utf-8")
    (tmp_path / "in" / "b.txt").write_text("No crema.", encoding="utf-8")
    assert main(["mail", str(tmp_path / "in"), "--jobs", "1"]) == 2
    assert "a.csv:2" in capsys.readouterr().err
    assert len(list((tmp_path / "in-replies").glob("*-b.md"))) == 1


def test_what_a_person_wrote_does_not_act_in_the_reply(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("# Sour coffee <script>x</script> ![p](http://x)", encoding="utf-8")
    assert main(["mail", str(tmp_path / "a.txt"), "--jobs", "1"]) == 0
    text = next((tmp_path / "a-replies").glob("*a-00001.md")).read_text(encoding="utf-8")
    assert "<script>" not in text and "![p]" not in text


@pytest.fixture(scope="module")
def mixed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Replies to letters of kinds of their own, by name."""
    folder = tmp_path_factory.mktemp("mixed")
    (folder / "in").mkdir()
    for name, said in {
        "two": "Shots take 50 seconds and drip, and the steam wand only spits water now.",
        "french": "Bonjour, le café coule trop vite depuis hier et il est très acide. Que faire ?",
        "thanks": "Thank you so much for the class at Lantern Lane, the croissants were lovely.",
        "mixed": "mixed descaler and bleach to clean the tank, smells awful now",
        "shock": "the machine gives me a shock when I touch the metal",
    }.items():
        (folder / "in" / f"{name}.txt").write_text(said, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAGNOSE_DATA", str(folder / "data"))
        assert main(["mail", str(folder / "in"), "--jobs", "1"]) == 0
    return {
        p.stem.rsplit("-", 1)[1]: p.read_text(encoding="utf-8")
        for p in (folder / "in-replies").glob("?-*.md")
    }


def test_a_complaint_the_first_cause_does_not_explain_is_a_matter_of_its_own() -> None:
    book = load().book
    slow = next(n for n, s in book.symptoms.items() if s.name == "the shot runs too slowly")
    wet = next(n for n, s in book.symptoms.items() if s.name == "the steam is wet and spits water")
    case = Case(System(book))
    case.complain("slow, and the steam is wet", (slow, wet), read=True)
    option = case.options[0]
    read = Read("slow, and the steam is wet", Understood((slow, wet), {}), case, "remedy", option=option)
    (found,) = matters.left_over(read)
    first = book.causes[case.ranked[0].cause]
    assert found.symptom in (slow, wet) and found.symptom not in first.shows
    assert found.symptom in book.causes[found.cause].shows
    assert found.remedy in {r.remedy for r in book.causes[found.cause].remedies}
    said = reply_to(read, "a.txt", case.today).markdown
    assert book.symptoms[found.symptom].name in said.split("## And the other matter")[1]
    assert book.remedies[found.remedy].name in said


def test_a_letter_that_is_not_about_coffee_gets_one_line_and_no_list(mixed: dict[str, str]) -> None:
    letter = mixed["thanks"].split("\n---\n")[0].strip()
    assert letter.count("\n\n") == 1 and "nothing in it about the coffee" in letter
    assert "\n- " not in letter and "The maker" not in letter


def test_a_letter_in_another_language_gets_one_line_in_it(mixed: dict[str, str]) -> None:
    letter = mixed["french"].split("\n---\n")[0].strip()
    assert letter.count("\n\n") == 1 and "merci d'écrire de nouveau en anglais" in letter
    assert "diagnose" not in letter and "\n- " not in letter


def test_a_caution_stands_once_in_a_reply(mixed: dict[str, str]) -> None:
    for name, text in mixed.items():
        cautions = [line for line in text.splitlines() if line.startswith("> **")]
        assert len(cautions) == len(set(cautions))
        advised = name not in ("french", "thanks")
        assert text.count("The maker's instructions") + text.count(stopping.HELP_FIRST) == advised


def test_a_hazard_to_people_is_not_handed_to_a_technician(mixed: dict[str, str]) -> None:
    assert stopping.TITLE in mixed["mixed"] and "To hand over" not in mixed["mixed"]
    assert "To hand over" in mixed["shock"] and "### Cautions" not in mixed["shock"]


def test_an_unlikely_fix_is_called_a_first_try(done: Path) -> None:
    unlikely = {r["file"]: r["asks_first"] for r in records(done) if r["kind"] == "remedy"}
    assert unlikely
    for name, asks_first in unlikely.items():
        text = (done / name).read_text(encoding="utf-8")
        assert ("a first try and no more" in text) == asks_first


def test_what_the_words_could_mean_is_offered_with_what_it_comes_to() -> None:
    book = load().book
    wet = next(n for n, s in book.symptoms.items() if s.name == "the steam is wet and spits water")
    case = Case(System(book))
    case.complain("something with the steam", (), read=True)
    text = reply_to(
        Read("something with the steam", Understood((), {}, maybe=(wet,)), case, "unplaced"), "a", case.today
    ).markdown
    found = matters.by_itself(Read("", Understood((), {}), case, "unplaced"), wet)
    assert "Is it one of these?" in text and book.causes[found.cause].name in text
    assert book.remedies[found.remedy].name in text


def test_a_house_file_left_out_is_named_in_the_summary(tmp_path: Path) -> None:
    (tmp_path / "house").mkdir()
    (tmp_path / "house" / "bad.yaml").write_text("schema: 1\nchapter: house\n", encoding="utf-8")
    (tmp_path / "a.txt").write_text("The coffee is sour.", encoding="utf-8")
    assert main(["mail", str(tmp_path / "a.txt"), "--jobs", "1", "--house", str(tmp_path / "house")]) == 0
    summary = (tmp_path / "a-replies" / "SUMMARY.md").read_text(encoding="utf-8")
    assert "bad.yaml" in summary and "house file, left out" in summary


QUESTIONS = """\
Can I freeze coffee beans, and can I leave the machine on all day?

My shot gushes out in 12 seconds. Is it the grinder or me?

The machine gives me a shock when I touch the metal. Can I go on using it until the repair on Friday?

Can I freeze coffee beans?
"""


@pytest.fixture(scope="module")
def answered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag of questions worked through once, read-only for the tests."""
    folder = tmp_path_factory.mktemp("asked")
    (folder / "bag.txt").write_text(QUESTIONS, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAGNOSE_DATA", str(folder / "data"))
        assert main(["mail", str(folder / "bag.txt"), "--jobs", "1"]) == 0
    return folder / "bag-replies"


def test_questions_are_answered_in_the_order_asked_and_nothing_else_is_said(answered: Path) -> None:
    said = reply(answered, 1)
    assert said.startswith("Hello,\n\nYou asked: Can I freeze")
    assert said.index("You asked: Can I freeze") < said.index("You asked: Can I leave the machine on all day")
    assert "STOP" not in said and "probably is" not in said and "%" not in said


def test_the_answer_comes_first_then_the_fault(answered: Path) -> None:
    said = reply(answered, 2)
    assert said.index("You asked: Is it the grinder") < said.index("## What it probably is")
    assert "%" not in said[:said.index("## What it probably is")]


def test_before_a_hazard_no_question_is_answered(answered: Path) -> None:
    said = reply(answered, 3)
    assert said.index(stopping.TITLE) < said.index("**DANGER: ") < said.index("No, leave it off.")


def test_the_summary_counts_the_questions_asked(answered: Path) -> None:
    page = (answered / "SUMMARY.md").read_text(encoding="utf-8")
    assert "- Can I freeze coffee beans?: 2 letters" in page and "2 with a question alone, answered" in page
    data = json.loads((answered / "summary.json").read_text(encoding="utf-8"))
    assert data["questions"][0] == {"practice": "beans_freeze", "name": "Can I freeze coffee beans?",
                                    "letters": 2}
    assert data["kinds"]["answer"] == 2
