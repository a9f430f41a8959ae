"""A house's cautions stand after the book's, which are shown as they stand, and say whose they are."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case, Stop
from diagnose.mail.reading import Desk
from diagnose.mail.reply import reply
from diagnose.present import case_data, views
from diagnose.present.handover import summary
from diagnose.present.worked_answer import answers
from diagnose.reading.questions import Asked
from diagnose.reason.system import System
from diagnose.ui.text import page
from tests.book.small import dumped, folder, house

OURS = "The cellar socket has no safety switch."
MARK = "Added by the house rules in home: "
RULES = house(cautions={"a_first": {
    "signal": "DANGER", "text": OURS, "avoid": "Use the kitchen socket.", "when": {"danger_sign": "tingle"},
    "stop": "yes", "go_on": "It stands in the kitchen.", "source": "house"}})


@pytest.fixture
def case(tmp_path: Path) -> Case:
    """A tingle that was told, in a house with a danger of its own for it."""
    loaded = load([str(folder(tmp_path, "home", ours=dumped(RULES)))])
    assert not loaded.broken
    case = Case(System(loaded.book))
    case.complain("it zaps me", ("tingling",))
    case.answer("danger_sign", "tingle")
    return case


def test_the_books_stop_comes_first_and_a_way_on_from_the_houses_is_none(case: Case) -> None:
    assert case.step() == Stop("hazard", "mains_stop")
    case.clear("a_first")
    assert case.step() == Stop("hazard", "mains_stop")


def test_on_the_screen_the_houses_comes_after_and_is_marked(case: Case) -> None:
    screen = views.of(case, case.step())
    stated = case.book.cautions["mains_stop"]
    assert (screen.data.id, screen.data.text, screen.data.avoid) == (
        "mains_stop", stated.text, stated.avoid)
    assert [c.text for c in screen.cautions if c.id == "a_first"] == [MARK + OURS]


def in_order(text: str) -> None:
    said = " ".join(text.replace("\\", "").split())
    book, ours = said.index("mains can reach you"), said.index(OURS)
    assert book < ours and said[:ours].endswith(MARK)


def test_in_the_data_the_page_and_the_hand_over_too(case: Case) -> None:
    data = case_data.report(case)
    ids = [c["id"] for c in data["cautions"]]
    assert ids.index("mains_stop") < ids.index("a_first")
    for text in (summary(case, date(2024, 5, 1)), page(case_data.case_report(case), ())):
        in_order(text)


def test_beside_an_answer_of_practice_too(tmp_path: Path) -> None:
    rules = house(cautions={"ours": {
        "signal": "WARNING", "text": OURS, "avoid": "Use the kitchen socket.", "source": "house",
        "when": {"danger_sign": "tingle"}}}, practice={"cellar": {
            "asks": "May it stand in the cellar?", "lay": ["put it in the cellar"], "answer": "Yes.",
            "now": "Look at the socket.", "cautions": ["ours"], "source": "house"}})
    loaded = load([str(folder(tmp_path, "home", ours=dumped(rules)))])
    assert not loaded.broken, loaded.broken
    (told,) = answers(loaded.book, "", [Asked("cellar", 1.0, ("so?",))])
    assert [c.text for c in told.cautions] == [MARK + OURS]


def test_in_a_reply_too(case: Case) -> None:
    desk = Desk(case.system, date(2024, 5, 1))
    read = desk.read("The machine gives me a tingle from the metal, an electric shock.")
    in_order(reply(read, "letter", date(2024, 5, 1)).markdown)
