"""Strict reading: every kind of bad file, with the line told; what is kept, and the cache."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from diagnose.book.assemble import build_book
from diagnose.book.problems import KnowledgeError
from diagnose.book.with_house import load
from diagnose.book.yaml import loader
from diagnose.book.yaml.source import read_file, read_text
from diagnose.errors import UserError
from diagnose.storage import cache, paths
from tests.book.small import SMALL, changed, dumped, folder

HEAD = "schema: 1\nchapter: bad\ntitle: A bad file\n"
TARGET = HEAD + "targets:\n  dose:\n    label: dose\n    unit: g\n    source: house\n    value: {}\n"
ASKED = HEAD + "observations:\n  fresh:\n    ask: Fresh?\n    minutes: 1\n    kind: {}\n"

UNREADABLE: tuple[tuple[str, str, int, str], ...] = (
    # what, the file, the line told, words of the problem
    ("empty", "", 1, "is empty"),
    ("only a comment", "# nothing\n", 1, "is empty"),
    ("no map", "- a\n- b\n", 1, "must be a map"),
    ("a word", "espresso\n", 1, "must be a map"),
    ("not closed", HEAD + "targets: {dose: [1\n", 5, "not readable as YAML"),
    ("a tab", HEAD + "targets:\n\tdose: 1\n", 5, "not readable as YAML"),
    ("an alias", HEAD + "targets:\n  a: &x {label: aa, unit: g}\n  b: *x\n", 5, "anchors"),
    ("an anchor on a key", HEAD + "&x targets:\n  a: {label: aa, unit: g}\n", 4, "one plain word"),
    ("a tag", HEAD + "targets: !!python/object:os.system {}\n", 4, "tag"),
    ("two documents", HEAD + "---\nschema: 1\n", 4, "second document"),
    ("a list as a key", HEAD + "? [a, b]\n: c\n", 4, "one plain word"),
    ("5,000 brackets", "[" * 5_000 + "]" * 5_000, 1, "nest"),
    ("5,000 braces not closed", "{a: " * 5_000, 1, "nest"),
    ("a control sign", HEAD + "note: \x00\n", 4, "not readable"),
)

ILL_TYPED: tuple[tuple[str, str, int, str], ...] = (
    ("a key twice", HEAD + "title: Again\n", 4, "stands already in line 3"),
    ("a section twice", HEAD + "targets: {}\ntargets: {}\n", 5, "stands already in line 4"),
    ("an entry twice", HEAD + "targets:\n  dd: {label: dd, unit: g, value: 1}\n"
     "  dd: {label: dd, unit: g, value: 2}\n", 6, "stands already in line 5"),
    ("no schema", "chapter: bad\ntitle: Bad\n", 1, "'schema' is missing"),
    ("another schema", "schema: 9\nchapter: bad\ntitle: Bad\n", 1, "schema"),
    ("an unknown section", HEAD + "tragets: {}\n", 4, "did you mean 'targets'"),
    ("an unknown key", ASKED.format("yes_no\n    minuts: 2"), 9, "did you mean 'minutes'"),
    ("an unknown word", ASKED.format("yesno"), 8, "is not one of choice, yes_no, quantity, date"),
    ("a missing key", HEAD + "observations:\n  fresh:\n    ask: Fresh?\n    kind: yes_no\n", 5,
     "'minutes' is missing"),
    ("a section that is a list", HEAD + "targets: [a]\n", 4, "must map ids"),
    ("an entry that is a word", HEAD + "targets:\n  dose: 18 g\n", 5, "does not fit"),
    ("capital letters in an id", HEAD + "targets:\n  Dose: {label: dd, unit: g, value: 1}\n", 5,
     "can't be an id"),
    ("a reserved id", HEAD + "targets:\n  any: {label: dd, unit: g, value: 1}\n", 5, "can't be an id"),
    ("an id too long", HEAD + f"targets:\n  {'d' * 60}: {{label: dd, unit: g, value: 1}}\n", 5,
     "can't be an id"),
    ("a number in words", TARGET.format("eighteen"), 9, "is not a number"),
    ("a comma for a point", TARGET.format("18,5"), 9, "is not a number"),
    ("not a number", TARGET.format("nan"), 9, "not a finite number"),
    ("infinity", TARGET.format("inf"), 9, "not a finite number"),
    ("a number too large", TARGET.format("1e400"), 9, "finite"),
    ("minutes below zero", ASKED.format("yes_no").replace("minutes: 1", "minutes: -3"), 7, "minutes"),
    ("a text with a comma in braces", HEAD + "observations:\n  fresh: {ask: Fresh, or not?, kind: yes_no, "
     "minutes: 1}\n", 5, "needs quotes"),
)

UNFIT: tuple[tuple[str, str, object, str, str], ...] = (
    # what, where it is spoilt, with what, the text in whose line it is told, words of the problem
    ("a name nobody has", "causes/too_old/evidence/0/when", {"frish": "no"}, "frish", "mean 'fresh'"),
    ("a value nobody has", "causes/too_old/evidence/1/when", {"last_change": "bean"}, "last_change: bean\n",
     "did you mean 'beans'"),
    ("a word for a number", "causes/too_old/evidence/0/when", {"shot_time": "long"}, "shot_time: long",
     "is a number; compare it"),
    ("a number for a word", "causes/too_old/evidence/0/when", {"fresh": "< 3"}, "fresh: <",
     "is no number"),
    ("another unit", "causes/too_old/evidence/0/when", {"shot_time": "< 20 g"}, "shot_time: <", "20 g"),
    ("a target nobody has", "causes/too_old/evidence/0/when", {"shot_time": "< target.shottime"},
     "shot_time: <", "no target"),
    ("a date compared", "causes/too_old/evidence/0/when", {"roasted": "< 3 days"}, "roasted: <",
     "is a date"),
    ("an empty condition", "causes/too_old/evidence/0/when", {}, "when: {}", "a condition is a map"),
    ("an empty any", "causes/too_old/evidence/0/when", {"any": []}, "any: []", "takes a list"),
    ("known of nothing", "causes/too_old/evidence/0/when", {"known": []}, "known: []", "takes a name"),
    ("a symptom nobody has", "causes/too_old/shows", {"gone": "often"}, "gone:", "symptom 'gone'"),
    ("a remedy nobody has", "causes/too_old/remedies/0/remedy", "gone", "remedy: gone", "remedy 'gone'"),
    ("a cause nobody has", "causes/too_old/look_alikes/0/cause", "too_corse", "too_corse",
     "did you mean 'too_coarse'"),
    ("a caution nobody has", "remedies/finer/cautions", ["gone"], "finer:", "caution 'gone'"),
    ("a number nobody has", "remedies/finer/steps/0", "Grind to {gone}.", "finer:", "{gone}"),
    ("a measure without words", "remedies/finer/steps/0", "It was {ratio}.", "finer:", "default:"),
    ("an unknown function", "measures/ratio/compute", "shot.brew_rato", "ratio:\n", "shot.brew_ratio"),
    ("an unknown parameter", "measures/ratio/given", {"dose": "dose"}, "ratio:\n", "takes no 'dose'"),
    ("a measure of itself", "measures/ratio/given", {"dose_g": "ratio", "yield_g": "drink"}, "ratio:\n",
     "worked out from itself"),
    ("no remedy", "causes/too_old/remedies", [], "too_old:", "has no remedy"),
    ("one answer", "observations/smell/answers", {"fine": {"says": "fine"}}, "smell:\n", "two answers"),
    ("a range upside down", "observations/shot_time/range", [180, 1], "shot_time:\n    ask", "no range"),
    ("an unknown unit", "observations/shot_time/unit", "secs_", "shot_time:\n    ask", "unit 'secs_'"),
    ("shares over one", "observations/smell/answers", {"burning": {"says": "b!", "share": 0.8},
                                                       "fine": {"says": "f!", "share": 0.8}}, "smell:\n",
     "more than 1"),
    ("a name twice", "observations/flow", SMALL["observations"]["fresh"], "flow:\n    label",
     "already one of the observations"),
    ("a rule that does nothing", "rules/idle", {"when": {"fresh": "no"}}, "idle:", "does nothing"),
    ("a window upside down", "targets/shot_time/low", 40, "shot_time:\n    label", "not in order"),
    ("more alternatives than the engine takes", "causes/too_old/evidence/0/when", {"none": [
        {"fresh": "yes", "last_change": "beans", "smell": "fine"} for _ in range(7)]}, "none:\n",
     "more than 96"),
)


def _problems(path: Path) -> list:
    with pytest.raises(KnowledgeError) as caught:
        loader.load(path)
    return list(caught.value.problems)


@pytest.mark.parametrize(("text", "line", "words"), [row[1:] for row in (*UNREADABLE, *ILL_TYPED)],
                         ids=[row[0] for row in (*UNREADABLE, *ILL_TYPED)])
def test_a_bad_file_is_told_with_its_line(tmp_path: Path, text: str, line: int, words: str) -> None:
    (problem, *_) = found = _problems(folder(tmp_path, "bad", bad=text))
    assert words in problem.text, found
    assert (problem.place.file, problem.place.line) == ("bad.yaml", line), found
    assert "\n" not in str(problem) and len(str(problem)) < 400


@pytest.mark.parametrize(("path", "value", "at", "words"), [row[1:] for row in UNFIT],
                         ids=[row[0] for row in UNFIT])
def test_what_does_not_fit_is_told_with_its_line(tmp_path: Path, path: str, value: object, at: str,
                                                 words: str) -> None:
    text = dumped(changed(path, value))
    with pytest.raises(KnowledgeError) as caught:
        build_book(loader.load(folder(tmp_path, "unfit", small=text)))
    problems = [p for p in caught.value.problems if words in p.text]
    assert problems, caught.value.problems
    line = text[:text.rindex(at)].count("\n") + 1
    near = {p.place.line for p in problems}
    assert near & {line, line - 1}, (near, line)


def test_a_file_that_is_not_utf8(tmp_path: Path) -> None:
    place = folder(tmp_path, "bad")
    (place / "bad.yaml").write_bytes(HEAD.encode() + "note: crème\n".encode("latin-1"))
    assert "is not UTF-8 text (byte 49)" in _problems(place)[0].text


def test_a_binary_file(tmp_path: Path) -> None:
    place = folder(tmp_path, "bad")
    (place / "bad.yaml").write_bytes(bytes(range(256)) * 40)
    assert "UTF-8" in _problems(place)[0].text


def test_a_file_of_50_mb_is_refused_before_it_is_read(tmp_path: Path) -> None:
    place = folder(tmp_path, "bad")
    with (place / "bad.yaml").open("wb") as out:
        out.truncate(50_000_000)
    assert "larger than 4 MB" in _problems(place)[0].text


def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").mkdir()
    with pytest.raises(KnowledgeError, match="can't be read"):
        read_file(tmp_path / "bad.yaml")
    with pytest.raises(KnowledgeError, match="can't be read: No such file"):
        read_file(tmp_path / "gone.yaml")


def test_no_chapters(tmp_path: Path) -> None:
    assert "no chapters" in _problems(tmp_path)[0].text


def test_all_problems_of_all_files_come_in_one_pass(tmp_path: Path) -> None:
    place = folder(tmp_path, "bad", one=ASKED.format("maybe"), two="", three=TARGET.format("many"))
    assert {p.place.file for p in _problems(place)} == {"one.yaml", "two.yaml", "three.yaml"}


@pytest.mark.parametrize(("written", "read"), [("no", "no"), ("on", "on"), ("yes", "yes"), ("~", "~"),
                                               ("null", "null"), ("1:30", "1:30"), ("012", "012")])
def test_words_stay_words(written: str, read: str) -> None:
    assert read_text(f"a: {written}\n", "x").data == {"a": read}


@pytest.mark.parametrize(("written", "number"), [("012", 12.0), ("1e3", 1000.0), ("18", 18.0), ("0.5", 0.5),
                                                 ("'18'", 18.0)])
def test_numbers_are_decimal(tmp_path: Path, written: str, number: float) -> None:
    (chapter,) = loader.load(folder(tmp_path, "good", good=TARGET.format(written)))
    assert chapter.chapter.targets["dose"].value == number


def test_places_are_those_of_the_file(tmp_path: Path) -> None:
    text = dumped(SMALL)
    (chapter,) = loader.load(folder(tmp_path, "good", small=text))
    place = chapter.place("causes", "too_old", "evidence", "1", "when", "last_change")
    lines = text.splitlines()
    assert "when" in lines[place.line - 1] and place.column > 1
    assert "too_old:" in lines[chapter.place("causes", "too_old").line - 1]


# What is kept among the shipped files.

@pytest.fixture
def shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shipped book of this test's own."""
    place = folder(tmp_path, "shipped", small=dumped(SMALL))
    monkeypatch.setattr(paths, "shipped", lambda: place)
    return place


