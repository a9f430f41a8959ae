"""The page: self-contained, escaped, complete, readable without colour or sight."""

from __future__ import annotations

import re
from html import escape
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

from diagnose.case.case import Case
from diagnose.cli import main
from diagnose.compute.grinder import Shot
from diagnose.errors import UserError
from diagnose.notebook.store import Notebook
from diagnose.present.case_data import report
from diagnose.reason.explain.reason import Reason
from diagnose.reason.infer.measures import History
from diagnose.reason.system import System
from diagnose.report.page import html, save
from diagnose.report.trend import svg
from diagnose.ui import words
from tests.case.small import small_system
from tests.notebook.rows import CURVE, fill

SHOTS = [Shot(10, 20, 18, 36), Shot(11, 22.5, 18, 36), Shot(12, 25, 18, 36), Shot(13, 28, 18, 36)]
VOID = {"meta", "br"}


class Reader(HTMLParser):
    """Checks that elements close in order, and gathers what a reader meets."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.headings: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in VOID:
            self.open.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


@pytest.fixture
def system(tmp_path: Path) -> System:
    return small_system(tmp_path / "book")


def _case(system: System, complaint: str = "it gushes") -> Case:
    case = Case(system)
    case.complain(complaint, ["too_fast"])
    case.answer("shot_time", "15 s")
    return case


def test_a_page_stands_alone_and_is_well_made(system: System) -> None:
    page = html(_case(System(system.book, History(SHOTS))))
    reader = read(page)
    assert reader.headings[0] == "h1" and set(reader.headings[1:]) == {"h2"}
    tags = {tag for tag, _, _ in reader.attributes}
    assert not tags & {"script", "link", "img", "iframe", "object"}
    assert not any(name in ("src", "href") or name.startswith("on") for _, name, _ in reader.attributes)
    assert "url(" not in page and "@import" not in page and "http" not in page
    assert ("html", "lang", "en") in reader.attributes


def test_it_says_the_complaint_the_cause_how_sure_and_the_answers(system: System) -> None:
    page = html(_case(system))
    assert "it gushes" in page and "15 s" in page
    assert re.search(r"<h1>[A-Z][a-z ]+ \(\d+ %\): ", page)


def test_what_the_person_wrote_is_never_taken_for_markup(system: System) -> None:
    page = html(_case(system, '<script>alert("x")</script> & <b>sour</b>'))
    read(page)
    assert "<script" not in page and "<b>" not in page
    assert "&lt;script&gt;" in page


def test_a_fix_comes_with_its_steps_and_boxes_to_tick(system: System) -> None:
    case = _case(system)
    while case.step().__class__.__name__ == "Ask":
        case.dont_know(case.step().question.observation)  # type: ignore[union-attr]  # an Ask by its name
    page = html(case)
    assert "<ol><li>" in page and "Did it work?" in page and page.count("&#9744;") == 4


def test_cautions_stand_above_the_steps_with_their_signal_word(system: System) -> None:
    case = _case(system)
    case.answer("smell", "burning")
    page = html(case)
    assert re.search(r'<div class="caution" role="note"><strong>(DANGER|WARNING):', page)
    assert page.index('class="caution"') < page.index("<h2>")


def test_the_drawing_is_a_picture_with_words() -> None:
    drawing = svg(SHOTS, (26.0, 32.0))
    tree = ElementTree.fromstring(drawing)
    picture = tree.find("svg")
    assert picture is not None and picture.get("role") == "img"
    named = (picture.get("aria-labelledby") or "").split()
    assert [e.get("id") for e in picture if e.get("id")] == named
    assert "slower" in (picture.findtext("desc") or "") and "mark 13: 28 s" in (
        picture.findtext("desc") or "")
    places = [(float(c.get("cx", "")), float(c.get("cy", ""))) for c in picture.iter("circle")]
    assert len(places) == len(SHOTS) + 1
    xs, ys = zip(*places[:-1], strict=True)
    assert list(xs) == sorted(xs) and list(ys) == sorted(ys, reverse=True)  # slower stands higher


def test_too_few_shots_draw_nothing() -> None:
    assert svg(SHOTS[:1]) == ""
    assert "<svg" in svg(SHOTS[:2])


def test_the_drawing_stands_on_the_page_only_with_shots(system: System) -> None:
    assert "<svg" not in html(_case(system))
    assert "<svg" in html(_case(System(system.book, History(SHOTS))))


def test_a_page_is_written_over_an_older_page_and_over_nothing_else(system: System, tmp_path: Path) -> None:
    path = tmp_path / "out.html"
    save(_case(system), path)
    save(_case(system, "it still gushes"), path)
    assert "it still gushes" in path.read_text()
    other = tmp_path / "mine.html"
    other.write_text("<p>mine</p>")
    with pytest.raises(UserError, match="no page of diagnose"):
        save(_case(system), other)
    assert other.read_text() == "<p>mine</p>"
    with pytest.raises(UserError, match="another file"):
        save(_case(system), tmp_path / "nowhere" / "out.html")


def test_a_case_file_is_written_as_a_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fill(Notebook(), "shots", CURVE)
    case = tmp_path / "case.yaml"
    case.write_text("complaint: the shot gushes\nsymptoms: [shot_too_fast]\nanswers:\n  dose: 18 g\n"
                    "  drink_mass: 36 g\n  shot_time: 20 s\n")
    assert main(["case", str(case), "--notebook", "--report", str(tmp_path / "out.html")]) == 0
    capsys.readouterr()
    page = (tmp_path / "out.html").read_text()
    read(page)
    assert "the shot gushes" in page and "<svg" in page
    assert len(page) < 60_000


@pytest.mark.parametrize(
    "reason, shown",
    [
        (Reason("the shot ran fast.", "slight", "for"), "The shot ran fast. That speaks slightly for it."),
        (Reason("you said: no.", "very strong", "against"),
         "You said: no. That speaks very strongly against it."),
        (Reason("It is common in homes."), "It is common in homes."),
    ],
)
def test_reasons_read_as_sentences(reason: Reason, shown: str) -> None:
    from diagnose.report.page import _reason

    assert _reason(reason) == shown


def test_a_question_comes_with_boxes_and_with_what_to_try_without_it(system: System) -> None:
    case = Case(system)
    case.complain("it gushes", ["too_fast"])
    data = report(case)
    assert data["next"]["kind"] == "question" and data["first_fix"]["kind"] == "remedy"
    page = html(case)
    assert 'class="boxes"' in page or 'class="blank"' in page
    assert page.index(f"<h2>{words.PAGE_NEXT['question']}") < page.index("<ol>")
    assert escape(words.PAGE_FIRST_FIX) in page


@pytest.mark.parametrize(("name", "says"), [
    ("missing/x.html", "there is no folder"), ("other.txt", "no page of diagnose"), (".", "no file")])
@pytest.mark.parametrize("words_", [("consult", "--new", "--plain"), ("case", "demo/gushing.yaml")])
def test_a_page_that_can_t_be_written_is_said_before_anything_is_asked(
        tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch,
        words_: tuple[str, ...], name: str, says: str) -> None:
    (tmp_path / "other.txt").write_text("mine")

    def asks(size: int = -1) -> str:
        raise AssertionError("asked something first")

    monkeypatch.setattr("sys.stdin.readline", asks)
    assert main([*words_, "--report", str(tmp_path / name)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and says in err and err.count("\n") == 1
