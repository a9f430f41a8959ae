"""Parts to lines and pages: nothing is lost on the way, and the caution comes before the step."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError
from diagnose.book.yaml import loader
from diagnose.case.case import Case, Fix
from diagnose.present.parts import CautionData
from diagnose.present.screen_data import QuestionData, UnderstoodData
from diagnose.present.screens import Choice, Screen, Status, Wanted
from diagnose.present.views import of
from diagnose.reason.plan import Option
from diagnose.reason.system import System
from diagnose.storage import paths
from diagnose.ui import draw
from diagnose.ui.layout import FIRM, Part, fit, lines, pages, plain
from diagnose.ui.paging import in_sight, paged
from tests.case.small import small_system

STEPS = [Part(f"step {i} with some words in it", "step", f"{i}. ") for i in range(1, 8)]


def texts(page) -> list[str]:
    return [line.text for line in page]


def test_further_lines_hang_under_the_text():
    assert plain([Part("one two three four five", lead="1. ")], 20) == "1. one two three\n   four five"


def test_a_firm_space_is_shown_as_any_other_and_never_broken_at():
    said = plain([Part(f"12345678901234567 ab{FIRM}cd")], 22)
    assert said == "12345678901234567\nab cd"


def test_a_number_is_not_parted_from_its_unit():
    assert plain([Part("the usual dose is 18 g now")], 20) == "the usual dose is\n18 g now"
    assert plain([Part("that is likely at 23 %")], 20) == "that is likely at\n23 %"


def test_what_fits_keeps_its_empty_lines():
    body = [Part("a"), Part("b", gap=True)]
    assert texts(pages(body, 40, 3)[0]) == ["a", "", "b"]
    assert texts(pages(body, 40, 2)[0]) == ["a", "b"]


def test_the_most_spare_goes_first_and_no_step_is_left_out():
    body = [Part("cause"), Part("costs", spare=5), Part("rivals", spare=3), *STEPS, Part("check")]
    page = texts(fit(body, 60, 10))
    assert "costs" not in page and "rivals" in page
    assert fit(body, 60, 8) is None
    assert sum(". step" in t for found in pages(body, 60, 8) for t in texts(found)) == len(STEPS)


def test_the_numbers_of_choices_stand_where_their_words_end():
    body = [Part("word " * 30), Part("a choice of some words", "choice", "1 ", choices=(1,)),
            Part("1 yes   2 no", "choice", choices=(1, 2))]
    found = lines(body, 20)
    assert [line.choices for line in found if line.choices] == [(1,), (1, 2)]
    assert found[-2].choices == (1,) and found[-3].choices == ()


@pytest.mark.parametrize("room", range(4, 30))
def test_pages_hold_every_word_of_what_can_t_be_spared(room):
    body = [Part(f"word{i} " * 9, gap=i % 3 == 0) for i in range(12)]
    found = pages(body, 40, room)
    said = " ".join(t for page in found for t in texts(page)).split()
    assert said == " ".join(p.text for p in body).split()
    assert all(len(page) <= room for page in found)


@pytest.mark.parametrize("before", range(2, 8))
def test_a_heading_stands_on_the_page_of_what_it_heads(before):
    body = [*(Part(f"a{i}", "choice") for i in range(before)), Part("Maybe also:", "heading"),
            *(Part(f"b{i}", "choice") for i in range(6))]
    for page in pages(body, 40, 6):
        assert page[-1].style != "heading"


@pytest.mark.parametrize("width", [20, 39, 79])
def test_no_line_is_wider_than_asked(width):
    body = [Part("word " * 40, lead="10. "), Part("short")]
    assert max(len(line.text) for line in lines(body, width)) <= width


def _long_caution(count: int) -> tuple[CautionData, ...]:
    return tuple(CautionData(f"c{i}", "WARNING" if i else "DANGER",
                             f"Hazard {i} is here. " + "It goes on. " * 20,
                             f"Avoid {i} first. " + "And then more. " * 20) for i in range(count))


@pytest.mark.parametrize("count", [2, 4])
def test_what_to_do_is_on_the_first_page_under_its_cautions_in_brief_which_follow_in_full(tmp_path, count):
    case = Case(small_system(tmp_path))
    case.complain("gush", ["too_fast"])
    case.answer("last_change", "grind")
    screen = replace(of(case, case.step()), cautions=_long_caution(count))
    found = paged(screen, 79, 18)
    first = texts(found[0])
    at = next(i for i, t in enumerate(first) if t.startswith("Do this now: Grind finer"))
    assert all(any(f"Avoid {i} first." in t for t in first[:at]) for i in range(count))
    assert "1. Turn the grinder one mark finer." in first[at:]
    later = " ".join(" ".join(t for page in found for t in texts(page)).split())
    for caution in screen.cautions:
        assert later.index(" ".join(caution.avoid.split())) < later.index("1 solved")
    assert in_sight(screen, found, 0, 0) == set() and not any(line.choices for line in found[0])
    last = len(found) - 1
    assert in_sight(screen, found, last, last) == {1, 2, 3, 4, 5}


def test_of_a_question_with_cautions_every_answer_can_be_taken_once_it_was_read_to_its_end():
    answers = tuple(Choice(f"a{i}", f"answer {i}") for i in range(1, 21))
    data = QuestionData("it", "What is it?", how="", answer_kind="choice", several=False, unit="", minutes=1)
    screen = Screen("question", data, answers, Wanted("one"), cautions=_long_caution(1))
    found = paged(screen, 39, 14)
    last = len(found) - 1
    assert last > 1 and in_sight(screen, found, last - 1, last - 1) == set()
    assert in_sight(screen, found, last, last) == set(range(1, 21))


@pytest.mark.parametrize(("width", "room"), [(79, 18), (39, 14)])
def test_a_stop_comes_before_the_other_cautions_and_all_of_them_in_full(tmp_path, width, room):
    case = Case(small_system(tmp_path))
    case.complain("gush", ["too_fast"])
    case.answer("smell", "burning")
    screen = replace(of(case, case.step()), cautions=_long_caution(3))
    found = paged(screen, width, room)
    assert texts(found[0])[0].startswith("Stop. Do not go on.")
    said = " ".join(" ".join(t for page in found for t in texts(page)).split())
    assert all(" ".join(c.avoid.split()) in said for c in screen.cautions)
    assert "leave; my answers are kept" in " ".join(texts(found[-1]))


def test_where_words_are_sorted_out_a_danger_is_named_in_brief_above_them(tmp_path):
    data = UnderstoodData("x", remarks=[], sure=[Choice("it", "it smells of burning")], maybe=[], kept=[])
    screen = Screen("understood", data, (Choice("yes"), Choice("none")),
                    cautions=_long_caution(2))
    (page,) = paged(screen, 79, 18)
    shown = texts(page)
    assert shown[0] == "DANGER: Hazard 0 is here. Avoid 0 first."
    assert shown.index("WARNING: Hazard 1 is here. Avoid 1 first.") < shown.index(
        "- it smells of burning.")


def _shipped() -> Book:
    try:
        return build_book(loader.load(paths.shipped()))
    except KnowledgeError as error:
        pytest.fail(f"the shipped book is not sound: {error.problems[0]}")


@pytest.mark.parametrize(("width", "rows", "least"), [(79, 24, 1.0), (39, 20, 0.9)])
def test_what_to_do_stands_on_the_first_page_of_the_fixes_of_the_shipped_book(width, rows, least):
    """No page is too long, no step is cut, and what to do is on the first."""
    book = _shipped()
    case = Case(System(book))
    case.complain("", [next(iter(book.symptoms))])
    owner = {name: stated for name, stated in book.remedies.items() if stated.who != "technician"}
    first = 0
    for name, stated in owner.items():
        cause = next(c for c, v in book.causes.items() if any(u.remedy == name for u in v.remedies))
        option = Option(name, 0.5, 5, stated.who, ((cause, 0.5),))
        screen = replace(of(case, Fix(option, (option,))), status=Status(4, "a cause", 0.6, 2))
        room = rows - 2 - len(lines([*draw.foot(screen), Part(draw.keys(screen))], width, gaps=False))
        found = paged(screen, width, room)
        assert all(len(page) < room for page in found[:-1]) and len(found[-1]) <= room
        said = " ".join(" ".join(t for page in found for t in texts(page)).split())
        assert all(" ".join(step.split()) in said for step in screen.data.steps), name
        first += any(t.startswith("Do this now:") for t in texts(found[0]))
    assert first / len(owner) >= least
