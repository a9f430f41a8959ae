"""Parts to lines and pages: nothing is lost on the way, and the caution comes before the step."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError
from diagnose.book.yaml import loader
from diagnose.case.case import Case, Fix, Stop
from diagnose.present.screens import Choice, Screen, Status
from diagnose.present.views import of
from diagnose.reason.plan import Option
from diagnose.reason.system import System
from diagnose.storage import paths
from diagnose.ui import draw
from diagnose.ui.layout import FIRM, Part, fit, lines, pages, plain
from diagnose.ui.screen import paged
from tests.case.small import small_system

LEFT_OUT = ("one more", "{count} more")
STEPS = [Part(f"step {i} with some words in it", "step", f"{i}. ", spare=2 if i > 1 else 0)
         for i in range(1, 8)]


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
    assert texts(pages(body, 40, 3, LEFT_OUT)[0]) == ["a", "", "b"]
    assert texts(pages(body, 40, 2, LEFT_OUT)[0]) == ["a", "b"]


def test_the_most_spare_goes_first_and_steps_left_out_are_counted():
    body = [Part("cause"), Part("costs", spare=5), *STEPS, Part("check")]
    page = texts(fit(body, 60, 8, LEFT_OUT))
    assert "costs" not in page and "check" in page
    shown = sum(". step" in t for t in page)
    assert 1 < shown < 7 and f"{7 - shown} more" in page


def test_the_first_step_is_never_left_out():
    body = [*STEPS, Part("check")]
    assert texts(fit(body, 60, 3, LEFT_OUT)) == [
        "1. step 1 with some words in it", "6 more", "check"]
    assert fit(body, 60, 2, LEFT_OUT) is None


@pytest.mark.parametrize("room", range(4, 30))
def test_pages_hold_every_word_of_what_can_t_be_spared(room):
    body = [Part(f"word{i} " * 9, gap=i % 3 == 0) for i in range(12)]
    found = pages(body, 40, room, LEFT_OUT)
    said = " ".join(t for page in found for t in texts(page)).split()
    assert said == " ".join(p.text for p in body).split()
    assert all(len(page) <= room for page in found)


@pytest.mark.parametrize("before", range(2, 8))
def test_a_heading_stands_on_the_page_of_what_it_heads(before):
    body = [*(Part(f"a{i}", "choice") for i in range(before)), Part("Perhaps also:", "heading"),
            *(Part(f"b{i}", "choice") for i in range(6))]
    for page in pages(body, 40, 6, LEFT_OUT):
        assert page[-1].style != "heading"


@pytest.mark.parametrize("width", [20, 39, 79])
def test_no_line_is_wider_than_asked(width):
    body = [Part("word " * 40, lead="10. "), Part("short")]
    assert max(len(line.text) for line in lines(body, width)) <= width


def _long_caution(count: int) -> tuple[dict[str, str], ...]:
    return tuple({"id": f"c{i}", "signal": "WARNING" if i else "DANGER",
                  "text": f"Hazard {i} is here. " + "It goes on. " * 20,
                  "avoid": f"Avoid {i} first. " + "And then more. " * 20} for i in range(count))


@pytest.mark.parametrize("count", [2, 4])
def test_cautions_that_leave_no_room_come_first_in_full_and_again_in_brief(tmp_path, count):
    case = Case(small_system(tmp_path))
    case.complain("gush", ["too_fast"])
    case.answer("last_change", "grind")
    screen = replace(of(case, case.step()), cautions=_long_caution(count))
    found = paged(screen, 79, 18)
    first = " ".join(t for page in found[:-1] for t in texts(page))
    for caution in screen.cautions:
        assert " ".join(caution["avoid"].split()) in " ".join(first.split())
    last = texts(found[-1])
    at = next(i for i, t in enumerate(last) if t.startswith("1. Turn the grinder"))
    assert any(t.startswith("DANGER: ") for t in last[:at])
    assert any("Did it work?" in t for t in last)


@pytest.mark.parametrize(("width", "room"), [(79, 18), (39, 14)])
def test_a_stop_comes_before_the_other_cautions_and_all_of_them_in_full(tmp_path, width, room):
    case = Case(small_system(tmp_path))
    case.complain("gush", ["too_fast"])
    case.answer("smell", "burning")
    screen = replace(of(case, case.step()), cautions=_long_caution(3))
    found = paged(screen, width, room)
    assert texts(found[0])[0].startswith("Stop. Do not go on.")
    said = " ".join(" ".join(t for page in found for t in texts(page)).split())
    assert all(" ".join(c["avoid"].split()) in said for c in screen.cautions)
    assert "leave; my answers are kept" in " ".join(texts(found[-1]))


def test_where_words_are_sorted_out_a_danger_is_named_in_brief_above_them(tmp_path):
    said = ({"id": "it", "text": "it smells of burning"},)
    screen = Screen("understood", {"text": "x", "remarks": [], "sure": list(said), "maybe": [],
                                   "kept": []}, (Choice("yes"), Choice("none")),
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


def test_every_fix_and_question_of_the_shipped_book_fits_one_screen():
    """80x24: the result on one page, after its cautions where those need pages of their own."""
    book = _shipped()
    case = Case(System(book))
    case.complain("", [next(iter(book.symptoms))])
    status = Status(4, "a cause whose name is as long as the longest of them all are", 0.6, 2)
    wrong = []
    for name, stated in book.remedies.items():
        cause = next(c for c, v in book.causes.items() if any(u.remedy == name for u in v.remedies))
        option = Option(name, 0.5, 5, stated.who, ((cause, 0.5),))
        step = Stop("handover", option=option) if stated.who == "technician" else \
            Fix(option, (option,))
        screen = replace(of(case, step), status=status)
        room = 24 - 2 - len(lines([*draw.foot(screen), Part(draw.keys(screen))], 79, gaps=False))
        last = texts(paged(screen, 79, room)[-1])
        whole = isinstance(step, Stop) or (
            "Did it work?" in last and any(t.startswith("1. ") for t in last))
        if len(last) > room or not whole:
            wrong.append(name)
    assert wrong == []
