"""What a reply says and in which order: the answer first, no figure before advice, nothing asked twice."""

from __future__ import annotations

import re
from datetime import date

import pytest

from diagnose.book.with_house import load
from diagnose.mail import reading, tongues
from diagnose.mail.reading import Desk, Read
from diagnose.mail.reply import Reply, reply
from diagnose.reading.language import ENGLISH
from diagnose.reason.system import System
from diagnose.search.documents import lexicon_of

TODAY = date(2026, 1, 2)


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(System(load().book), TODAY)


def told(desk: Desk, text: str) -> tuple[Read, Reply, str]:
    """A letter read, its reply, and the part of it that is sent."""
    read = desk.read(text)
    said = reply(read, "a:1", TODAY)
    return read, said, said.markdown.split("\n---\n")[0]


SOUR = "The shot gushes out too fast, 18 g in, 40 g out in 16 seconds. Did I break it?"


def test_what_was_asked_is_answered_first_then_what_it_is_what_to_try_and_what_to_tell(desk: Desk) -> None:
    _, _, letter = told(desk, SOUR)
    places = [letter.index(part) for part in ("You asked: ", "## What it probably is", "## What to try: ",
                                              "\n1. ", "## What to tell me then", "Write again")]
    assert places == sorted(places) and letter.startswith("Hello,\n\nYou asked: ")


@pytest.mark.parametrize("text", [SOUR, "The foam has big bubbles.", "My puck sticks to the screen."])
def test_no_figure_of_chance_stands_in_what_is_sent(desk: Desk, text: str) -> None:
    _, said, letter = told(desk, text)
    assert " %" not in letter and " %" not in said.text and " %" in said.markdown


def test_a_caution_that_the_letter_calls_for_comes_before_the_answer(desk: Desk) -> None:
    read, _, letter = told(desk, "There is water under the machine and it runs towards the plug. "
                           "Can I go on using it till Friday?")
    assert read.kind == "look" or "> **" in letter[:letter.index("You asked: ")]
    first = letter.split("\n\n")[1]
    assert first.startswith("> **") or not read.case.cautions


def test_no_plain_yes_to_going_on_where_the_case_says_but(desk: Desk) -> None:
    read, _, letter = told(desk, "There is a puddle under the machine. Can I keep using it till the weekend?")
    assert read.case.use.text.startswith("yes, but")
    answer = next(line for line in letter.splitlines() if line.startswith("You asked: "))
    assert read.case.use.text[1:] in answer and letter.count(read.case.use.text[4:]) == 1


def test_what_the_letter_seems_to_answer_is_not_asked(desk: Desk) -> None:
    plain = desk.read("The coffee tastes sour.")
    asked = next(q.observation for q in plain.questions
                 if any(" " in a.says for a in desk.system.book.observations[q.observation].answers.values()))
    phrase = next(a.says for a in desk.system.book.observations[asked].answers.values() if " " in a.says)
    assert asked not in {q.observation for q in desk.read(f"The coffee tastes sour: {phrase}.").questions}


def test_three_questions_at_most_with_what_an_answer_asks_back(desk: Desk) -> None:
    for text in (SOUR, "My coffee tastes sour. How hard do I have to tamp?", "Can I freeze coffee beans?"):
        _, _, letter = told(desk, text)
        listed = letter.partition("## What to tell me then")[2].partition("\n## ")[0]
        assert len(re.findall(r"^\d+\. ", listed, re.MULTILINE)) <= reading.QUESTIONS


def test_what_was_tried_is_not_advised_again(desk: Desk) -> None:
    first = desk.read("The shot takes 50 seconds and only drips.").option
    assert first is not None and first.remedy == "grind_coarser"
    read = desk.read("The shot takes 50 seconds and only drips. I ground coarser and it changed nothing.")
    assert read.understood.tried == {"grind_coarser": "same"}
    assert read.option is None or read.option.remedy != "grind_coarser"


def test_the_plain_text_is_the_letter_alone_without_marks(desk: Desk) -> None:
    _, said, letter = told(desk, "The machine gives me a shock when I touch the metal.")
    assert "For you" not in said.text and "**" not in said.text and "\n#" not in said.text
    assert "! DANGER: " in said.text and "To hand over" in said.text and letter.startswith("Hello,")
    body = said.text[:said.text.index("To hand over")]
    assert all(len(line) <= 76 for line in body.splitlines())


def test_every_tongue_of_the_lexicon_has_its_line() -> None:
    assert tongues.LINES.keys() == lexicon_of().languages.keys()
    assert tongues.line(ENGLISH) == "" and tongues.line("unreadable") == tongues.OTHER


