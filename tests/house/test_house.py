"""House rules end to end: guided or by flags, tried on cases before they count, kept or dropped."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from diagnose import cli
from diagnose.book.model import KINDS
from diagnose.book.with_house import load
from diagnose.house.make import apart
from diagnose.house.write import Addition
from diagnose.storage import paths
from tests.book.small import folder
from tests.house.conftest import CASES

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a command with lines as its input; status, output and errors come back."""

    def one(*arguments: str, lines: str = "") -> tuple[int, str, str]:
        monkeypatch.setattr("sys.stdin", io.StringIO(lines))
        status = cli.main(["house", *map(str, arguments)])
        caught = capsys.readouterr()
        return status, caught.out, caught.err

    return one


def _kept() -> dict[str, str]:
    return {p.name: p.read_text() for p in sorted(paths.house().glob("*.yaml"))} if (
        paths.house().is_dir()) else {}


TARGET = ("add", "--target", "shot_time", "--low", "24", "--high", "30", "--yes")


def test_a_target_by_flags(run: Run) -> None:
    status, out, err = run(*TARGET)
    assert (status, err) == (0, "")
    target = load().book.targets["shot_time"]
    assert (target.low, target.value, target.high) == (24, 29, 30)
    assert "gushes after a new bag" in out and "1 of 2 sample cases now gets another first advice:" in out
    assert "the grind is too coarse:" in out


def test_a_target_moved_twice_stands_once_and_the_old_one_as_a_comment(run: Run) -> None:
    run(*TARGET)
    assert run("add", "--target", "shot_time", "--low", "20 s", "--high", "0:24", "--yes")[0] == 0
    target = load().book.targets["shot_time"]
    assert (target.low, target.value, target.high) == (20, 22, 24)
    assert "# retired: another stands for it below" in _kept()["targets.yaml"]


@pytest.mark.parametrize(("flags", "words"), [
    (("--target", "teapot", "--low", "3"), "no target 'teapot'; they are shot_time"),
    (("--target", "shot_time"), "give `--low`"),
    (("--target", "shot_time", "--low", "long"), "long"),
    (("--target", "shot_time", "--low", "nan"), "nan"),
    (("--target", "shot_time", "--low", "1e400"), "1e400"),
    (("--target", "shot_time", "--low", "30 g"), "30 g"),
    (("--target", "shot_time", "--low", "40", "--high", "20"), "is above high"),
    (("--target", "shot_time", "--value", "40"), "lies outside its window"),
    (("--when", "fresh"), "not NAME=VALUE"),
    (("--when", "frsh=yes", "--weigh", "too_old=slight for"), "did you mean 'fresh'"),
    (("--when", "fresh=maybe", "--weigh", "too_old=slight for"), "no value 'maybe'"),
    (("--when", "fresh=yes"), "a rule does something"),
    (("--when", "fresh=yes", "--weigh", "too_ol=slight for"), "did you mean 'too_old'"),
    (("--when", "fresh=yes", "--weigh", "too_old=a bit"), "is not one of slight for"),
    (("--when", "fresh=yes", "--caution", "hott"), "did you mean 'hot'"),
    (("--when", "fresh=yes", "--then", "flow=quick"), "value of flow, 'quick'"),
    (("--target", "shot_time", "--low", "3", "--house", "gone"), "no house folder 'gone'"),
])
def test_what_can_t_be_added_is_one_clear_line(run: Run, flags: tuple[str, ...], words: str) -> None:
    status, _, err = run("add", *flags, "--yes")
    assert status == 2 and words in err and err.count("\n") == 1 and not _kept()


def test_a_rule_by_flags(run: Run) -> None:
    status, out, _ = run("add", "--name", "Fast on Mondays", "--when", "shot_time=< 26 s", "--when",
                         "last_change=beans", "--weigh", "too_old=very strong for", "--why", "We know.",
                         "--yes")
    rule = load().book.rules["fast_on_mondays"]
    assert status == 0 and rule.weigh == {"too_old": "very strong for"} and rule.note == "We know."
    assert "the beans are too old:" in out


CLOGGED = ("the chute is clogged", "Old grounds cake in it.", "runs too slowly", "too_slow", "",
           "opened this week no", "fresh = no", "", "it says much", "seldom")
