"""The notebook in a consult: answers by itself and says so, offers to keep, fails softly."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.yaml import loader
from diagnose.case.case import Case
from diagnose.case.journal import Store
from diagnose.dialogue.mention_choices import Item
from diagnose.dialogue.session import Session
from diagnose.dialogue.stages.confirm import Kept
from diagnose.notebook.store import Notebook
from diagnose.notebook.wire import CaseNotebook, made_of, prepare, system_for
from diagnose.reason.system import System
from tests.case.small import FakeLookup
from tests.notebook.rows import fill, row

BOOK = """\
schema: 1
chapter: tiny
title: A book for tests of the notebook
observations:
  machine_kind:
    ask: What kind of machine is it?
    kind: choice
    equipment: yes
    minutes: 0.1
    answers: {pump: {says: "one with a pump"}, lever: {says: "one with a lever"}}
  cup_width:
    {ask: "How wide is the cup?", kind: quantity, unit: mm, range: [30, 150], minutes: 1, equipment: yes}
  dose: {ask: "How much coffee went in?", kind: quantity, unit: g, range: [1, 40], minutes: 0.5}
  drink_mass: {ask: "How much drink came out?", kind: quantity, unit: g, range: [1, 400], minutes: 0.5}
  shot_time: {ask: "How long did it take?", kind: quantity, unit: s, range: [1, 180], minutes: 0.5}
  timer_time: {ask: "What is the timer set to?", kind: quantity, unit: s, range: [1, 60], minutes: 0.5}
  timer_dose: {ask: "What does it give?", kind: quantity, unit: g, range: [1, 60], minutes: 0.5}
findings:
  flow:
    label: flow
    source: common practice, no source
    values:
      fast: {says: "it ran fast", abnormal: yes, when: {shot_time: "< 20 s"}}
      right: {says: "it ran right", when: {shot_time: ">= 20 s"}}
symptoms:
  fast:
    {name: it runs too fast, area: the shot, finding: {flow: fast}, lay: [it gushes], source: house}
causes:
  coarse:
    name: the grind is coarse
    part: grinder
    common: common
    what: Water runs through.
    shows: {fast: always}
    evidence: [{when: {flow: fast}, weight: strong for, otherwise: strong against}]
    confirm: Grind finer.
    remedies: [{remedy: finer, cures: usually}]
    source: common practice, no source
remedies:
  finer:
    name: grind finer
    steps: [Turn it a mark.]
    minutes: 3
    should: It runs slower.
    changes: [shot_time]
    source: common practice, no source
