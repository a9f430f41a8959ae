"""A reason as data: its line, and apart from it how much it weighs, for which side, and its words."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.present import why
from diagnose.reason.explain.reason import INDENT, Reason
from diagnose.reason.system import System
from diagnose.reason.weights import GRADES
from tests.case.small import small_system


@pytest.fixture
def case(tmp_path: Path) -> Case:
    case = Case(small_system(tmp_path))
    case.complain("it gushes", ["too_fast"])
    case.answer("last_change", "grind")
    return case


def apart(reasons: list[Reason]) -> list[tuple[str, str, str, int]]:
    return [(r.grade, r.side, r.text, r.depth) for r in reasons]


def test_evidence_has_its_grade_and_side_and_other_reasons_have_none(case: Case) -> None:
    found = {one.grade: one for one in why.why(case, case.ranked[0])}
    assert found["strong"] == "Strong for: the grind was moved."
    assert apart([found["strong"]]) == [("strong", "for", "the grind was moved.", 0)]
    assert apart([r for r in why.why(case, case.ranked[0]) if "homes" in r]) == [
        ("", "", "It is very common in homes.", 0)]


def test_each_line_of_a_chain_knows_how_deep_it_stands(case: Case) -> None:
    chain = why.chain(case, case.ranked[0])
    at = chain.index("strong for: the grind was moved")
    assert apart(chain[at:at + 2]) == [("strong", "for", "the grind was moved", 0),
                                       ("", "", "because you said: the grind", 1)]
    assert chain[at + 1] == f"{INDENT}because you said: the grind"


def test_where_a_rule_stands_is_among_the_words(case: Case) -> None:
    first = why.chain(case, case.ranked[0], places=True)[0]
    assert first.grade in GRADES and first.text.endswith("]") and "small.yaml:" in first.text


def test_what_raised_a_caution_weighs_nothing(case: Case) -> None:
    case.answer("smell", "burning")
    assert apart(why.of_caution(case, case.hazard)) == [("", "", "you said: it smells of burning", 0)]


def test_of_every_cause_the_parts_make_the_line() -> None:
    case = Case(System(load([]).book))
    case.complain("", ("shot_too_fast", "coffee_sour"))
    for name, answer in (("flow_look", "gushes"), ("last_change", "grind_setting")):
        if answer in case.book.observations[name].answers:
            case.answer(name, answer)
    weighed = 0
    for ranked in case.ranked:
        for reason in (*why.why(case, ranked), *why.chain(case, ranked)):
            lead = f"{reason.grade} {reason.side}: " if reason.grade else INDENT * reason.depth
            assert reason.lower() == f"{lead}{reason.text}".lower()
            assert not reason.grade or (reason.grade in GRADES and reason.side in ("for", "against"))
            weighed += bool(reason.grade)
    assert weighed > 20
