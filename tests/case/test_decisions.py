"""What the tuned constants of a case decide, in figures that stand here by themselves.

No constant is imported: each test says what it should come to, so that moving one is noticed
(`tests/decisions/table.py` says which test holds which).
"""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from diagnose.case import outcome_evidence
from diagnose.case.case import Case, Done
from diagnose.case.events import Tried
from diagnose.case.use import verdict
from diagnose.reason.first import implausible_fixes
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.plan import Option, Planner
from diagnose.reason.rank import believed
from diagnose.reason.system import System
from tests.case.small import small_system
from tests.reason.books import book, cause, choice, finding, remedy, symptom, system

# What came of fixes.

@pytest.fixture
def planner(tmp_path: Path) -> Planner:
    """A fix for each of two causes: one that usually cures, one that often does."""
    return Planner(book(
        tmp_path, remedies={"sure": remedy(5, again="One mark more."), "fair": remedy(5)},
        causes={"one": cause(cures={"sure": "usually"}), "two": cause(cures={"fair": "often"}),
                "three": cause(cures={"fair": "sometimes"})}))


def test_a_fix_that_helped_speaks_for_its_cause_and_more_so_where_all_is_well(planner: Planner) -> None:
    """0.8 of 0.1 that it gets better without reason is 9 decibans; where something is left, less than 4."""
    solved = outcome_evidence.decibans(planner, [Tried("sure", "solved")])["one"]
    better = outcome_evidence.decibans(planner, [Tried("sure", "better")])["one"]
    assert 8 < solved < 10 and 3 < better < 5


def test_two_fixes_that_failed_make_what_no_book_holds_four_times_as_likely(planner: Planner) -> None:
    found = outcome_evidence.decibans(planner, [Tried("sure", "same"), Tried("fair", "worse")])
    assert 3.5 < 10 ** (found[OTHER] / 10) < 4.5


def test_what_goes_on_helping_is_done_six_times_and_no_more(planner: Planner) -> None:
    tries = [Tried("sure", "better")] * 5
    assert outcome_evidence.spent(planner.book, tries) == frozenset()
    assert outcome_evidence.spent(planner.book, [*tries, tries[0]]) == {"sure"}


def test_a_cause_is_treated_by_what_often_cures_it_and_not_by_what_sometimes_does(planner: Planner) -> None:
    assert outcome_evidence.treated(planner, [Tried("fair", "same")]) == {"two"}


def test_once_a_sure_fix_fails_three_tenths_at_most_go_to_the_evidence_read_in_part() -> None:
    """Odds of 1,000 to 1 and a fix of 95 %: 2 % for the other if nothing were doubted, 17 % as it is."""
    before, scores = {"sure": 0.0, "other": 0.0}, {"sure": 39.0, "other": 0.0}
    found = believed(scores, before, {"sure": -13.0})
    assert found["other"] == pytest.approx(0.17, abs=0.02)


# What is advised.

def case_of(folder: Path, chances: dict[str, float], minutes: dict[str, float]) -> Case:
    """A case whose causes have these chances, each with a fix of its own that nearly always cures."""
    made = Case(system(folder, causes={c: cause(cures={f"fix_{c}": "nearly always"}) for c in chances},
                       remedies={f"fix_{c}": remedy(m) for c, m in minutes.items()}))
    made.__dict__["ranked"] = [SimpleNamespace(cause=c, probability=p, evidence=(), parts=(), score=0.0)
                               for c, p in {**chances, OTHER: 1 - sum(chances.values())}.items()]
    return made


@pytest.mark.parametrize("chance, advised", [(0.03, False), (0.06, True)])
def test_what_helps_in_less_than_one_case_of_twenty_five_is_not_suggested(
        chance: float, advised: bool, tmp_path: Path) -> None:
    assert (case_of(tmp_path, {"one": chance}, {"one": 5}).best() != Done("not_in_book")) is advised


@pytest.mark.parametrize("chance, advised", [(0.13, False), (0.22, True)])
def test_two_hours_of_work_want_a_chance_of_one_in_seven(
        chance: float, advised: bool, tmp_path: Path) -> None:
    """What is waited for counts little: these are minutes of work, a bought part among them."""
    made = case_of(tmp_path, {"one": chance}, {"one": 5})
    made.system.planner.cost["fix_one"] = 120.0
    assert (made.best() != Done("not_in_book")) is advised


@pytest.mark.parametrize("leading, fix, advised",
                         [(0.25, 0.15, False), (0.35, 0.15, True), (0.25, 0.22, True)])
def test_nothing_is_advised_on_a_guess(leading: float, fix: float, advised: bool, tmp_path: Path) -> None:
    made = case_of(tmp_path, {"one": leading}, {"one": 5})
    made.__dict__["options"] = [Option("fix_one", fix, 5.0, "anyone", (("one", fix),))]
    assert (made.fix() != Done("unsure")) is advised


# What does not come first.

def options(*parts: tuple[str, float, float]) -> list[Option]:
    """Fixes, each with the chance that the cause ruled out brings and that of another."""
    return [Option(name, out + other, 5.0, "anyone", (("out", out), ("in", other)))
            for name, out, other in parts]


def test_a_fix_is_implausible_by_most_of_its_chance(small: System) -> None:
    ranked = [SimpleNamespace(cause="out", evidence=[SimpleNamespace(decibans=-12.0)])]
    inference: Any = Case(small).inference
    found = options(("mostly", 0.4, 0.3), ("partly", 0.3, 0.4))
    assert implausible_fixes(inference, ranked, found) == {"mostly"}  # type: ignore[arg-type]  # as ranked