def _kept() -> list[Path]:
    return sorted(paths.made().glob("*.book"))


def test_what_was_read_once_comes_from_the_cache(shipped: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = loader.load(shipped)
    monkeypatch.setattr(loader, "read_file", lambda *_: pytest.fail("was read again"))
    assert loader.load(shipped) == first


def test_only_the_newest_of_a_kind_stay_in_the_cache(shipped: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MOST_KEPT", 3)
    cache.keep("other.lookup", b"")
    for i in range(6):
        cache.keep(f"{i}.book", b"x")
        os.utime(paths.made() / f"{i}.book", ns=(i, i))
    cache.keep("new.book", b"x")
    assert [p.stem for p in _kept()] == ["4", "5", "new"]
    assert (paths.made() / "other.lookup").exists()


def test_a_changed_file_is_read_again(tmp_path: Path, shipped: Path) -> None:
    loader.load(shipped)
    folder(tmp_path, "shipped", small=dumped(changed("title", "Another title")))
    assert loader.load(shipped)[0].chapter.title == "Another title"


def test_the_same_file_in_another_layer_is_told_apart(shipped: Path) -> None:
    assert [c.layer for layer in ("", "home") for c in loader.load(shipped, layer)] == ["", "home"]


@pytest.mark.parametrize("rot", [b"", b"\xc1", b"not a book", b"\x91\x90", b"\x00" * 1000,
                                 b"\xdd\xff\xff\xff\xff"])
def test_a_rotten_cache_is_read_anew(shipped: Path, rot: bytes) -> None:
    first = loader.load(shipped)
    (kept,) = _kept()
    kept.write_bytes(rot)
    assert loader.load(shipped) == first
    assert kept.read_bytes() != rot


def test_a_cut_cache_is_read_anew(shipped: Path) -> None:
    first = loader.load(shipped)
    (kept,) = _kept()
    whole = kept.read_bytes()
    for end in range(0, len(whole), max(1, len(whole) // 40)):
        kept.write_bytes(whole[:end])
        assert loader.load(shipped) == first


def test_a_file_with_problems_is_never_kept(tmp_path: Path, shipped: Path) -> None:
    place = folder(tmp_path, "shipped", small=ASKED.format("maybe"))
    for _ in range(2):
        _problems(place)
    assert not _kept()


def test_where_nothing_can_be_kept_it_is_read_every_time(shipped: Path) -> None:
    paths.made().write_text("a file where a folder should be")
    assert loader.load(shipped) == loader.load(shipped)


def test_a_house_is_read_every_time(tmp_path: Path, shipped: Path) -> None:
    home = folder(tmp_path, "home", ours=dumped(SMALL))
    assert loader.load(home, "home") and not _kept() and not paths.cache().exists()


# House files that are broken: the rest works, and they are named.

GOOD_HOUSE = HEAD + ("targets:\n  shot_time: {label: shot time, unit: s, value: 25, low: 22, high: 28, "
                     "source: house, replaces: 'yes'}\n")


@pytest.mark.parametrize("text", [row[1] for row in (*UNREADABLE, *ILL_TYPED)],
                         ids=[row[0] for row in (*UNREADABLE, *ILL_TYPED)])
def test_a_broken_house_file_is_left_out_and_named(tmp_path: Path, shipped: Path, text: str) -> None:
    home = folder(tmp_path, "home", broken=text, good=GOOD_HOUSE)
    loaded = load([str(home)])
    assert loaded.book.targets["shot_time"].low == 22
    assert {Path(p.place.file).name for p in loaded.broken} == {"broken.yaml"}


@pytest.mark.parametrize("rules", [
    "rules:\n  r: {when: {gone: 'yes'}, weigh: {too_old: slight for}, source: house}\n",
    "rules:\n  r: {when: {fresh: 'yes'}, weigh: {gone: slight for}, source: house}\n",
    "retires:\n  - {kind: observations, id: fresh, reason: not in this house}\n",
    "retires:\n  - {kind: remedies, id: finer, reason: not in this house}\n",
    "targets:\n  gone: {label: gone, unit: g, value: 1, source: house, replaces: 'yes'}\n",
    "targets:\n  shot_time: {label: shot time, unit: s, value: 1, source: house}\n",
    "retires:\n  - {kind: cautions, id: fire, reason: it never burns here}\n",
])
def test_a_house_file_that_does_not_fit_is_left_out_and_named(tmp_path: Path, shipped: Path,
                                                              rules: str) -> None:
    home = folder(tmp_path, "home", bad=HEAD + rules, good=GOOD_HOUSE)
    loaded = load([str(home)])
    assert loaded.book.targets["shot_time"].low == 22 and "finer" in loaded.book.remedies
    assert "fire" in loaded.book.cautions
    assert "bad.yaml" in {Path(p.place.file).name for p in loaded.broken}


def test_two_houses_are_laid_in_the_order_given(tmp_path: Path, shipped: Path) -> None:
    one = folder(tmp_path, "one", targets=GOOD_HOUSE)
    two = folder(tmp_path, "two", targets=GOOD_HOUSE.replace("low: 22", "low: 23"))
    assert load([str(one), str(two)]).book.targets["shot_time"].low == 23
    assert load([str(two), str(one)]).book.targets["shot_time"].low == 22


def test_a_house_that_is_not_there_is_an_error(tmp_path: Path, shipped: Path) -> None:
    with pytest.raises(UserError, match="no house folder"):
        load([str(tmp_path / "gone")])


def test_a_house_may_be_empty(tmp_path: Path, shipped: Path) -> None:
    assert not load([str(folder(tmp_path, "home"))]).broken


def test_a_house_file_closed_to_us_is_named(tmp_path: Path, shipped: Path,
                                            monkeypatch: pytest.MonkeyPatch) -> None:
    home = folder(tmp_path, "home", closed=GOOD_HOUSE)
    opened = Path.open

    def closed(path: Path, *how: Any, **more: Any) -> Any:
        if path.name == "closed.yaml":
            raise PermissionError(13, "Permission denied")
        return opened(path, *how, **more)

    monkeypatch.setattr(Path, "open", closed)
    assert "can't be read: Permission denied" in load([str(home)]).broken[0].text


def test_a_key_that_stands_in_a_wrong_place_is_not_said_to_be_meant(tmp_path: Path) -> None:
    home = folder(tmp_path, "home", a="schema: 1\nchapter: house\ntitle: Ours\nsays: x\n")
    said = load([str(home)]).broken[0].text
    assert said == "key 'says' has no place here; leave it out, or put it where it belongs"
