"""The person's own words: nothing is believed unconfirmed, nothing confirmed is lost."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diagnose.case.case import Stop
from diagnose.dialogue.session import Session
from diagnose.present.screen_data import BesidesData
from diagnose.ui import text
from tests.case.small import BOOK, FakeLookup, FakeUnderstood, small_book
from tests.dialogue.scripts import codes, say


def ids(session: Session) -> list[str]:
    return [c.id for c in session.screen().choices]


# The first screen.

def test_each_of_several_symptoms_can_be_kept_by_itself(session):
    say(session, "gush and drip")
    assert ids(session) == ["yes", "too_fast", "too_slow", "none", "list"]
    say(session, "3")
    assert session.case.complaints == ("too_slow",)


@pytest.mark.parametrize("all_of_it", ["", "1", "yes", "Yes."])
def test_one_key_keeps_everything_plainly_said(session, all_of_it):
    say(session, "gush and drip with a new bag", all_of_it)
    assert session.case.complaints == ("too_fast", "too_slow")
    assert session.case.values == {"last_change": "beans"}


def test_a_fact_left_out_is_not_recorded(session):
    say(session, "gush in 19 s with a new bag", "2 4")
    assert session.case.complaints == ("too_fast",)
    assert session.case.values == {"last_change": "beans"}


def test_what_is_in_doubt_is_offered_apart_and_taken_only_when_chosen(session):
    say(session, "gush, perhaps drip")
    screen = session.screen()
    assert screen.data.maybe == ["too_slow"] and len(screen.data.sure) == 1
    say(session, "")
    assert session.case.complaints == ("too_fast",)
    say(session, "back", "back", "gush, perhaps drip", "1 2")
    assert session.case.complaints == ("too_fast", "too_slow")


def test_rewording_keeps_what_was_confirmed(session):
    say(session, "gush and drip", "3 4")
    assert session.screen().kind == "complaint"
    assert [k.text for k in session.screen().data.kept] == ["the shot runs too slowly"]
    say(session, "with a new bag", "")
    assert session.case.complaints == ("too_slow",)
    assert session.case.values == {"last_change": "beans"}
    assert session.case.complaint == "gush and drip with a new bag"


def test_what_was_confirmed_is_enough_when_the_new_words_say_nothing(session):
    say(session, "gush and drip", "3 4", "hm")
    assert ids(session)[0] == "go_on"
    say(session, "")
    assert session.case.complaints == ("too_slow",)


def test_words_in_place_of_a_number_leave_the_first_reading_on_offer(session):
    say(session, "gush", "it drips")
    screen = session.screen()
    assert [i.id for i in screen.data.sure] == ["too_slow"] and screen.data.maybe == ["too_fast"]


def test_facts_alone_are_kept_and_the_trouble_is_asked_for(session):
    say(session, "I have a new bag", "1")
    assert codes(session) == ["and_the_trouble"] and session.screen().kind == "complaint"
    assert "And what is wrong?" in text.linear(session.screen())
    assert session.case.entries == []
    say(session, "gush", "")
    assert session.case.values == {"last_change": "beans"} and session.case.complaints == ("too_fast",)


def test_facts_are_still_to_be_confirmed_after_the_list(session):
    say(session, "with a new bag", "list", "1", "1")
    assert session.screen().kind == "understood" and session.case.values == {}
    say(session, "")
    assert session.case.values == {"last_change": "beans"} and len(session.case.complaints) == 1


class HangsOn(FakeLookup):
    """Knows what a bare figure says only beside the complaint that it hangs on."""

    def understand(self, text: str) -> FakeUnderstood:
        found = super().understand(text)
        return replace(found, values={"shot_time": "15 s"}) if "gush" in text and "15 s" in text else found


@pytest.mark.parametrize("lines", [("gush", "15 seconds", ""), ("gush", "", "15 seconds", ""),
                                   ("gush", "", "", "15 seconds", "")])
def test_a_bare_figure_is_read_with_the_words_it_comes_after(system, lines):
    session = Session(system, HangsOn(system.book))
    say(session, *lines)
    assert session.case.values["shot_time"] == 15.0


def test_what_was_understood_is_said_without_the_question(session):
    say(session, "gush in 19 s with a new bag")
    assert [c.text for c in session.screen().data.sure] == [
        "the shot runs too fast", "the shot took 19 s", "last change: the beans"]


def test_dont_know_at_what_was_understood_goes_back_to_the_question(session):
    say(session, "gush", "1", "", "perhaps it drips in there", "d")
    assert codes(session) == ["dropped"] and session.stage.asks(session) == "last_change"


# Facts, and no complaint.

TELLING = "I have a new bag"
"""Speaks very strongly for one cause of the small book."""


@pytest.mark.parametrize("lines", [("",), ("hm", ""), ("hm", "1"), ("hm", "go on")])
def test_facts_that_point_at_a_fault_are_enough_to_go_on(session, lines):
    say(session, TELLING, "1", *lines)
    assert codes(session) == ["no_trouble_named"] and session.screen().kind in ("question", "remedy")
    assert session.case.complaints == () and session.case.values == {"last_change": "beans"}
    assert session.screen().status.leading == "the beans are too old"
    say(session, "why")
    assert session.screen().kind == "explain"


def test_an_abnormal_finding_is_enough_to_go_on(session):
    say(session, "19 s", "", "")
    assert codes(session) == ["no_trouble_named"] and session.case.values == {"shot_time": 19.0}


@pytest.mark.parametrize("lines", [(TELLING, "!"), (TELLING, "1", "!"), (TELLING, "1", "hm", "!")])
def test_the_best_fix_is_there_for_facts_alone(session, lines):
    say(session, *lines)
    assert session.screen().kind == "remedy"
    assert session.step().option.remedy == "fresh_bag" and "no_trouble_named" in codes(session)


def test_facts_gone_on_with_are_taken_back_in_one_go(session):
    say(session, TELLING, "1", "", "back")
    assert session.screen().kind == "complaint" and session.case.events == []
    assert session.screen().wanted.start == TELLING


def test_a_case_of_facts_alone_is_resumed_and_takes_a_complaint_later(session, system):
    say(session, TELLING, "1", "", "save")
    again = Session(system, FakeLookup(system.book), session.store)
    again.resume(session.id)
    assert again.screen().kind in ("question", "remedy")
    say(again, "well, now it gushes", "")
    assert again.case.complaints == ("too_fast",)
    again.close()


@pytest.mark.parametrize("lines", [("",), ("hm", ""), ("!",)])
def test_facts_that_say_nothing_lead_to_the_list_and_are_said_to(session, lines):
    say(session, "it stood warm", "1", *lines)
    assert codes(session) == ["kept_says_nothing"] and session.screen().kind == "browse"
    assert session.case.events == []
    say(session, "1", "1")
    assert len(session.case.complaints) == 1 and session.case.values == {"cold_night": "no"}


def test_facts_that_say_nothing_may_be_followed_by_other_words(session):
    say(session, "it stood warm", "1", "", "back")
    assert session.screen().kind == "complaint"
    say(session, "gush", "")
    assert session.case.complaints == ("too_fast",) and session.case.values == {"cold_night": "no"}


@pytest.mark.parametrize("how", ["", "!"])
def test_a_hazard_told_as_a_fact_stops_without_any_complaint(session, how):
    say(session, "it smells of burning", how)
    assert isinstance(session.step(), Stop) and session.screen().kind == "stop"


def test_facts_told_in_other_words_at_the_end_count_as_they_are(session):
    say(session, "gush", "1", "", "grind", "same", "same")
    assert session.screen().kind == "done"
    say(session, "1", "it was a new bag", "")
    assert codes(session) == ["noted_one"] and session.case.values["last_change"] == "beans"


# What else is known.

def test_what_else_is_known_is_asked_once_and_enter_passes_it(session):
    say(session, "gush", "1")
    assert session.screen().kind == "besides"
    say(session, "")
    assert session.screen().kind == "question" and len(session.case.entries) == 1


@pytest.mark.parametrize("nothing", ["no", "nothing.", "d", "skip", "that's all"])
def test_nothing_else_is_understood_as_such(session, nothing):
    say(session, "gush", "1", nothing)
    assert session.screen().kind == "question" and len(session.case.entries) == 1


def test_back_where_more_is_asked_for_gives_the_complaint_to_change(session):
    say(session, "gush in 19 s", "1", "back")
    assert session.screen().kind == "complaint" and not session.case.complaints
    assert session.screen().wanted.start == "gush in 19 s"


def test_a_complaint_that_said_plenty_is_asked_for_more_in_passing(session):

    say(session, "gush in 19 s with a new bag", "")
    assert session.screen().data == BesidesData(False)
    say(session, "restart", "yes", " ".join(["gush"] * 40), "1")
    assert session.screen().data == BesidesData(True)
    assert "What you tried already" in text.linear(session.screen())
    say(session, "finer did nothing", "")
    assert [t.remedy for t in session.case.fixes] == ["finer"]


def test_words_without_a_fact_are_kept_as_they_are(session):
    say(session, "gush", "1", "my aunt gave it to me")
    assert codes(session) == ["kept_as_said"] and session.screen().kind == "question"
    assert session.case.complaint == "gush my aunt gave it to me"
    say(session, "back")
    assert session.case.complaint == "gush" and session.screen().kind == "question"


# At a question.

def test_free_words_are_shown_before_anything_is_recorded(session):
    say(session, "gush", "1", "")
    before = list(session.case.entries)
    say(session, "well, it took 19 s with a new bag")
    assert session.screen().kind == "understood" and session.case.entries == before
    say(session, "drop")
    assert session.case.entries == before and session.screen().kind == "question"
    assert codes(session) == ["dropped"]


def test_free_words_are_on_file_at_once_and_one_back_takes_them_back(session):
    say(session, "gush", "1", "", "well, it took 19 s with a new bag", "")
    assert session.store.load(session.id) == session.case.entries
    assert session.case.values == {"shot_time": 19.0, "last_change": "beans"}
    say(session, "back")
    assert session.case.values == {} and session.case.complaints == ("too_fast",)


def test_a_long_line_that_holds_an_answer_is_asked_about_first(session):
    say(session, "gush", "1", "", "I moved the grind a lot yesterday because it was so fast")
    screen = session.screen()
    assert screen.kind == "understood" and session.case.values == {}
    assert any("the grind" in i.text for i in screen.data.sure)


def test_a_denied_answer_is_never_taken_for_the_answer(session):
    say(session, "gush", "1", "", "it was not the beans")
    assert session.case.values == {}


@pytest.mark.parametrize(("line", "kept"), [
    ("yes, and it took 19 s", {"bag_fresh": "yes", "shot_time": 19.0}),
    ("no because of the new bag", {"bag_fresh": "no", "last_change": "beans"})])
def test_a_yes_or_no_with_more_to_it_gives_both(session, line, kept):
    from diagnose.dialogue.stages.question import Question

    say(session, "gush", "1", "")
    session.over.append(Question("bag_fresh"))
    say(session, line, "")
    assert session.case.values == kept


def test_a_number_with_more_to_it_gives_both(session):
    from diagnose.dialogue.stages.question import Question

    say(session, "gush", "1", "")
    session.over.append(Question("shot_time"))
    say(session, "22 s, and it is a new bag", "")
    assert session.case.values == {"shot_time": 22.0, "last_change": "beans"}


def test_free_words_change_an_answer_given_before(session):
    say(session, "gush", "1", "", "grind", "oh, I also opened a new bag", "")
    assert session.case.values == {"last_change": "beans"}


def test_what_was_said_already_is_not_asked_again(session):
    say(session, "gush", "1", "", "beans", "as I said, a new bag and it gushes")
    assert session.screen().kind == "remedy" and codes(session) == ["no_choice"]


@pytest.mark.parametrize("line", ["well now it is burning", "the whole thing smells of burning, help"])
def test_a_hazard_in_free_words_warns_at_once_and_stops_when_confirmed(session, line):
    say(session, "gush", "1", "", line)
    assert [c.signal for c in session.screen().cautions] == ["DANGER"]
    say(session, "")
    step = session.step()
    assert isinstance(step, Stop) and step.caution == "mains"


def test_a_hazard_in_the_words_asked_for_after_the_complaint_stops_too(session):
    say(session, "gush", "1", "and it smells of burning", "")
    assert session.screen().kind == "stop"
    say(session, "back")
    assert session.screen().kind == "question"


def test_no_more_is_asked_where_the_complaint_is_a_hazard(session):
    say(session, "gush and a smell of burning", "")
    assert session.screen().kind == "stop"


def test_new_trouble_after_a_fix_brings_its_facts_along(session):
    say(session, "gush", "1", "", "grind", "new", "now it only drips with a new bag", "", "same")
    assert set(session.case.complaints) == {"too_fast", "too_slow"}
    assert session.case.values["last_change"] == "beans"


def test_where_words_can_t_be_read_the_list_still_leads_on(session, monkeypatch):
    from diagnose.errors import UserError

    def broken(text: str):
        raise UserError("words.yaml:3:1: no such key")

    monkeypatch.setattr(session.lookup, "understand", broken)
    say(session, "hm")
    assert codes(session) == ["no_reading"] and "list" in ids(session)
    say(session, "list", "1", "1", "")
    assert session.screen().kind == "question"
    say(session, "my aunt gave it to me")
    assert codes(session) == ["no_reading", "no_answer"]


def test_an_answer_in_doubt_is_offered_apart(session):
    say(session, "gush", "1", "", "it drips a bit, perhaps a new bag too")
    assert session.screen().data.maybe == ["last_change=beans"]
    say(session, "")
    assert session.case.values == {} and session.case.complaints == ("too_fast", "too_slow")


@pytest.mark.parametrize("where", ["complaint", "question"])
def test_a_fix_tried_before_is_told_confirmed_and_counts(session, where):
    told = "finer did nothing, it is a new bag"
    if where == "complaint":
        say(session, f"gush, {told}")
        tried = next(c for c in session.screen().choices if c.id == "finer=same")
    else:
        say(session, "gush", "1", "", f"well, {told}")
        tried = session.screen().choices[-2]
    assert (tried.text, tried.more) == ("Grind finer", "same")
    say(session, "")
    assert [(t.remedy, t.outcome) for t in session.case.fixes] == [("finer", "same")]
    assert session.case.values == {"last_change": "beans"}
    assert "finer" not in [o.remedy for o in session.case.options]
    say(session, "back", "back")
    assert session.case.fixes == () and session.case.values == {}
    assert session.store.load(session.id) == session.case.entries


def test_what_a_fix_came_to_is_said_in_words(session):
    from diagnose.ui import text

    say(session, "gush", "1", "", "well, finer did nothing")
    assert "- Grind finer: tried, no change." in text.linear(session.screen())


def test_a_danger_in_doubt_is_marked_and_stops_nothing_until_chosen(session):
    say(session, "gush", "1", "", "hm, perhaps burning")
    (doubt, _) = session.screen().choices
    assert (doubt.id, doubt.more) == ("smell=burning", "danger") and not session.screen().cautions
    say(session, "1")
    assert isinstance(session.step(), Stop)


class MovedLookup(FakeLookup):
    """Reads that the grind was moved, as a symptom and as the answer that says the same."""

    def understand(self, text: str) -> FakeUnderstood:
        """The one thing it knows."""
        same = {"last_change": "grind"}
        sure, doubt = (same, {}) if "sure" in text else ({}, same)
        return FakeUnderstood(("grind_moved",), sure, doubtful=doubt)


MOVED = """\
  grind_moved:
    name: the grind was moved and all is different
    area: grind
    finding: {grind_touched: moved}
    lay: [moved the grind]
causes:
  grind_coarse:
"""


@pytest.mark.parametrize("text", ["moved it", "moved it for sure"])
def test_an_answer_that_says_what_the_symptom_says_goes_with_it(tmp_path, text):
    from diagnose.reason.system import System

    book = small_book(tmp_path, BOOK.replace("causes:\n  grind_coarse:\n", MOVED, 1))
    session = Session(System(book), MovedLookup(book))
    say(session, text)
    screen = session.screen()
    assert [i.id for i in screen.data.sure] == ["grind_moved"]
    assert "last_change=grind" not in screen.data.maybe
    say(session, "")
    assert session.case.values == {"last_change": "grind"}


def test_a_plain_no_keeps_nothing(session):
    say(session, "gush", "no")
    assert session.screen().kind == "complaint" and session.case.entries == []
    say(session, "gush", "1", "", "well, a new bag", "No.")
    assert session.screen().kind == "question" and session.case.values == {}


def test_a_long_line_is_not_taken_for_an_answer_it_is_merely_like(session):
    say(session, "gush", "1", "", "my aunt has had the old thing for years, nothing else to say about it")
    assert session.screen().kind == "question" and session.case.values == {}
    assert codes(session) == ["no_answer"]
