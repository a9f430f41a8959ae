"""First do no harm: what a remedy would do under another cause counts in its place in the order."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.problems import KnowledgeError
from diagnose.case.case import Case, Done, Fix
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.plan import HARM_MINUTES, HARMFUL, Planner
from tests.book.small import SMALL, book_of, changed
from tests.reason.books import book, cause, choice, finding, remedy, symptom, system

HARM = {"causes": ["jam"], "why": "A stone chips the burrs."}
NOISE = {
    "observations": {"noise": choice("knock", "hum"), "start": choice("hums", "runs")},
    "findings": {"sound": finding(("odd",), odd={"noise": "knock"}, usual={"noise": "hum"})},
    "symptoms": {"odd_noise": symptom("sound", "odd")},
    "causes": {"loud": cause({"odd_noise": "always"}, "very common", cures={"leave": "nearly always"}),
               "jam": cause({"odd_noise": "often"}, "common", cures={"clear": "usually"})},
    "remedies": {"leave": remedy(1, harmful_under=HARM), "clear": remedy(20)}}


def noisy(folder: Path, **remedies: object) -> Case:
    case = Case(system(folder, **{**NOISE, "remedies": NOISE["remedies"] | remedies}))
    case.complain("it knocks", ("odd_noise",))
    return case


def test_harm_to_expect_is_part_of_what_a_remedy_costs(tmp_path: Path) -> None:
    made = Planner(book(tmp_path, **{k: NOISE[k] for k in ("causes", "remedies", "findings", "symptoms",
                                                             "observations")}))
    chances = {"loud": 0.8, "jam": 0.2, OTHER: 0.0}
    plain = made.cost["leave"]
    by_cause = made.by_cause(["leave"], chances)
    assert by_cause["jam"] - made.by_cause([], chances)["jam"] == pytest.approx(plain + HARM_MINUTES)
    worth = made.expected_minutes(chances)
    made.harms.clear()
    assert worth > made.expected_minutes(chances)


def test_what_would_do_harm_does_not_come_first_while_its_cause_is_likely(tmp_path: Path) -> None:
    case = noisy(tmp_path)
    assert case.ranked[0].cause == "loud"
    assert next(r.probability for r in case.ranked if r.cause == "jam") >= HARMFUL
    assert case.options[0].remedy == "clear"
    assert noisy(tmp_path, leave=remedy(1)).options[0].remedy == "leave", "it would, were it harmless"


def test_where_only_harm_is_left_nothing_is_advised(tmp_path: Path) -> None:
    case = noisy(tmp_path, clear=remedy(20, requires={"start": "runs"}))
    case.answer("start", "hums")
    assert [o.remedy for o in case.options] == ["leave"] and case.fix() == Done("unsure") == case.best()


def test_known_to_do_harm_it_is_not_offered_at_all(tmp_path: Path) -> None:
    case = noisy(tmp_path, leave=remedy(1, harmful_under={"when": {"start": "hums"}, "why": "It burns out."}))
    assert isinstance(case.fix(), Fix) and case.options[0].remedy == "leave"
    case.answer("start", "hums")
    assert "leave" not in {o.remedy for o in case.options}


def test_what_the_answers_say_was_tried_is_not_offered(tmp_path: Path) -> None:
    case = noisy(tmp_path, leave=remedy(1, tried_when={"start": "runs"}))
    case.answer("start", "runs")
    assert "leave" not in {o.remedy for o in case.options}


def test_harm_names_causes_that_there_are() -> None:
    spoilt = changed("remedies/finer/harmful_under", {"causes": ["too_coarsely"], "why": "It hurts."}, SMALL)
    with pytest.raises(KnowledgeError, match="cause 'too_coarsely' is not in the book"):
        book_of(spoilt)


@pytest.mark.parametrize(("remedy", "cause"), [
    ("leave_noise", "stone_jam"), ("wipe_rim_and_seal", "lugs_worn"), ("plug_into_wall", "earth_fault"),
    ("descale_as_maker_says", "metal_eaten_by_acid"), ("free_baked_handle", "pressure_holds_handle"),
    ("grind_finer", "portafilter_not_home"), ("wait_for_steam", "boiler_needs_refill")])
def test_the_shipped_book_knows_what_does_harm(shipped_harms: dict, remedy: str, cause: str) -> None:
    assert cause in shipped_harms[remedy]


@pytest.fixture(scope="module")
def shipped_harms() -> dict:
    from diagnose.book.with_house import load

    return Planner(load([]).book).harms
