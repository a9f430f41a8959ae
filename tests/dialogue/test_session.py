"""The consult driven by typed lines: one session, every script, no front end."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from diagnose.case.case import Ask, Fix, Stop
from diagnose.case.events import Rechecked, Tried
from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.present.handover import summary
from diagnose.ui import text
from tests.case.small import FakeLookup
from tests.dialogue.scripts import codes, say


class Clock:
    """A clock that a test turns."""

    now = 100.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def session(system, tmp_path: Path) -> Iterator[Session]:
    made = Session(system, FakeLookup(system.book), Store(tmp_path / "cases"),
                   today=date(2026, 3, 31), clock=Clock())
    yield made
    made.close()


def test_first_letters_are_enough_for_an_answer(session):
    say(session, "gush", "1", "", "noth")
    assert session.case.values == {"last_change": "nothing"}


def test_first_letters_that_fit_two_answers_are_refused(session):
    say(session, "gush", "1", "", "the")
    assert session.case.values == {} and codes(session) == ["no_answer"]


HOUSE = """\
schema: 1
chapter: ours
title: House rules
rules:
  our_beans:
    when: {last_change: beans}
    weigh: {grind_coarse: decisive for}
    source: house
"""


def test_what_a_house_rule_touched_says_so_with_file_and_line(tmp_path):
    from diagnose.reason.system import System
    from tests.case.small import small_book

    book = small_book(tmp_path, house=HOUSE)
    session = Session(System(book), FakeLookup(book))
    say(session, "it gushes since the new bag", *[""] * 3)
    assert any("ours.yaml" in rule.place for rule in session.screen().house)
    say(session, "why")
    (line,) = [c for c in session.screen().data.chain if "house rule" in c]
    assert line.startswith("decisive for: you said: the beans (house rule, ")
    assert "ours.yaml:" in line


def test_a_skipped_question_comes_neither_next_nor_counts_as_known(session):
    say(session, "gush", "1", "")
    first = session.step().question.observation
    say(session, "skip")
    step = session.step()
    assert not (isinstance(step, Ask) and step.question.observation == first)
    assert first not in session.case.values and first not in session.case.unknown


def test_a_skipped_question_can_still_be_answered(session):
    say(session, "gush", "1", "", "skip", "known", "1", "grind")
    assert session.case.values == {"last_change": "grind"} and not session.aside


def test_what_could_not_be_told_can_still_be_answered(session):
    say(session, "gush", "1", "", "d", "known")
    assert [c.id for c in session.screen().choices] == ["last_change"]
    say(session, "1", "grind")
    assert session.case.values == {"last_change": "grind"}


def test_a_skipped_fix_makes_way_for_the_next(session):
    say(session, "gush", "1", "", "grind")
    first = session.step()
    say(session, "skip")
    second = session.step()
    assert isinstance(first, Fix) and isinstance(second, Fix)
    assert second.option.remedy == first.after[0].remedy


def test_skipping_every_fix_brings_all_of_them_back(session):
    say(session, "gush", "1", "", "grind")
    first = session.step().option.remedy
    for _ in range(len(session.seen.options)):
        say(session, "skip")
    assert codes(session) == ["last_fix"] and session.step().option.remedy == first


def test_what_is_still_there_is_asked_only_where_it_is_better_and_there_was_more(session):
    say(session, "gush", "1", "", "grind", "better")
    assert session.screen().kind != "left"
    say(session, "restart", "yes", "gush", "1 2", "", "1", "d", "same")
    assert session.screen().kind != "left" and session.case.complaints == ("too_fast", "too_slow")


def test_what_is_gone_is_kept_and_can_be_taken_back(session):
    say(session, "gush", "1 2", "", "1", "d", "better", "2")
    assert session.case.complaints == ("too_slow",) and codes(session) == ["was_partly"]
    kept = session.store.load(session.id)
    assert kept[-1].event.gone == ("too_fast",)
    say(session, "back")
    assert session.case.complaints == ("too_fast", "too_slow")


def test_all_of_it_only_less_leaves_every_complaint(session):
    say(session, "gush", "1 2", "", "1", "d", "better", "all")
    assert session.case.complaints == ("too_fast", "too_slow") and not session.case.fixes[0].gone


def test_back_leaves_the_question_what_is_still_there(session):
    say(session, "gush", "1 2", "", "1", "d", "better", "back")
    assert session.screen().kind == "remedy" and not session.case.fixes


def test_that_it_is_better_is_kept_though_what_is_left_is_never_said(session):
    say(session, "gush", "1 2", "", "1", "d", "better")
    assert session.screen().kind == "left"
    session.interrupt()
    session.interrupt()
    assert session.ended == "left"
    assert session.store.load(session.id)[-1].event == Tried("finer", "better")


def test_where_only_what_is_new_is_left_the_old_is_gone(session):
    say(session, "gush", "1", "", "grind", "new", "now it only drips", "1", "solved")
    assert session.case.complaints == ("too_slow",)


def test_the_summary_says_which_complaint_went(session):
    say(session, "gush", "1 2", "", "1", "d", "better", "2")
    told = summary(session.case, date(2026, 3, 31))
    assert "made it better (gone since: the shot runs too fast)" in told


def test_what_if_tries_an_answer_on_a_copy(session):
    say(session, "gush", "1", "")
    before = list(session.case.entries)
    say(session, "what if the beans?")
    told = session.screen().data
    assert told.after[0].id == "beans_old" and told.before[0].id == "grind_coarse"
    assert session.case.entries == before


def test_what_if_tells_what_comes_of_a_fix_that_fails(session):
    say(session, "gush", "1", "", "grind", "what if same")
    told = session.screen().data
    assert told.said == "same"
    assert told.after[0].probability < told.before[0].probability


def test_what_if_without_an_answer_says_what_to_write(session):
    say(session, "gush", "1", "", "what if")
    assert codes(session) == ["refused"]
    assert "what if the grind" in session.screen().notes[0].values["text"]


@pytest.mark.parametrize("answer", ["grind", "beans"])
def test_what_would_change_the_mind_does_change_it(session, answer):
    """Each answer named is given in a fresh case: the cause named must then lead."""
    say(session, "gush", "1", "", answer, "change mind")
    turns = session.screen().data.turns
    assert turns
    from diagnose.reason.explain import outlook

    for turn in outlook.turns(session.system, session.case.state):
        chances = outlook.chances(session.system, session.case.state, dict(turn.changes))
        assert max(chances, key=chances.get) == turn.cause != session.case.ranked[0].cause


def test_a_single_answer_is_preferred_to_two(session):
    say(session, "gush", "1", "", "grind", "change mind")
    sizes = [len(t.changes) for t in session.screen().data.turns]
    assert set(sizes) == {1} or set(sizes) == {2}


def test_why_says_which_causes_a_question_separates(session):
    say(session, "gush", "1", "", "why")
    told = session.screen().data
    causes = [b.cause for b in told.branches]
    assert "the grind is too coarse" in causes and len(set(causes)) == len(causes) > 1
    assert sum(b.likely for b in told.branches) == pytest.approx(1, abs=0.01)
    assert told.saves > 0


def test_why_of_a_conclusion_ends_at_the_persons_own_answers(session):
    say(session, "gush", "1", "", "grind", "why")
    chain = session.screen().data.chain
    at = chain.index("strong for: the grind was moved")
    assert chain[at + 1].strip() == "because you said: the grind"


def test_sources_name_file_and_line_and_why_does_not(session):
    say(session, "gush", "1", "", "grind", "why")
    assert not any("small.yaml" in line for line in session.screen().data.chain)
    say(session, "sources")
    line = next(c for c in session.screen().data.chain if "the grind was moved" in c)
    number = int(line.split("small.yaml:")[1].split(":")[0])
    text = Path(session.book.chapters[0].file)  # the chapter's name, not its path
    assert text.name == "small.yaml" and number > 1


def _hazard(session: Session, name: str, answer: str) -> None:
    say(session, "gush", "1", "")
    session.case.answer(name, answer)


def test_a_hazard_without_a_way_on_offers_only_leaving_and_a_summary(session):
    _hazard(session, "smell", "burning")
    assert isinstance(session.step(), Stop)
    assert [c.id for c in session.screen().choices] == ["leave", "summary"]
    say(session, "skip")
    assert codes(session) == ["no_skip"] and isinstance(session.step(), Stop)


def test_a_hazard_with_a_way_on_goes_on_once_that_is_true(session):
    _hazard(session, "cold_night", "yes")
    shown = session.screen()
    assert shown.data.go_on.startswith("It stood in the warm")
    say(session, "1")
    assert not isinstance(session.step(), Stop)


@pytest.mark.parametrize("name, answer, note", [
    ("cold_night", "yes", "stop_stands_until"), ("smell", "burning", "stop_stands")])
def test_at_a_hazard_own_words_are_kept_and_the_ways_on_are_named(session, name, answer, note):
    _hazard(session, name, answer)
    say(session, "no, it is cold now")
    assert codes(session) == [note] and isinstance(session.step(), Stop)
    assert session.case.complaint.endswith("no, it is cold now")
    say(session, "hm")
    assert codes(session) != [note], "a slip of the keys is none"


def test_back_takes_the_hazards_answer_back(session):
    _hazard(session, "smell", "burning")
    say(session, "back")
    assert "smell" not in session.case.values and isinstance(session.step(), Ask)


def test_a_hazard_says_which_answer_raised_it(session):
    _hazard(session, "smell", "burning")
    say(session, "why")
    assert session.screen().data.chain == ["you said: it smells of burning"]


def test_the_timer_takes_the_time_as_the_answer(session):
    from diagnose.dialogue.stages.question import Question

    say(session, "gush", "1", "")
    session.over.append(Question("shot_time"))
    say(session, "timer")
    assert session.screen().data.phase == "ready"
    say(session, "")
    session.clock.now += 19.34
    assert session.elapsed == pytest.approx(19.34)
    say(session, "")
    assert session.screen().wanted.start == "19.3 s"
    say(session, "")
    assert session.case.values["shot_time"] == pytest.approx(19.3)


def test_the_timers_time_can_be_changed_before_it_is_taken(session):
    from diagnose.dialogue.stages.question import Question

    say(session, "gush", "1", "")
    session.over.append(Question("shot_time"))
    say(session, "timer", "", "", "21 sec")
    assert session.case.values["shot_time"] == 21


def test_there_is_no_timer_where_no_time_is_asked(session):
    say(session, "gush", "1", "", "timer")
    assert codes(session) == ["no_timer"]


@pytest.mark.parametrize("typed", ["-3 s", "900 s", "nan", "1e400", "19 g", "soon"])
def test_impossible_numbers_are_refused_with_one_line_and_nothing_changes(session, typed):
    from diagnose.dialogue.stages.question import Question

    say(session, "gush", "1", "")
    session.over.append(Question("shot_time"))
    assert session.check(typed)
    say(session, typed)
    text = session.screen().notes[0].values["text"]
    assert text and "\n" not in text
    assert "shot_time" not in session.case.values and session.stage.asks(session) == "shot_time"


@pytest.mark.parametrize("typed", ["19", "19s", "19 sec", "0:19", "19,0 s"])
def test_a_time_is_read_with_its_unit_or_without(session, typed):
    from diagnose.dialogue.stages.question import Question

    say(session, "gush", "1", "")
    session.over.append(Question("shot_time"))
    assert session.check(typed) == "" and session.read_as(typed) == "19 s"
    say(session, typed)
    assert session.case.values["shot_time"] == 19


def test_back_from_the_first_question_gives_the_complaint_to_change(session):
    say(session, "gush in 19 s", "1", "", "back")
    shown = session.screen()
    assert shown.kind == "complaint" and shown.wanted.start == "gush in 19 s"
    assert session.case.values == {} and session.case.complaints == ()


def test_a_dont_know_taken_back_is_not_told_as_an_answer(session):
    say(session, "gush", "1", "", "d", "back")
    said = text.linear(session.screen())
    assert "Taken back: your \"don't know\"." in said
    assert said.count(session.book.observations[session.stage.asks(session)].ask) == 1


def test_an_answer_taken_back_does_not_say_its_question_twice(session):
    say(session, "gush", "1", "", "grind", "back")
    said = text.linear(session.screen())
    assert "Taken back: \"the grind\"." in said
    assert said.count(session.book.observations["last_change"].ask) == 1


def test_what_was_let_stand_is_taken_back_without_its_key(session):
    session.case.complain("", ("too_fast",))
    session.case._add(Rechecked("complaint too_fast shot_time"))
    say(session, "back")
    assert "too_fast" not in text.linear(session.screen()).split("\n\n")[0]


def test_control_c_asks_once_and_leaves_the_second_time(session):
    say(session, "gush", "1", "", "grind")
    session.interrupt()
    assert session.screen().kind == "leave"
    say(session, "no")
    assert session.screen().kind == "remedy"
    session.interrupt()
    session.interrupt()
    assert session.ended == "left"


def test_a_summary_is_written_and_never_over_another_file(session, tmp_path):
    _hazard(session, "smell", "burning")
    file = tmp_path / "for-them.md"
    say(session, "summary", str(file))
    text = file.read_text()
    assert "it gushes" not in text and "gush" in text
    assert "DANGER: A burning smell" in text and "it smells of burning" in text
    say(session, "summary", str(file))
    assert codes(session) == ["file_there"] and file.read_text() == text
    say(session, str(tmp_path / "none" / "x.md"))
    assert codes(session) == ["file_failed"] and session.screen().kind == "save"


def test_a_summary_that_is_not_named_lies_with_the_persons_data(session, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path / "mine"))
    _hazard(session, "smell", "burning")
    say(session, "summary", "")
    (written,) = (tmp_path / "mine").glob("summary-*.md")
    assert "DANGER" in written.read_text() and not list(tmp_path.glob("*.md"))
    assert session.notes[-1].values["file"] == str(written)


def test_status_counts_answers_and_names_the_leading_cause(session):
    say(session, "gush", "1", "", "grind")
    status = session.screen().status
    assert status.known == 1 and status.leading == "the grind is too coarse"
    assert status.sure == pytest.approx(session.case.ranked[0].probability, abs=1e-4)
    assert status.left == 0


def test_every_line_is_cut_to_a_length_and_cleaned(session):
    say(session, "gush\x00\x07" + "x" * 10_000)
    assert "cut" in codes(session) and len(session.screen().data.text) <= 4000
    assert "\x00" not in session.screen().data.text


def test_every_number_of_the_shipped_book_has_an_example_that_can_be_typed():
    from diagnose.book import answers
    from diagnose.book.with_house import load
    from diagnose.present.views import wanted

    asked = {n: o for n, o in load().book.observations.items() if o.kind == "quantity"}
    shown = {name: wanted(stated).example for name, stated in asked.items()}
    for name, example in shown.items():
        answers.quantity(asked[name], example.replace(" or ", ", ").split(", ")[0])
    assert shown["shot_time"] == "27 s or 1:05" and shown["warm_time"].endswith(" min")


@pytest.mark.parametrize(("said", "outcome"), [("Yes!", "solved"), ("no", "same"), ("a bit", "better"),
                                               ("didn’t help.", "same"), ("worse", "worse")])
def test_did_it_work_takes_a_plain_answer(session, said, outcome):
    say(session, "gush", "1", "", "grind", said)
    assert [t.outcome for t in session.case.fixes] == [outcome]