def test_it_waits_for_another_of_half_its_chance(small: System) -> None:
    ranked = [SimpleNamespace(cause="out", evidence=[SimpleNamespace(decibans=-12.0)])]
    inference: Any = Case(small).inference
    for rival, waits in ((0.3, {"mostly"}), (0.2, set())):
        found = options(("mostly", 0.5, 0.0), ("other", 0.0, rival))
        assert implausible_fixes(inference, ranked, found) == waits  # type: ignore[arg-type]  # as ranked


def test_one_strong_answer_against_a_cause_is_enough_and_a_substantial_one_is_not(small: System) -> None:
    inference: Any = Case(small).inference
    for decibans, waits in ((-12.0, {"mostly"}), (-7.0, set())):
        ranked: Any = [SimpleNamespace(cause="out", evidence=[SimpleNamespace(decibans=decibans)])]
        found = options(("mostly", 0.5, 0.0), ("other", 0.0, 0.4))
        assert implausible_fixes(inference, ranked, found) == waits


@pytest.fixture
def small(tmp_path: Path) -> System:
    """The small book with all that reasons over it."""
    return small_system(tmp_path)


# May one go on using it?

@pytest.mark.parametrize("chance, text", [(0.35, "no, until it is mended"), (0.25, "yes")])
def test_from_three_tenths_of_the_suspicion_a_cause_says_whether_to_go_on(
        chance: float, text: str, tmp_path: Path) -> None:
    one = book(tmp_path, causes={"leak": cause(use="no, until it is mended"), "dirt": cause()})
    inference: Any = SimpleNamespace(book=one, cautions=(), facts=frozenset(), findings={}, by_name={})
    ranked: Any = [SimpleNamespace(cause="dirt", probability=1 - chance),
                   SimpleNamespace(cause="leak", probability=chance)]
    assert verdict(inference, ranked).text == text


# A second fault, and answers that stand alone.

LOOKS: dict[str, Any] = {
    "observations": {f"look{i}": choice("bad", "good") for i in range(3)},
    "causes": {
        "likely": cause(common="common", evidence=[
            {"when": {f"look{i}": "bad"}, "weight": "strong for"} for i in range(2)] + [
            {"when": {"look2": "bad"}, "weight": "slight for", "otherwise": "decisive against"}]),
        "other": cause(common="common", evidence=[{"when": {"look2": "good"}, "weight": "substantial for"}])}}
"""Two looks speak for a cause, the third alone against it."""


def lone(folder: Path, against: str, extra: str = "") -> list[str]:
    """What is asked about again, where one answer weighs so against the cause that all else points to."""
    causes = {**LOOKS["causes"]}
    evidence = [dict(one) for one in causes["likely"]["evidence"]]
    evidence[2]["otherwise"] = against
    if extra:
        evidence[1]["weight"] = extra
    causes["likely"] = {**causes["likely"], "evidence": evidence}
    case = Case(system(folder, **{**LOOKS, "causes": causes}))
    for name, value in (("look0", "bad"), ("look1", "bad"), ("look2", "good")):
        case.answer(name, value)
    return [o for conflict in case.conflicts for o in conflict.observations]


def test_a_decisive_answer_alone_is_asked_about_again_and_a_very_strong_one_is_not(tmp_path: Path) -> None:
    assert lone(tmp_path / "a", "decisive against") == ["look2"]
    assert lone(tmp_path / "b", "very strong against") == []


def test_it_is_asked_about_only_where_the_cause_would_then_clearly_lead(tmp_path: Path) -> None:
    """All else makes 15 decibans for it, against 7 for the other."""
    assert lone(tmp_path / "a", "decisive against", "slight for") == ["look2"]


def foam(folder: Path, common: str) -> Case:
    """A shot too fast for a plain reason, and dry foam, for which a cause that is so common would stand."""
    made = Case(system(
        folder, observations={"shot": choice("fast", "fine"), "foam": choice("dry", "good")},
        findings={"flow": finding(("fast",), fast={"shot": "fast"}, right={"shot": "fine"}),
                  "froth": finding(("dry",), dry={"foam": "dry"}, right={"foam": "good"})},
        symptoms={"too_fast": symptom("flow", "fast", "shot")},
        causes={"coarse": cause({"too_fast": "always"}, "very common", evidence=[
                    {"when": {"flow": "fast"}, "weight": "strong for"}]),
                "air": cause(common=common, evidence=[{"when": {"froth": "dry"}, "weight": "slight for"}])}))
    made.complain("it gushes", ["too_fast"])
    for name, value in (("shot", "fast"), ("foam", "dry")):
        made.answer(name, value)
    return made


def test_a_second_fault_is_named_from_one_chance_in_eight(tmp_path: Path) -> None:
    (named,) = foam(tmp_path / "a", "uncommon").companions
    assert named.cause == "air" and 0.2 < named.probability < 0.3
    assert foam(tmp_path / "b", "very rare").companions == []


def test_another_cause_of_the_same_is_named_from_one_chance_in_twenty(tmp_path: Path) -> None:
    causes = {c: cause(evidence=[{"when": {"look": "bad"}, "weight": "slight for"}])
              for c in ("first", "second", "third")}
    one = system(tmp_path, observations={"look": choice("bad", "good")}, causes=causes)
    ranked: Any = [SimpleNamespace(cause=c, probability=p)
                   for c, p in (("first", 0.8), ("second", 0.08), ("third", 0.03))]
    named = one.explainers.competitors(Case(one).inference, ranked)
    assert [r.cause for r in named] == ["second"]