"""


@pytest.fixture
def book(tmp_path: Path) -> Book:
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "tiny.yaml").write_text(BOOK)
    return build_book(loader.load(folder))


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    return Notebook(tmp_path / "notebook.sqlite")


@pytest.fixture
def session(book: Book, notebook: Notebook, tmp_path: Path) -> Iterator[Session]:
    made = Session(System(book), FakeLookup(book), Store(tmp_path / "cases"),
                   memory=CaseNotebook(book, notebook.path))
    yield made
    made.close()


def known(notebook: Notebook) -> None:
    """A notebook that knows the machine, a cup, and something of another edition of the book."""
    fill(notebook, "equipment", [row("equipment", name="machine_kind", value="lever"),
                                 row("equipment", name="cup_width", value="80.0 mm"),
                                 row("equipment", name="jug", value="big")])


def test_known_equipment_answers_by_itself(book: Book, notebook: Notebook) -> None:
    known(notebook)
    case = Case(System(book))
    assert sorted(prepare(case, notebook.path)) == ["cup_width", "machine_kind"]
    assert case.values == {"machine_kind": "lever", "cup_width": 80.0}
    assert case.given("machine_kind") == "notebook"


def test_what_the_person_said_stands(book: Book, notebook: Notebook) -> None:
    known(notebook)
    case = Case(System(book))
    case.answer("machine_kind", "pump")
    case.dont_know("cup_width")
    assert prepare(case, notebook.path) == []
    assert case.values == {"machine_kind": "pump"}


def test_an_answer_that_no_longer_fits_the_book_is_left_out(book: Book, notebook: Notebook) -> None:
    fill(notebook, "equipment", [row("equipment", name="machine_kind", value="steam_engine")])
    assert prepare(Case(System(book)), notebook.path) == []


def test_the_consult_says_that_the_notebook_answered(session: Session, notebook: Notebook) -> None:
    known(notebook)
    session.complained(Kept([Item("symptom", "fast")], ["it gushes"]))
    assert [(n.code, n.values) for n in session.notes] == [("from_notebook", {"count": "2"})]
    session.take("known")
    assert "(from the notebook)" in session.screen().choices[0].more


def test_a_notebook_that_can_t_be_read_does_not_stop_the_consult(
        session: Session, notebook: Notebook) -> None:
    notebook.path.write_bytes(b"no database " * 500)
    session.complained(Kept([Item("symptom", "fast")], ["it gushes"]))
    assert [n.code for n in session.notes] == ["notebook_unread"]
    assert session.case.complaints == ("fast",)


def test_system_for_says_why_it_is_without_a_notebook(book: Book, notebook: Notebook) -> None:
    notebook.path.write_bytes(b"no database " * 500)
    system, unread = system_for(book, notebook.path)
    assert "damaged" in unread and not system.history.shots


def _shot(case: Case, time: str) -> None:
    for name, value in (("dose", "18 g"), ("drink_mass", "36 g"), ("shot_time", time)):
        case.answer(name, value)


def test_answers_make_a_shot_before_the_fix_and_one_after(book: Book) -> None:
    case = Case(System(book))
    _shot(case, "17 s")
    case.answer("shot_time", "18 s")
    case.tried("finer", "better")
    case.answer("shot_time", "25 s")
    assert [(r["dose_g"], r["shot_time_s"]) for r in made_of(case, "shots")] == [(18.0, 18.0), (18.0, 25.0)]


def test_part_of_a_shot_makes_none(book: Book) -> None:
    case = Case(System(book))
    case.answer("dose", "18 g")
    case.answer("shot_time", "18 s")
    assert made_of(case, "shots") == []
    case.answer("timer_time", "9 s")
    case.answer("timer_dose", "17 g")
    assert [r["timer_s"] for r in made_of(case, "weighings")] == [9.0]


def test_an_answer_taken_back_makes_none(book: Book) -> None:
    case = Case(System(book))
    _shot(case, "17 s")
    case.back()
    assert made_of(case, "shots") == []


def _to_the_end(session: Session) -> None:
    session.complained(Kept([Item("symptom", "fast")], ["it gushes"]))
    _shot(session.case, "17 s")
    session.case.answer("machine_kind", "pump")
    session.case.tried("finer", "solved")
    session.take("finish")


def test_at_the_end_shots_and_equipment_are_offered_and_kept(session: Session, notebook: Notebook) -> None:
    _to_the_end(session)
    screen = session.screen()
    assert screen.kind == "keep"
    assert screen.data.offered == [
        "a shot, 18 g in, 36 g out, 17 s", "one with a pump"]
    session.take("yes")
    assert session.screen().data.phase == "mark"
    session.take("twelve")
    assert session.notes[0].code == "refused" and not session.ended
    session.take("12")
    assert session.ended == "solved"
    (kept,) = notebook.rows("shots")
    assert (kept["mark"], kept["shot_time_s"]) == (12.0, 17.0)
    assert notebook.rows("equipment")[0]["value"] == "pump"


def test_what_is_not_wanted_is_not_kept(session: Session, notebook: Notebook) -> None:
    _to_the_end(session)
    session.take("no")
    assert session.ended == "solved"
    assert notebook.rows("shots") == [] and notebook.rows("equipment") == []


def test_what_is_known_is_not_offered_again(session: Session, book: Book, notebook: Notebook) -> None:
    _to_the_end(session)
    session.take("yes")
    session.take("")
    assert CaseNotebook(book, notebook.path).offered(session.case) == []
    assert notebook.rows("shots")[0]["mark"] is None


def test_a_notebook_that_takes_nothing_is_said_and_the_end_comes_all_the_same(
        session: Session, notebook: Notebook) -> None:
    _to_the_end(session)
    notebook.path.write_bytes(b"no database " * 500)
    session.take("yes")
    assert [n.code for n in session.notes] == ["notebook_failed"]
    session.take("finish")
    assert session.ended == "solved"