GUIDED: tuple[tuple[str, str, tuple[str, ...], str, str], ...] = (
    # what, the subject, the lines typed, the kind and the id of what comes of it
    ("a weight on a cause", "rule", ("bag opened this week", "2", "changed the beans", "1", "", "less likely",
                                     "old beans", "1", "it says much", "we roast", "yes"),
     "rules", "when_fresh_yes_and_last_change_beans"),
    ("a finding", "rule", ("changed the grind", "1", "", "counts as", "ran fast", "1", "", "yes"),
     "rules", "when_last_change_grind"),
    ("a caution of the book", "rule", ("smells of coffee", "smell = fine", "", "a warning", "hot", "", "yes"),
     "rules", "when_smell_fine"),
    ("a note", "rule", ("ratio", "< 1.5", "", "note", "Our cups are small", "Use the big ones", "", "yes"),
     "cautions", "our_cups_are_small"),
    ("a target", "target", ("how long a shot runs", "1", "20", "30 s", "", "27", "30 s", "yes"), "targets",
     "shot_time"),
    ("a caution", "caution", ("The tray is hot", "Hold the grip", "WARNING", "changed the grind", "1", "",
                              "yes", "It is cold", "", "yes"), "cautions", "the_tray_is_hot"),
    ("a question", "question", ("Is the hopper full?", "yes or no", "0.5", "no", "old beans", "1", "for",
                                "a hint", "", "yes"), "observations", "is_the_hopper_full"),
    ("a question with answers", "question", (
        "Which beans?", "choice", "the dark ones", "the light ones", "", "0.2", "2", "too_coarse", "for",
        "substantial", "", "yes"), "observations", "which_beans"),
    ("another answer", "answer", ("leave_on", "Yes, in this house.", "", "yes"), "practice", "leave_on"),
    ("a new answer", "answer", ("", "Which cup?", "The blue one.", "Take it.", "yes"), "practice",
     "which_cup"),
    ("a cause", "cause", (*CLOGGED, "grind coarser", "1", "1", "yes"), "causes", "the_chute_is_clogged"),
    ("a cause with a fix of its own", "cause", (
        *CLOGGED, "Brush the chute", "own", "Unplug it.", "Brush it.", "", "", "yes"),
     "causes", "the_chute_is_clogged"),
)


@pytest.mark.parametrize(("subject", "lines", "kind", "name"), [row[1:] for row in GUIDED],
                         ids=[row[0] for row in GUIDED])
def test_guided_over_plain_lines(run: Run, subject: str, lines: tuple[str, ...], kind: str, name: str
                                 ) -> None:
    status, out, err = run("add", subject, lines="".join(f"{line}\n" for line in lines))
    assert (status, err) == (0, ""), out
    loaded = load()
    assert not loaded.broken and name in getattr(loaded.book, kind)
    assert loaded.book.house(kind, name) and getattr(loaded.book, kind)[name].source == "house"


def test_an_answer_of_the_house_keeps_the_book_s_cautions(run: Run) -> None:
    status, out, _ = run("add", "--answer", "leave_on", "--says", "Yes, here.", "--yes")
    stated = load().book.practice["leave_on"]
    assert status == 0 and "All 2 sample cases come out as before." in out
    assert (stated.answer, stated.now, stated.cautions) == ("Yes, here.", "Switch it off.", ("hot",))


@pytest.mark.parametrize(("arguments", "words"), [
    (("leave_om", "--says", "No."), "leave_on"), (("Which cup?", "--says", "This."), "--now"),
    (("leave_on", "--says", "A. B. C. D."), "3 sentences")])
def test_an_answer_that_can_t_be_is_refused(run: Run, arguments: tuple[str, ...], words: str) -> None:
    status, _, err = run("add", "--answer", *arguments, "--yes")
    assert status == 2 and words in err and not _kept()


def test_the_subject_can_be_chosen(run: Run) -> None:
    assert run("add", lines="a number you aim for\nshot_time\n25\n\n\nyes\n")[0] == 0
    assert load().book.targets["shot_time"].low == 25


def test_a_wrong_answer_is_asked_again(run: Run) -> None:
    status, out, _ = run("add", "target", lines="shot_time\nlong\n25\n\n\nperhaps\nno\n")
    assert status == 0 and "Please answer yes or no" in out and not _kept()


@pytest.mark.parametrize("count", range(0, 12, 2))
def test_lines_that_end_too_soon_change_nothing(run: Run, count: int) -> None:
    lines = GUIDED[0][2][:count]
    status, _, err = run("add", "rule", lines="".join(f"{line}\n" for line in lines))
    assert status == 2 and "nothing was changed" in err and not _kept()
    assert ("--resume" in err) is (count > 0)


def test_dropped_at_the_end_changes_nothing(run: Run) -> None:
    status, out, _ = run(*TARGET[:-1], lines="no\n")
    assert status == 0 and "nothing was changed" in out and not _kept()


def test_no_answer_to_an_option_s_change_changes_nothing(run: Run) -> None:
    status, _, err = run(*TARGET[:-1])
    assert status == 2 and "ended before all was asked; nothing was changed\n" in err and not _kept()