def test_a_dangerous_letter_in_another_tongue_gets_its_one_line_and_is_read_first(desk: Desk) -> None:
    read, said, letter = told(desk, "Bonjour, le café coule trop vite depuis hier et il est très acide.")
    assert letter.strip() == f"Hello,\n\n{tongues.LINES['French']}"
    assert (read.kind == "look") == ("Read the letter yourself" in said.markdown)


@pytest.mark.parametrize("text, off", [
    ("Which bus goes to the harbour on Sunday?", True), ("Thank you, it was a lovely evening.", True),
    ("I have never used a machine like this and do not know where to begin.", False),
    ("Greetings from next door, what a lovely smell of coffee in the stairs.", True),
    ("Is fifteen bar better than nine?", False)])
def test_off_topic_letters_are_told_from_those_not_placed(desk: Desk, text: str, off: bool) -> None:
    assert (desk.read(text).kind == "off") == off


def test_a_bare_question_beside_a_trouble_is_not_taken_for_another(desk: Desk) -> None:
    read, _, letter = told(desk, "The foam of my milk is dry and stiff. What is going on?")
    assert read.option is not None and "You asked" not in letter


def test_in_a_danger_only_what_the_case_decides_is_answered_and_the_rest_waits(desk: Desk) -> None:
    _, _, letter = told(desk, "The machine gives me a shock when I touch it. Can I go on using it till "
                        "Friday? Can I freeze coffee beans?")
    assert "You asked: Can I go on using it till Friday? No, leave it off.\n" in letter
    assert "Yes, if all that is wrong" not in letter
    assert "waits until that is settled: Can I freeze coffee beans?" in letter
    assert "airtight" not in letter and "consult" not in letter


def test_the_sheet_for_the_technician_has_a_title_of_one_line(desk: Desk) -> None:
    _, said, _ = told(desk, "The machine gives me a shock when I touch the metal.")
    title = next(line for line in said.markdown.splitlines() if line.startswith("**An espresso"))
    assert title.endswith("**")
    assert all("\n- Serial number: " in text for text in said)


def test_a_question_of_going_on_never_hides_the_trouble_it_is_asked_of(desk: Desk) -> None:
    read, _, letter = told(desk, "There is a puddle under the machine, it runs along the counter. "
                           "Can I keep using it till the weekend?")
    assert read.kind not in ("answer", "off") and "## What it probably is" in letter
    answer = next(line for line in letter.splitlines() if line.startswith("You asked: "))
    assert "No, if there is" in answer or "Yes, if all" not in answer


def test_what_hangs_on_the_case_and_is_not_decided_by_it_is_answered_whole(desk: Desk) -> None:
    _, _, letter = told(desk, "Can I go on using it until the repair on Friday?")
    answer = next(line for line in letter.splitlines() if line.startswith("You asked: "))
    assert "Yes, if all that is wrong" in answer and "No, if there is any shock" in answer


def test_what_the_case_decides_is_not_taken_back_by_the_general_answer(desk: Desk) -> None:
    _, _, letter = told(desk, SOUR)
    assert "You asked: Did I break it? Most likely not: " in letter
    assert "## More on what you asked" not in letter and "**DANGER:**" not in letter


def test_nothing_is_to_be_tried_while_a_danger_may_be_there(desk: Desk) -> None:
    read, _, letter = told(desk, "The little relief valve on top of my boiler weeps and hisses all the time. "
                           "I am minded to put a brass plug in its place until the new one comes.")
    assert read.kind in ("look", "hazard")
    assert "What to try" not in letter and "Plug in" not in letter


def test_the_first_words_say_what_it_is_and_what_to_try(desk: Desk) -> None:
    read, _, letter = told(desk, "Milk gets hot in no time and never grows. Flat as a pond.")
    assert read.kind == "remedy" and read.option is not None
    name = read.case.book.remedies[read.option.remedy].name
    first = letter.split("## ")[1]
    assert f"Try this first: {name}." in first and "WARNING" not in first.split("Try this first")[0]


def test_a_letter_heard_in_part_is_taken_for_the_likeliest_trouble_and_says_so(desk: Desk) -> None:
    read, said, letter = told(desk, "Machine make noise brrr, water not come, tank is full.")
    assert read.supposed == "pump_loud" and not read.understood.symptoms
    assert "I take your letter to mean: " in letter and "Is it one of these?" not in letter
    assert "whether it means: " in said.markdown


def test_what_asks_nothing_is_answered_only_where_no_trouble_is_heard(desk: Desk) -> None:
    assert desk.read("It is a lever machine.").kind == "answer"
    read = desk.read("It is a lever machine. The shot gushes out in 12 seconds and tastes sour.")
    assert read.asked == () and read.option is not None
