"""Questions found in a text: which entry, in what order, and what is left for a fault."""

from __future__ import annotations

import copy
from datetime import date
from typing import Any

import pytest

from diagnose.book.with_house import load
from diagnose.reading.fault import fault_in, without_questions
from diagnose.reading.figures_told import figures
from diagnose.reading.overlap import Overlap
from diagnose.reading.questions import Asked, asked, asks
from tests.book.small import COMMON, SMALL, book_of, dumped, folder, house


def entries(book: Any, text: str) -> list[str]:
    return [one.entry for one in asked(book, text)]


def harmless(symptom: str) -> bool:
    return False


@pytest.mark.parametrize(("text", "entry"), [
    ("May I leave it on all day?", "leave_on_all_day"),
    ("24 s with 20 g in and 40 g out: finer or coarser?", "finer_or_coarser"),
    ("Is it the grinder or me?", "grinder_or_me"),
    ("Did I break it?", "did_i_break_it"),
    ("does pre-infusion count towards the time", "preinfusion_counts"),
    ("I wonder whether I can freeze coffee beans", "beans_freeze"),
])
def test_a_question_finds_its_entry(book: Any, text: str, entry: str) -> None:
    assert entries(book, text) == [entry]


@pytest.mark.parametrize("text", [
    "The shot gushes out in 15 seconds and tastes sour.", "My milk foam is dry and stiff.",
    "The machine gives me a shock when I touch the metal.", "xyzzy qwrtp?", "", "Why?", "?"])
def test_a_complaint_asks_nothing(book: Any, text: str) -> None:
    assert entries(book, text) == []


@pytest.mark.parametrize("text", ["Good idea or not?", "Dangerous?", "What now?", "Is that too much?"])
def test_a_bare_question_alone_is_asked_of_nothing(book: Any, text: str) -> None:
    assert entries(book, text) == []


def test_a_bare_question_after_a_question_asks_more_of_the_same(book: Any) -> None:
    said = "Which tool should I use to spread the grounds, or can I skip it?"
    assert entries(book, said) == ["spreading_tool"]
    assert entries(book, "What do I clean and how often?") == ["clean_plan"]


def test_two_days_of_the_week_are_the_age_of_the_beans(book: Any) -> None:
    told = figures(book, "They were roasted on Friday and today is Monday.", date(2026, 3, 16))
    assert told["roast_date"] == date(2026, 3, 13)


def test_several_questions_come_in_the_order_asked(book: Any) -> None:
    assert entries(book, "Can I freeze coffee beans, and can I leave the machine on all day?") == [
        "beans_freeze", "leave_on_all_day"]
    twice = "Can I leave the machine on all day? Can I freeze coffee beans? Can I freeze beans?"
    assert entries(book, twice) == [
        "leave_on_all_day", "beans_freeze"]


def test_a_bare_question_speaks_of_what_was_said_before_it(book: Any) -> None:
    said = "With the grind of my double the single basket runs much too fast. Is that normal?"
    assert entries(book, said) == ["single_runs_too_fast"]
    assert entries(book, "Is that normal?") != ["single_runs_too_fast"]


def test_every_question_of_the_book_finds_itself(book: Any) -> None:
    lost = [name for name, stated in book.practice.items() if name not in entries(book, stated.asks)]
    assert len(lost) <= len(book.practice) / 100, lost


def test_what_a_house_answers_otherwise_is_still_asked_as_in_the_book() -> None:
    data = copy.deepcopy(SMALL)
    own = {"asks": "Stays it lit?", "answer": "No.", "now": "Pull the plug.", "cautions": ["hot"],
           "source": COMMON, "replaces": "yes"}
    book = book_of(data, house(practice={"leave_on": own}))
    assert entries(book, "is it fine to keep it switched on?") == ["leave_on"]
    assert entries(book, "stays it lit?") == ["leave_on"]


@pytest.mark.parametrize(("text", "is_one"), [
    ("how hard do I tamp", True), ("Should I descale?", True), ("please explain the ratio", True),
    ("the shot is sour", False), ("it leaks under the machine", False)])
def test_what_asks_something(text: str, is_one: bool) -> None:
    assert asks(text) == is_one


def test_what_is_told_beside_a_question_stays_for_the_fault(book: Any) -> None:
    text = "The shot gushes out in 12 seconds. Can I leave the machine on all day?"
    assert without_questions(book, text, asked(book, text), harmless) == "The shot gushes out in 12 seconds."
    found = fault_in(book, text, asked(book, text), harmless)
    assert found.symptoms == ("shot_too_fast",)