def test_what_is_kept_leaves_comments_alone(run: Run) -> None:
    own = "# ours\nschema: 1\nchapter: house\ntitle: Ours\ntargets:\n  # none yet but this\n" \
          "  own: {label: own, unit: g, value: 1, source: house}  # a gram\n"
    folder(paths.house().parent, "house", targets=own)
    assert run(*TARGET)[0] == 0
    assert _kept()["targets.yaml"].startswith(own)


def test_a_case_of_the_house_is_tried_too(run: Run) -> None:
    folder(paths.house(), "cases", own=CASES.replace("gushes after", "ours, gushes after"))
    assert "ours, gushes after a new bag" in run(*TARGET)[1]


def test_a_case_that_cannot_be_read_is_named(run: Run) -> None:
    folder(paths.house(), "cases", bad="complaint: [\n")
    status, _, err = run(*TARGET)
    assert status == 0 and "left out:" in err and "bad.yaml" in err


def test_a_broken_file_is_named_and_not_written_to(run: Run) -> None:
    folder(paths.house().parent, "house", targets="schema: 1\nchapter: [\n", rules="schema: 1\n")
    status, _, err = run(*TARGET)
    assert status == 2 and "mend it first" in err and "left out" in err
    assert _kept()["targets.yaml"] == "schema: 1\nchapter: [\n"


def test_what_unhooks_a_danger_is_refused_and_explained(run: Run) -> None:
    status, _, err = run("retire", "hazard", "--reason", "never", "--yes")
    assert status == 2 and "refused" in err and "the DANGER fire rests on it" in err and not _kept()


def test_a_shipped_entry_is_retired_and_comes_back(run: Run) -> None:
    assert run("retire", "too_old", "--reason", "we buy fresh", "--yes")[0] == 0
    assert "too_old" not in load().book.causes
    status, out, _ = run("list")
    assert status == 0 and "retires causes too_old" in out


def test_an_entry_of_the_house_is_retired_into_a_comment(run: Run) -> None:
    run(*TARGET)
    assert run("retire", "shot_time", "--kind", "target", "--yes", lines="as shipped is fine\n")[0] == 0
    assert load().book.targets["shot_time"].low == 26
    assert "# retired: as shipped is fine" in _kept()["targets.yaml"]


def test_list_and_show(run: Run) -> None:
    assert "no rules of its own" in run("list")[1]
    run(*TARGET)
    (row,) = [json.loads(line) for line in run("list", "--json")[1].splitlines()]
    assert (row["does"], row["kind"], row["id"]) == ("replaces", "targets", "shot_time")
    assert row["place"].endswith("targets.yaml:6:3")
    page = run("show", "shot_time", "--kind", "targets")[1]
    assert "low: 24 s" in page and "house house" in page
    assert run("show", "shot_tim")[2].startswith("diagnose: no entry 'shot_tim'; did you mean 'shot_time'")


def test_effect_of_all_rules(run: Run) -> None:
    assert "no rules of its own" in run("effect")[1]
    run(*TARGET)
    out = run("effect")[1]
    assert "1 of 2 sample cases" in out and "the grind is too coarse:" in out


def test_check(run: Run, tmp_path: Path) -> None:
    assert run("check")[0] == 0
    run(*TARGET)
    status, out, _ = run("check")
    assert status == 0 and "The house is sound" in out
    rules = ("schema: 1\nchapter: house\ntitle: Ours\nremedies:\n  idle: {name: Idle, steps: [Brush the "
             "burrs.], minutes: 1, should: It helps., source: house}\n")
    other = folder(tmp_path, "other", rules=rules)
    status, out, _ = run("check", str(paths.house()), str(other))
    assert status == 1 and "remedy_unused" in out and "hazard_uncautioned" in out and "rules.yaml:5" in out
    data = [json.loads(line) for line in run("check", str(other), "--json")[1].splitlines()]
    assert {d["check"] for d in data} >= {"remedy_unused"}


def test_check_tells_what_a_house_breaks_elsewhere(run: Run) -> None:
    rules = ("schema: 1\nchapter: house\ntitle: Ours\nretires:\n"
             "  - {kind: causes, id: too_old, reason: we buy fresh}\n")
    folder(paths.house().parent, "house", retired=rules)
    status, out, _ = run("check")
    assert status == 0 and "advice: question_unneeded" in out and "look_alikes_few" in out
    assert run("check", "--strict")[0] == 1


@pytest.mark.parametrize(("text", "words"), [("", "is empty"), ("schema: 1\n", "is missing")])
def test_check_tells_broken_files(run: Run, tmp_path: Path, text: str, words: str) -> None:
    status, out, _ = run("check", str(folder(tmp_path, "bad", bad=text)))
    assert status == 1 and words in out and "bad.yaml:1" in out


