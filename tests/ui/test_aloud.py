"""What screens say once, and in which order: no caution below the end, none in full twice, no blanks."""

from __future__ import annotations

import io

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.present import at_a_loss, screens, views
from diagnose.present.parts import CauseData, CautionData
from diagnose.present.screen_data import AdviceData, BesidesData, QuestionData, UsedUpData
from diagnose.present.screens import Screen, Status
from diagnose.reason.system import System
from diagnose.ui import advice, draw, lines, remembered, text, words

CAUTION = CautionData("hot", "WARNING", "Water scalds. Even a little of it.",
                      "Keep hands away. Put a large cup under.")


@pytest.fixture(scope="module")
def system() -> System:
    return System(load([]).book)


class Shows:
    """A session that shows these screens, one after each line."""

    def __init__(self, *given: Screen) -> None:
        self.left = list(given)

    @property
    def ended(self) -> bool:
        return not self.left

    def screen(self) -> Screen:
        return self.left[0]

    def take(self, line: str) -> None:
        self.left.pop(0)


def read(*given: Screen) -> str:
    out = io.StringIO()
    first = screens.complaint()
    session = Shows(first, *given)
    lines.run(first, lambda: session, io.StringIO("1\n" * 9), out, 300)  # type: ignore[arg-type, return-value]
    return out.getvalue()


def asks(name: str) -> Screen:
    return Screen("question", stated(f"{name}?"), cautions=(CAUTION,))


def stated(text: str) -> QuestionData:
    return QuestionData("it", text, how="", answer_kind="choice", several=False, unit="", minutes=1)


def test_in_plain_lines_a_caution_is_read_in_full_once_and_then_in_brief() -> None:
    shown = read(asks("one"), asks("two"))
    first, second = shown.split("two?")[0].split("one?")
    assert "Even a little of it. Keep hands away. Put a large cup under." in first
    assert "WARNING: Water scalds. Keep hands away." in second and "Even a little" not in second


def test_a_screen_read_to_its_end_has_its_cautions_short_the_next_time() -> None:
    screen = asks("one")
    assert remembered.cut(screen, set()) == screen
    short = remembered.cut(screen, remembered.in_full(screen)).cautions[0]
    assert (short.text, short.avoid) == ("Water scalds.", "Keep hands away.")
    stop = Screen("stop", cautions=(CAUTION,))
    assert remembered.cut(stop, {"hot"}) == stop


def test_what_was_told_to_look_out_for_has_its_numbers_put_in(system: System) -> None:
    case = Case(system)
    case.complain("", ("shot_lukewarm",))
    blanks = [c for c in at_a_loss.data(case).watch if "{" in c]
    assert not blanks and any("{target" in system.book.causes[r.cause].confirm
                              for r in case.ranked[:3] if r.cause in system.book.causes)


def test_nothing_is_read_for_safety_below_the_end_of_a_stop(system: System) -> None:
    case = Case(system)
    case.complain("", ("boiler_over_pressure",))
    screen = views.of(case, case.step())
    assert screen.kind == "stop" and screen.cautions
    shown = text.linear(screen, 1000)
    assert shown.index(screen.cautions[-1].text) < shown.index("May you go on using it?")


def test_a_cause_still_in_play_is_not_said_to_be_ruled_out(system: System) -> None:
    case = Case(system)
    case.complain("", ("grounds_static",))
    case.answer("grounds_form", "clinging")
    for remedy in ("drop_of_water", "catch_grounds"):
        case.tried(remedy, "same")
    assert any(r.probability >= 0.1 for r in case.ruled_out)
    assert all(c.probability < 0.1 for c in views._done(case, "not_in_book").data.ruled_out)


@pytest.mark.parametrize("chance, said", [(0.49, "Likely (49 %): static."), (0.2, words.NOT_IN_BOOK)])
def test_what_was_found_is_said_though_no_fix_for_it_is_left(chance: float, said: str) -> None:
    leading = CauseData("static", "static", chance)
    shown = Screen("done", UsedUpData("not_in_book", [], [], leading, "yes"))
    assert text.linear(shown, 1000).startswith(said)


def test_at_a_bad_end_what_made_it_better_is_not_forgotten(system: System) -> None:
    case = Case(system)
    case.complain("", ("grounds_static",))
    for outcome in ("better", "better"):
        case.tried("catch_grounds", outcome)  # type: ignore[arg-type]
    said = text.linear(views._done(case, "not_in_book"), 1000)
    assert f"This made it better, so keep to it: {system.book.remedies['catch_grounds'].name}.\n" in said


@pytest.mark.parametrize("likely, more, said", [
    (0.48, {}, True), (0.7, {}, False), (0.48, {"second": 0.85}, False)])
def test_a_fix_that_helps_more_often_than_its_cause_is_likely_says_why(
        likely: float, more: dict[str, float], said: bool) -> None:
    leading = CauseData("static", "static", likely)
    fix = AdviceData(
        id="it", name="it", steps=[], before="", should="", undo="", stop_when="", minutes=3, shots=0,
        money="none", who="anyone", tools="", chance=0.59, source="", causes=[], numbers=[], cause=leading,
        leading=leading, use="yes", leading_open=True, rivals=[], after=[], **more)
    shown = next(iter(advice.steps(fix))).text
    assert shown.endswith("It helps 59 % of the time." + words.MORE_THAN_ONE * said)


@pytest.mark.parametrize("status, said", [
    (Status(1, left=4), "About 4 questions left, with this one."),
    (Status(1, left=1), "Nearly done."),
    (Status(1, left=4, at_least=True), ""),
])
def test_questions_left_are_told_where_they_were_counted(status: Status, said: str) -> None:
    found = [p.text for p in draw.foot(Screen("question", stated("one?"), status=status))]
    assert found == ([said] if said else [])


@pytest.mark.parametrize("count, said", [(0, "no answers yet"), (1, "1 answer"), (3, "3 answers")])
def test_a_case_to_go_on_with_says_how_far_it_came(count: int, said: str) -> None:
    shown = text.linear(screens.resume("1", "2026-01-02T03:04", "it gushes", count), 1000)
    assert f'"it gushes", {said}, last touched 2026-01-02 03:04.' in shown


def test_how_to_answer_is_said_once_where_more_is_asked_for() -> None:
    for brief in (False, True):
        shown = text.linear(Screen("besides", BesidesData(brief)))
        assert shown.count("Enter") == 1 and words.WANTED["besides"] in shown