def test_what_is_told_before_a_question_in_one_sentence_stays_too(book: Any) -> None:
    text = "My shot gushes out, can I leave the machine on all day?"
    assert without_questions(book, text, asked(book, text), harmless).startswith("My shot gushes out")


def test_a_question_alone_is_no_fault_but_its_figures_count(book: Any) -> None:
    text = "18 g in, 36 g out in 24 s, do I go finer or coarser?"
    found = fault_in(book, text, asked(book, text), harmless)
    assert not fault_in(book, "Can I freeze coffee beans?", asked(book, "Can I freeze coffee beans?"),
                        harmless).symptoms
    assert found.values["dose"] == "18 g"


def test_a_hazard_told_in_a_question_stays_in_the_text(book: Any) -> None:
    text = "Can I leave it on, though it gives me a shock when I touch the metal?"
    found = (Asked("leave_on_all_day", 1.0, (text,)),)
    assert without_questions(book, text, found, harmless) == text
    calm = "Can I leave it on all day?"
    assert without_questions(book, calm, (Asked("leave_on_all_day", 1.0, (calm,)),), harmless) == ""
    own = Asked("empty_tank", 1.0, (book.practice["empty_tank"].asks,))
    assert without_questions(book, own.text, [own], lambda symptom: True) == ""


def test_no_house_hides_a_hazard_in_a_question_of_its_own(tmp_path: Any) -> None:
    own = {"asks": "Is it fine that it gives me a shock when I touch the metal?", "answer": "Yes.",
           "now": "Leave it.", "source": "house"}
    folder(tmp_path, "ours", one=dumped(house(practice={"shock_fine": own})))
    book = load([str(tmp_path / "ours")]).book
    found = asked(book, own["asks"])
    assert [one.entry for one in found] == ["shock_fine"]
    assert without_questions(book, own["asks"], found, lambda symptom: symptom == "tingling") == own["asks"]


@pytest.mark.parametrize(("text", "values"), [
    ("24 s with 20 g in and 40 g out", {"shot_time": 24, "dose": 20, "drink_mass": 40}),
    ("36 g from 18 g in 18 seconds", {"shot_time": 18, "dose": 18, "drink_mass": 36}),
    ("10 g in a single basket", {"dose": 10}),
    ("8 grams more in the cup", {}),
    ("The needle only shows 5 during the shot", {"gauge_mid_shot": 5}),
    ("I get 45 g in 20 s", {"drink_mass": 45, "shot_time": 20}),
    ("18 g at 1:2.5", {"dose": 18, "drink_mass": 45}),
    ("the timer gives 19 g for 20 at 5.2 s", {"timer_dose": 19, "dose_before": 20, "timer_time": 5.2}),
    ("my timer gives me 16 g in 9 s, I want 18 g", {"timer_dose": 16, "dose_before": 18, "timer_time": 9}),
    ("water of 10 °dH", {"water_hardness": pytest.approx(178.5, abs=1)}),
    ("14 german degrees", {"water_hardness": pytest.approx(250, abs=1)}),
    ("30 °fH", {"water_hardness": 300}),
    ("a jug of 350 ml", {"jug_size": 350}),
    ("we drink 3 doubles a day", {"drinks_per_day": 3}),
    ("steam the milk for 30 s", {}),
    ("no figures at all", {}),
])
def test_figures_of_a_question_are_read_freely(book: Any, text: str, values: dict[str, Any]) -> None:
    found = figures(book, text)
    found.pop("steam_seconds", None)
    assert found == values


def best(overlap: Overlap, text: str) -> tuple[str, float]:
    """The likest entry and how like it is."""
    return max(overlap.scores(text).items(), key=lambda fit: fit[1])


def test_of_two_entries_the_one_with_more_rare_words_wins() -> None:
    found = Overlap({"a": ["how hard is my water"], "b": ["how hard do I tamp"], "c": ["water"]})
    assert best(found, "tamp hard?")[0] == "b" and best(found, "how hard is the water")[0] == "a"
    assert found.scores("zzz") == {}


def test_a_slip_of_spelling_does_little_harm() -> None:
    found = Overlap({"a": ["can I freeze coffee beans"], "b": ["can I leave it on all day"]})
    name, share = best(found, "can i freez cofee beans")
    assert name == "a" and share > 0.4