def test_check_of_no_folder(run: Run, tmp_path: Path) -> None:
    status, out, _ = run("check", str(tmp_path / "gone"))
    assert status == 1 and "no such folder" in out


def test_the_last_of_two_houses_is_written_to(run: Run, tmp_path: Path) -> None:
    one, two = folder(tmp_path, "one"), folder(tmp_path, "two")
    run(*TARGET, "--house", one)
    assert run("add", "--target", "shot_time", "--low", "21", "--yes", "--house", one, "--house", two)[0] == 0
    assert load([str(one), str(two)]).book.targets["shot_time"].low == 21
    assert load([str(one)]).book.targets["shot_time"].low == 24
    assert (two / "targets.yaml").exists()


def test_a_lost_warning_comes_first_and_is_named(run: Run, shipped: Path, tmp_path: Path) -> None:
    from diagnose.house import cases, effect, told
    from tests.book.small import SMALL, book_of, changed

    tried, _ = cases.all_cases([])
    without: Any = changed("cautions/fire/when", {"smell": "fine"})
    found = effect.compare(book_of(SMALL), book_of(without), tried)
    assert found.differences[0].lost == ("fire",)
    assert "DANGER no longer shown: fire" in "\n".join(told.told(found))


def test_nothing_changes_between_a_book_and_itself(run: Run) -> None:
    from diagnose.house import cases, effect
    from tests.book.small import SMALL, book_of

    tried, unread = cases.all_cases([])
    found = effect.compare(book_of(SMALL), book_of(SMALL), tried)
    assert not unread and not found.differences and (found.cases, found.touched) == (2, 0)


class Meanwhile(io.StringIO):
    """Lines typed; while the last of them is waited for, something else happens."""

    def __init__(self, lines: str, happens: Callable[[], object]) -> None:
        super().__init__(lines)
        self.left, self.happens = lines.count("\n"), happens

    def readline(self, size: int | None = -1, /) -> str:
        self.left -= 1
        if self.left == 1:
            self.happens()
        return super().readline(size)


NOTE = "fresh = yes\n\nnote\nOur cups are small\nUse the big ones\n\nyes\nyes\n"


def test_two_added_at_once_are_both_kept(run: Run, monkeypatch: pytest.MonkeyPatch,
                                         capsys: pytest.CaptureFixture[str]) -> None:
    def another() -> None:
        monkeypatch.setattr("sys.stdin", io.StringIO(NOTE.replace("fresh = yes", "smell = fine")))
        assert cli.main(["house", "add", "rule"]) == 0

    monkeypatch.setattr("sys.stdin", Meanwhile(NOTE, another))
    assert cli.main(["house", "add", "rule"]) == 0
    assert "were changed meanwhile, so this is tried on them anew" in capsys.readouterr().out
    cautions = load().book.cautions
    assert {"our_cups_are_small", "our_cups_are_small_2"} <= cautions.keys()


def test_a_question_and_its_rule_keep_to_each_other_under_another_name() -> None:
    book = load().book
    question = Addition("observations", "is_it_full", {"ask": "Is it full?"})
    rule = Addition("rules", "is_it_full_tells", {"when": {"is_it_full": "no"}})
    later = SimpleNamespace(**{kind: getattr(book, kind) for kind in KINDS})
    later.observations = {**book.observations, "is_it_full": None}
    moved = apart(later, book, [question, rule])  # type: ignore[arg-type]  # enough of a book
    assert [a.id for a in moved] == ["is_it_full_2", "is_it_full_tells"]
    assert moved[1].data["when"] == {"is_it_full_2": "no"}
    assert apart(book, book, [question, rule]) == [question, rule]


@pytest.mark.parametrize("words", [("add", "rule"), ("retire", "first", "--reason", "not here")])
def test_an_edit_by_hand_meanwhile_is_kept(run: Run, monkeypatch: pytest.MonkeyPatch,
                                           words: tuple[str, ...]) -> None:
    run("add", "--name", "first", "--when", "fresh=yes", "--weigh", "too_old=slight for", "--yes")
    path = paths.house() / "rules.yaml"

    def edited() -> None:
        path.write_text(path.read_text() + "# by hand\n")

    monkeypatch.setattr("sys.stdin", Meanwhile((NOTE if words[0] == "add" else "yes\nyes\n"), edited))
    assert cli.main(["house", *words]) == 0
    assert "# by hand" in path.read_text()
    assert ("Our cups" if words[0] == "add" else "# retired: not here") in str(_kept())
