"""`diagnose book`: check, list, show and schema."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from diagnose import cli
from diagnose.book.model import KINDS
from diagnose.book.pages import pages
from diagnose.book.pages.wording import said
from diagnose.storage import paths
from tests.book.small import COMMON, SMALL, book_of, changed, dumped, folder
from tests.book.test_guard_use import BASE

Run = Callable[..., tuple[int, str, str]]
DATA = changed("rules/old_too", {"when": {"last_change": ["beans", "grind"], "unknown": "fresh"},
                                 "weigh": {"too_old": "slight for"}, "source": COMMON})


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs `diagnose book` over the small book."""
    place = folder(tmp_path, "shipped", small=dumped(DATA))
    monkeypatch.setattr(paths, "shipped", lambda: place)

    def one(*arguments: str) -> tuple[int, str, str]:
        status = cli.main(["book", *arguments])
        caught = capsys.readouterr()
        return status, caught.out, caught.err

    return one


def test_check_counts_and_fails(run: Run, tmp_path: Path) -> None:
    folder(tmp_path, "shipped", small=dumped(SMALL))
    assert run("check") == (0, "The book is sound: no errors, no pieces of advice, "
                               "no issues let pass with a reason.\n", "")
    folder(tmp_path, "shipped", small=dumped(changed("targets/idle", SMALL["targets"]["shot_time"])))
    assert [run("check")[0], run("check", "--strict")[0]] == [0, 1]
    folder(tmp_path, "shipped", small=dumped(changed("causes/too_old/shows", {})))
    assert run("check")[0] == 1
    folder(tmp_path, "shipped", small=dumped(SMALL))
    folder(tmp_path / "shipped", "cases", one="{title: one, complaint: it gushes, answers: {gone: 1}}")
    status, out, _ = run("check")
    assert status == 1 and out.startswith("cases/one.yaml:1:46: error: case_fits: one: no observation 'gone'")
    (tmp_path / "shipped" / "cases" / "one.yaml").unlink()
    folder(tmp_path, "shipped", small="schema: [\n")
    status, out, _ = run("check")
    assert status == 1 and out.startswith("small.yaml:2:1: is not readable")
    status, _, err = run("list")
    assert status == 2 and err.count("\n") == 1 and "diagnose book check" in err


def test_list_names_every_entry(run: Run) -> None:
    out = run("list")[1]
    assert all(f"{name}" in out for kind in KINDS for name in DATA[kind])
    rows = [json.loads(line) for line in run("list", "causes", "--json")[1].splitlines()]
    assert [r["id"] for r in rows] == list(SMALL["causes"]) and rows[0]["title"] == "the grind is too coarse"
    assert run("list", "cause")[1] == run("list", "causes")[1]
    assert "did you mean 'remedies'" in run("list", "remedis")[2]


def test_the_list_of_hazards_says_of_each_what_it_does_and_how_often_it_is_told(
        run: Run, tmp_path: Path) -> None:
    data = changed("hazards/fire/first_aid", "Cool the burn. " * 9, BASE)
    data["hazards"]["tingle"] = BASE["hazards"]["fire"] | {
        "signal": "WARNING", "caution": "hot", "stop": "no", "use": "yes, but dry"}
    place = folder(tmp_path, "shipped", small=dumped(data))
    folder(place, "phrases", ways="hazard:fire: [it burns, smoke]\nhazard:fire answer:gone=yes: [flames]\n"
                                  "hazard:any: [help]\n")
    status, out, _ = run("list", "hazards")
    fire, _, tingle = out.partition("  tingle:")
    assert status == 0 and out.startswith("hazards (2):\n  fire: it burns\n")
    for words in ("DANGER: stops the consult. Ways to tell it: 3.", "First: Go out.", "First aid: Cool",
                  "May one go on using it? No, until it is out."):
        assert words in fire, words
    assert "WARNING: warns and goes on. Ways to tell it: 0." in tingle and "First aid" not in tingle
    assert "Yes, but dry." in tingle
    assert max(map(len, out.splitlines())) <= 78 and "\x1b" not in out
    rows = [json.loads(line) for line in run("list", "hazard", "--json")[1].splitlines()]
    assert [(r["id"], r["kind"], r["stops"], r["ways"]) for r in rows] == [
        ("fire", "hazards", True, 3), ("tingle", "hazards", False, 0)]
    assert "  fire: it burns\n  tingle: it burns\n" in run("list")[1]


@pytest.mark.parametrize(("kind", "name"), [(k, n) for k in KINDS for n in DATA[k]])
def test_every_entry_has_a_page(run: Run, kind: str, name: str) -> None:
    status, out, _ = run("show", name, "--kind", kind)
    assert status == 0 and f"[{name}]" in out and "Where it comes from" in out
    assert f"small.yaml:{book_of(DATA).place(kind, name).line}:" in out
    assert max(map(len, out.splitlines())) <= 78


def test_the_page_of_a_cause_tells_what_a_person_needs(run: Run) -> None:
    out = " ".join(run("show", "too_old")[1].split())
    for words in ("Old beans hold nothing back.", "the shot runs too fast (sometimes)",
                  'strong for: "Was the bag opened this week?" no; '
                  "where that is known not to be so, strong against",
                  "slight for (rule old_too):", "the grind is too coarse: Fresh beans too. Ask: Was the bag",
                  "Buy beans (usually cures; anyone) [new_beans]", "Try a new bag.", f"Source: {COMMON}"):
        assert words in out, words


def test_a_name_of_two_kinds_shows_both(run: Run) -> None:
    out = run("show", "shot_time")[1]
    assert "shot time  [shot_time]" in out and "How long did the shot take?  [shot_time]" in out
    assert len(run("show", "shot_time", "--json")[1].splitlines()) == 2


def test_a_miss_names_the_nearest(run: Run) -> None:
    status, _, err = run("show", "to_old")
    assert status == 2 and err == "diagnose: no entry 'to_old'; did you mean 'too_old'?\n"


def test_schema_is_json(run: Run) -> None:
    assert "$defs" in json.loads(run("schema")[1])


@pytest.mark.parametrize(("data", "words"), [
    ({"shot_time": "< 20 s"}, '"How long did the shot take?" is under 20 s'),
    ({"shot_time": "between 20 s and target.shot_time.low"},
     '"How long did the shot take?" is from 20 s to the low end of the target shot time'),
    ({"last_change": ["beans", "grind"]}, '"What was changed last?" the beans or the grind'),
    ({"flow": ["fast", "slow"], "fresh": "yes"},
     '(it ran fast or it ran slowly) and "Was the bag opened this week?" yes'),
    ({"none": [{"flow": "fast"}]}, "not (it ran fast)"),
    ({"unknown": "ratio"}, "brew ratio is not known"),
    ({"known": "fresh"}, '"Was the bag opened this week?" is known'),
    ({"any": [{"flow": "fast"}, {"flow": "slow", "known": "ratio"}]},
     "it ran fast or (it ran slowly and brew ratio is known)"),
])
def test_conditions_in_words(data: dict, words: str) -> None:
    from diagnose.book import conditions

    assert said(book_of(SMALL), conditions.read(data)) == words


def test_every_shipped_entry_has_a_page() -> None:
    from diagnose.book.assemble import build_book
    from diagnose.book.yaml import loader

    book = build_book(loader.load(paths.shipped()))
    for kind in KINDS:
        for name in getattr(book, kind):
            assert len(pages.page(book, kind, name)) > 3
