"""The guided way to a house's entries: named as people name them, back, left off and gone on with."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Iterator
from threading import Event

import pytest

from diagnose import cli
from diagnose.book.book import Book
from diagnose.book.with_house import load
from diagnose.house import drafts, effect, guide, names
from diagnose.house.cases import NamedCase
from diagnose.house.finding import Finder
from diagnose.house.prompt import Prompter
from diagnose.storage import paths
from tests.book.small import SMALL, book_of, changed
from tests.house.conftest import KNOWLEDGE
from tests.house.test_house import CLOGGED

Typed = Callable[..., tuple[int, str, str]]


@pytest.fixture
def typed(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Typed:
    """Runs `house add` with these lines typed."""

    def one(*lines: str, options: tuple[str, ...] = ()) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
        status = cli.main(["house", "add", *options])
        caught = capsys.readouterr()
        return status, caught.out, caught.err

    return one


@pytest.fixture(scope="module")
def book() -> Book:
    from diagnose.book.assemble import build_book
    from diagnose.book.yaml import loader

    return build_book(loader.load(KNOWLEDGE))


@pytest.mark.parametrize(("said", "meant"), [
    ("yield", "ratio"), ("brew ratio", "ratio"), ("shot time", "shot_time"), ("milk temperature",
     "milk_temperature"), ("hard water", "hardness"), ("detergent", "detergent_days")])
def test_a_target_is_named_as_people_call_it(book: Book, said: str, meant: str) -> None:
    assert names.targets(book).found(said)[0] == meant
    assert names.target(book, said) == meant


def test_all_the_names_that_people_have_belong_to_targets(book: Book) -> None:
    assert names.CALLED.keys() <= book.targets.keys()


@pytest.mark.parametrize(("said", "meant"), [
    ("it gushes", "shot_too_fast"), ("the foam is dry", "foam_dry")])
def test_a_trouble_is_named_in_lay_words(book: Book, said: str, meant: str) -> None:
    assert meant in names.troubles(book).found(said)[:3]


def test_an_answer_is_found_by_its_own_words(book: Book) -> None:
    found = names.facts(book).found("the grounds lie in hard greasy lumps")
    assert found[0].partition(names.TOLD)[0] in book.observations


def test_a_slip_of_the_hand_finds_what_the_search_does_not() -> None:
    assert Finder({"a": "portafilter", "b": "basket"}).found("prtfilter") == ["a"]


def test_back_asks_the_question_before_again(typed: Typed) -> None:
    status, out, _ = typed("target", "shot_time", "20", "b", "25", "b", "b", "shot_time", "24", "", "", "yes")
    assert status == 0 and load().book.targets["shot_time"].low == 24
    assert out.count("At least (s):") == 4


def test_back_from_the_first_question_stays_there(typed: Typed) -> None:
    status, out, _ = typed("b", "target", "shot_time", "24", "", "", "yes")
    assert status == 0 and "This is the first question." in out


def test_back_at_the_last_word_changes_the_last_answer(typed: Typed) -> None:
    status, _, _ = typed("target", "shot_time", "24", "", "", "b", "34", "yes")
    target = load().book.targets["shot_time"]
    assert status == 0 and (target.low, target.high) == (24, 34)


@pytest.mark.parametrize("leave", ["q", None])
def test_what_was_left_off_is_gone_on_with(typed: Typed, leave: str | None) -> None:
    status, _, err = typed("target", "shot_time", "24", *([leave] if leave else []))
    assert status == 2 and "`diagnose house add --resume`" in err
    status, out, _ = typed("", "", "yes", options=("--resume",))
    assert status == 0 and "At least" not in out and "Best of all" in out
    assert load().book.targets["shot_time"].low == 24
    assert "no change was left off" in typed(options=("--resume",))[2]


def test_ctrl_c_loses_no_answer(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    class Stopped(io.StringIO):
        def readline(self, size: int | None = -1, /) -> str:
            line = super().readline(size)
            if not line:
                raise KeyboardInterrupt
            return line

    monkeypatch.setattr("sys.stdin", Stopped("target\nshot_time\n24\n"))
    assert cli.main(["house", "add"]) == 130
    assert drafts.latest().answers == ("target", "shot_time", "24")


def test_of_two_left_off_none_is_lost(typed: Typed) -> None:
    typed("target", "shot_time", "24")
    typed("the tray is hot", options=("caution",))
    assert len(list((paths.data() / "house-drafts").iterdir())) == 2
    assert typed("q", options=("--resume",))[0] == 2
    assert drafts.latest().subject == "caution"


def test_a_draft_that_is_spoilt_is_passed_over(typed: Typed) -> None:
    typed("target", "shot_time", "24")
    (paths.data() / "house-drafts" / "spoilt.json").write_text("[")
    assert drafts.latest().answers[0] == "target"


def test_answers_that_no_longer_fit_are_asked_again(typed: Typed) -> None:
    typed("target", "shot_time", "24")
    path = next((paths.data() / "house-drafts").iterdir())
    held = json.loads(path.read_text())
    path.write_text(json.dumps(held | {"answers": ["target", "gone", "24"]}))
    status, _, _ = typed("shot_time", "25", "", "", "yes", options=("--resume",))
    assert status == 0 and load().book.targets["shot_time"].low == 25


def test_a_cause_takes_eight_questions_at_most(typed: Typed) -> None:
    status, out, _ = typed(*CLOGGED, "grind coarser", "1", "", "yes", options=("cause",))
    out = out.replace(str(paths.house()), "")     # the folder's name may hold any digit
    assert status == 0 and "8 of 8." in out and "9" not in out.partition("8 of 8.")[2].partition("gets")[0]
    stated = load().book.causes["the_chute_is_clogged"]
    assert [alike.cause for alike in stated.look_alikes] == ["too_fine"]
    assert stated.part == "grinder" and '"Was the bag opened this week?" no' in stated.confirm


def test_a_cause_of_the_book_is_named_where_it_is_like_it(typed: Typed) -> None:
    assert "The book has one like it: the grind is too fine" in typed(
        "the grind is too fine", options=("cause",))[1]


def test_a_step_that_is_a_technician_s_is_not_taken(typed: Typed) -> None:
    _, out, _ = typed(*CLOGGED, "Mend it", "own", "Open the housing and look.", options=("cause",))
    assert "is a technician's work" in out


def test_a_step_that_touches_danger_gets_the_book_s_caution(book: Book) -> None:
    lines = ("the screen is blocked", "It drips.", "runs too slowly", "1", "", "shot time", "1", "> 60 s", "",
             "1", "1", "brush it", "own", "Brush the burrs out.", "", "")
    sink = io.StringIO()
    made = guide.guided("cause", Prompter(io.StringIO("\n".join(lines) + "\n"), sink), book)
    assert made[1].data["cautions"] == ["burrs_unplug"] and "It touches burrs" in sink.getvalue()


def test_what_the_check_refuses_is_said_and_asked_again(book: Book) -> None:
    refused = iter(["it is no good", ""])
    sink = io.StringIO()
    lines = "shot_time\n24\n\n\n30\n"
    made = guide.guided("target", Prompter(io.StringIO(lines), sink), book, lambda entries: next(refused))
    assert made[0].data["high"] == 30 and "That can't be used: it is no good." in sink.getvalue()


def test_what_the_check_refuses_is_not_kept(
        capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    from diagnose.book.lint import brought
    from diagnose.book.lint.issue import ERROR, Issue
    from diagnose.book.problems import Place

    wrong = Issue(Place("targets.yaml", 1), ERROR, "grave_on_target", "targets", "shot_time", "it is no good")
    monkeypatch.setattr(brought, "new_issues", lambda after, before: (wrong,))
    assert cli.main(["house", "add", "--target", "shot_time", "--low", "24", "--yes"]) == 2
    assert "it is no good" in capsys.readouterr().err and not paths.house().exists()


def test_words_are_taught_too(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paths, "shipped", lambda: KNOWLEDGE)
    status, _, err = typed("goes like the clappers", "runs too fast", "1", "yes", options=("words",))
    assert status == 0, err
    assert load().book.layers.phrases == {"shot_too_fast": ("goes like the clappers",)}


def test_a_target_named_by_words_in_an_option(typed: Typed) -> None:
    assert typed(options=("--target", "how long a shot runs", "--low", "24", "--yes"))[0] == 0
    assert load().book.targets["shot_time"].low == 24


def test_looking_ends_in_time_and_says_what_was_left() -> None:
    from diagnose.house import cases, told

    tried, _ = cases.all_cases([])
    found = effect.compare(book_of(SMALL), book_of(changed("targets/shot_time/low", 24)), tried, seconds=-1)
    assert (found.cases, found.touched, found.looked_at) == (2, 1, 0)
    assert "1 more may come out otherwise too" in told.told(found)[0]


def test_cases_are_read_while_somebody_types(monkeypatch: pytest.MonkeyPatch) -> None:
    from diagnose.case import casefile
    from diagnose.house import cases, readings
    from diagnose.reason.system import System

    book, (tried, _), done = book_of(SMALL), cases.all_cases([]), Event()

    def all_of_them() -> Iterator[NamedCase]:
        yield from tried
        done.set()

    with readings.read_ahead(book, all_of_them()):
        assert done.wait(20)
    monkeypatch.setattr(casefile, "build", lambda *args: pytest.fail("read again"))
    again = readings.Readings(System(book))
    assert [again.build(t).complaints for t in tried] == [("too_fast",), ("too_slow",)]
