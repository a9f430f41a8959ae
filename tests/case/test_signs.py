"""Signs of danger add up, nothing denies one that was told, and what must not be used is not run."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from diagnose.book import answers
from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.yaml import loader
from diagnose.case import hazards
from diagnose.case.case import Ask, Case, Fix, Stop
from diagnose.case.hazards import Alarms
from diagnose.reason.system import System
from diagnose.storage import paths

BOOK = build_book(loader.load(paths.shipped()))
NUMBER = re.compile(r"\b\d{3,}\b(?! degrees| minutes)")


@pytest.fixture(scope="module")
def shipped() -> System:
    return System(BOOK)


def told(system: System, *symptoms: str, **given: str) -> Case:
    case = Case(system)
    case.complain("told", symptoms)
    for name, value in given.items():
        case.answer(name, value)
    return case


@pytest.mark.parametrize("hazard", BOOK.hazards)
def test_every_hazard_of_the_list_leads_to_its_caution_and_says_whether_to_go_on(
        shipped: System, hazard: str) -> None:
    stated, found = BOOK.hazards[hazard], hazards.of(BOOK, hazard)
    case = told(shipped, found.symptom)
    assert hazard in case.signs
    assert found.caution in case.cautions
    assert found.stops == (BOOK.cautions[found.caution].stop == "yes")
    assert case.use.no or stated.stop == "no"
    assert (stated.use in case.use.text or case.use.text.startswith("no")
            or any(BOOK.hazards[h].stop == "yes" for h in case.signs))
    assert not NUMBER.search(stated.first_aid + stated.first), "no number to ring is made up"
    if found.stops:
        assert case.step() == Stop("hazard", case.hazard)


def test_whatever_stops_by_itself_is_a_hazard_of_the_list(shipped: System) -> None:
    alarms, without = Alarms(shipped), []
    for name in BOOK.symptoms:
        if alarms.symptom(name) and not told(shipped, name).signs:
            without.append(name)
    for name, stated in BOOK.observations.items():
        for answer in stated.answers:
            if alarms.answer(name, answer) and not told(shipped, **{name: answer}).signs:
                without.append(f"{name}: {answer}")
    assert without == []


def several(book: Book) -> Iterator[tuple[str, str, str]]:
    for name, stated in book.observations.items():
        if stated.several == "yes":
            alone = [a for a, v in stated.answers.items() if v.alone == "yes"]
            rest = [a for a in stated.answers if a not in alone]
            yield name, alone[0], "+".join(rest)


@pytest.mark.parametrize(("name", "none", "rest"), list(several(BOOK)))
def test_a_question_on_danger_takes_all_its_signs_at_once(
        shipped: System, name: str, none: str, rest: str) -> None:
    case = told(shipped, **{name: f"{rest}+{none}"})
    assert case.values[name] == rest
    assert {v for n, v in case.inference.facts if n == name} == set(rest.split("+"))
    assert case.conflicts == []


def test_several_answers_are_read_as_people_type_them() -> None:
    stated = BOOK.observations["danger_sign"]
    for typed in ("3 4", "3, 4", "4 and 3", "tingle + trips", "tingle, breaker goes"):
        assert answers.parse(stated, typed) == "tingle+trips"
    assert answers.parse(stated, "1 3") == "tingle" and answers.parse(stated, "1") == "none"
    assert answers.exact(stated, stated.answers["burning"].says) == "burning"
    with pytest.raises(answers.AnswerError):
        answers.exact(stated, "tingle+gone")


@pytest.mark.parametrize("answer", ["trips", "none", "new_smell", "wet", "burning"])
def test_no_answer_denies_a_tingle_that_was_told(shipped: System, answer: str) -> None:
    case = told(shipped, "tingling", danger_sign=answer)
    assert "shock" in case.signs and case.hazard == "mains_stop"
    assert "shock" in case.inference.findings["mains_hazard"]
    assert "none" not in case.inference.findings["mains_hazard"]
    assert case.conflicts == []
    spoken_against = {r.cause for r in case.ruled_out}
    assert not any("tingling" in BOOK.causes[c].shows for c in spoken_against if c)
    parts = next(r.parts for r in case.ranked if r.cause == "earth_fault")
    assert not any(p.decibans < 0 and p.fired and ("danger_sign", answer) in p.fired.on for p in parts)


def test_hurt_and_swallowed_come_before_the_machine(shipped: System) -> None:
    case = told(shipped, "trips_breaker", "child_at_machine", "cleaner_swallowed", "burning_smell")
    assert case.signs[0] == "cleaner_swallowed" and case.hazard == "swallowed_first_aid"
    signals = [BOOK.hazards[h].signal for h in case.signs if BOOK.hazards[h].hurt == "no"]
    assert signals == sorted(signals, key=("DANGER", "WARNING", "CAUTION").index)


@pytest.mark.parametrize("symptom", [h.symptom for h in BOOK.hazards.values()
                                     if h.stop == "yes" and BOOK.cautions[h.caution].stop == "no"])
def test_while_it_must_not_be_used_nothing_needs_it_run(shipped: System, symptom: str) -> None:
    case = told(shipped, symptom)
    assert case.use.no
    for _ in range(6):
        step = case.step()
        if isinstance(step, Ask):
            assert BOOK.observations[step.question.observation].needs == ()
            case.dont_know(step.question.observation)
    fixes = [o for o in case.options if o.who != "technician"]
    assert [o.remedy for o in fixes if BOOK.remedies[o.remedy].needs] == []


def test_a_cause_that_says_no_leaves_something_to_do() -> None:
    """Its own remedies must not all be barred by what it says."""
    for name, cause in BOOK.causes.items():
        open_to = [u.remedy for u in cause.remedies if not BOOK.remedies[u.remedy].needs]
        assert open_to or not cause.use.startswith("no"), name


def test_a_leading_cause_says_whether_to_go_on(shipped: System) -> None:
    case = told(shipped, "grinder_hums", grinder_start="bang", bean_condition="foreign")
    leading = BOOK.causes[case.ranked[0].cause]
    assert leading.use.startswith("no") and case.ranked[0].probability > 0.3
    assert case.use.text == leading.use
    assert told(shipped, "shot_too_fast").use.text == "yes"
    assert not isinstance(case.step(), Fix) or not BOOK.remedies[case.step().option.remedy].needs


def test_what_was_dealt_with_is_no_sign_any_more(shipped: System) -> None:
    case = told(shipped, "somebody_burned")
    assert case.use.no and case.signs == ("scald",)
    case.clear("burn_first_aid")
    assert case.signs == () and not case.use.no
