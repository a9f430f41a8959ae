"""The choice of the question against direct enumeration, and the rules it keeps to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pytest

from diagnose.reason import weights
from diagnose.reason.infer.experience import CauseCounts, Counts, Experience
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.questions import ask
from diagnose.reason.questions.ask import HAZARD_MINUTES, READING_MINUTES, Look, State
from diagnose.reason.system import System
from diagnose.reason.weights import GRADES
from tests.reason.books import Drawn, cause, caution, choice, finding, remedy, symptom, system


def state(values: dict[str, Any] | None = None, complaints: tuple[str, ...] = (),
          closed: tuple[str, ...] = ()) -> State:
    """What is known."""
    values = values or {}
    return State(values, complaints, frozenset({*values, *closed}))


def names(one: System, now: State) -> list[str]:
    """The questions worth asking, best first, all of them looked at."""
    return [q.observation for q in one.asker.worth(now, 1000)]


def by_hand(drawn: Drawn, one: System, look: Look, asked: str) -> tuple[float, float]:
    """Minutes expected without and with an answer, each answer given to a case of its own."""
    values, complaints = look.state.values, look.state.complaints
    held = holding(one, values, complaints)
    answers = {a: share if held <= holding(one, {**values, asked: a}, complaints)
               else share * ask.DENIES for a, share in one.asker.answers(asked)}
    answers = {a: share / sum(answers.values()) for a, share in answers.items()}
    before = one.scorer.scores(values, complaints)
    after = {a: one.scorer.scores({**values, asked: a}, complaints) for a in answers}
    lift = {a: {c: 10 ** ((after[a][c] - before[c]) / 10) for c in look.chances} for a in answers}
    norm = {c: sum(answers[a] * lift[a][c] for a in answers) for c in look.chances}
    keep = one.planner.plan(look.chances).order
    total = 0.0
    for a, share in answers.items():
        joint = {c: p * share * lift[a][c] / norm[c] for c, p in look.chances.items()}
        likely = sum(joint.values())
        then = {c: p / likely for c, p in joint.items()}
        total += likely * min(one.planner.expected_minutes(then), one.planner.cost_of(keep, then)
                              if keep else ask_nothing(then))
    return one.planner.expected_minutes(look.chances), total


def holding(one: System, values: Mapping[str, Any], complaints: tuple[str, ...]
            ) -> set[tuple[str, str]]:
    """What the complaints claim, as far as it holds."""
    facts = one.reasoner.infer(values, complaints).facts
    return {f for s in complaints for f in one.book.symptoms[s].finding.items() if f in facts}


def ask_nothing(then: dict[str, float]) -> float:
    """Giving up at once."""
    from diagnose.reason.plan import GIVE_UP_MINUTES

    return GIVE_UP_MINUTES * sum(then.values())


def test_the_saving_is_what_counting_every_answer_gives(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ask, "LEAST_SAVING", -1e9)
    monkeypatch.setattr(weights, "OVERLAP", 1.0)
    for seed in range(12):
        drawn = Drawn(seed)
        one = drawn.system(tmp_path / str(seed))
        answers, complaints = drawn.case()
        now = state(answers, complaints)
        look = one.asker.look(now)
        for question in one.asker.worth(now, 1000):
            before, after = by_hand(drawn, one, look, question.observation)
            saved = min(before - after, look.wasted)
            cost = one.asker.cost(question.observation, now)
            assert question.saves == pytest.approx(saved - cost, abs=1e-6)


def test_before_its_own_minutes_no_question_loses_anything(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """More knowledge never makes the plan worse: the old plan is still there."""
    monkeypatch.setattr(ask, "LEAST_SAVING", -1e9)
    for seed in range(40, 60):
        drawn = Drawn(seed, negation=True, findings=True, causes=6)
        one = drawn.system(tmp_path / str(seed))
        now = state(*drawn.case())
        for question in one.asker.worth(now, 1000):
            assert question.saves + one.asker.cost(question.observation, now) >= -1e-9


def test_no_question_is_left_out_that_would_pay(tmp_path: Path) -> None:
    """Of any book, what is not even looked at is not worth asking; and some is looked at."""
    left_out = looked_at = 0
    for seed in range(60, 160):
        drawn = Drawn(seed, negation=True, findings=True, causes=6)
        one = drawn.system(tmp_path / str(seed))
        answers, complaints = drawn.case()
        look = one.asker.look(state(answers, complaints))
        for name in one.asker.candidates(look.chances, look.state):
            question = one.asker._value(name, look)
            if one.asker._may_pay(name, look):
                looked_at += 1
            else:
                left_out += 1
                assert question is None or question.saves <= ask.LEAST_SAVING
    assert left_out and looked_at


def test_answers_are_as_likely_as_all_causes_together_make_them(tmp_path: Path) -> None:
    for seed in range(10):
        drawn = Drawn(seed, negation=True, findings=True)
        one = drawn.system(tmp_path / str(seed))
        look = one.asker.look(state(*drawn.case()))
        for name in one.asker.candidates(look.chances, look.state):
            branches = one.asker.branches(name, look)
            for c, chance in look.chances.items() if branches else ():
                assert sum(b.joint[c] for b in branches) == pytest.approx(chance)


TWO = {"one": cause({"broken": "always"}, evidence=[
           {"when": {"cheap": "a"}, "weight": "decisive for", "otherwise": "decisive against"},
           {"when": {"dear": "a"}, "weight": "decisive for", "otherwise": "decisive against"}],
           cures={"fix_one": "nearly always"}),
       "two": cause({"broken": "always"}, cures={"fix_two": "nearly always"}, evidence=[
           {"when": {"cheap": "b"}, "weight": "decisive for", "otherwise": "decisive against"},
           {"when": {"dear": "b"}, "weight": "decisive for", "otherwise": "decisive against"}])}
COMMON = {"findings": {"state": finding(("bad",), bad=None, good=None)},
          "symptoms": {"broken": symptom("state", "bad")},
          "remedies": {"fix_one": remedy(30), "fix_two": remedy(30)}}


def test_whoever_could_not_answer_is_asked_less(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO, **COMMON, observations={
        "cheap": choice("a", "b"), "dear": choice("a", "b", minutes=6)})
    fresh = one.asker.worth(state({}, ("broken",)), 60)[0]
    now = state({}, ("broken",))
    silent = one.asker.worth(replace(now, unanswered=3), 60)[0]
    assert silent.saves < fresh.saves, "the same question, but likely not to be answered"
    able = one.asker.worth(replace(now, answered=10), 60)[0]
    assert able.saves > fresh.saves
    assert one.asker.worth(replace(now, unanswered=60), 60) == []


def test_what_would_deny_the_complaint_is_seldom_expected(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO | {"three": cause({"broken": "seldom"}, evidence=[
        {"when": {"state": "good"}, "weight": "slight for"}])}, observations={
        "cheap": choice("a", "b"), "dear": choice("a", "b"), "again": choice("bad", "good")},
        findings={"state": finding(("bad",), bad={"again": "bad"}, good={"again": "good"})},
        symptoms={"broken": symptom("state", "bad", "again")}, remedies=COMMON["remedies"])
    look = one.asker.look(state({}, ("broken",)))
    good = next(b for b in one.asker.branches("again", look) if b.answers[0][0] == "good")
    assert good.likely < 0.1, "in homes it would be one in two"
    unsure = one.asker.look(replace(look.state, doubtful=frozenset({"broken"})))
    doubted = next(b for b in one.asker.branches("again", unsure) if b.answers[0][0] == "good")
    assert doubted.likely > 2 * good.likely


def test_what_only_a_rule_weighs_is_asked_about_too(tmp_path: Path) -> None:
    plain = {name: {**stated, "evidence": []} for name, stated in TWO.items()}
    one = system(tmp_path, causes=plain, **COMMON, observations={"cheap": choice("a", "b")}, rules={
        "house": {"when": {"cheap": "a"}, "weigh": {"one": "decisive for", "two": "strong against"}}})
    assert names(one, state({}, ("broken",))) == ["cheap"]


def test_what_a_question_hangs_on_is_asked_before_it(tmp_path: Path) -> None:
    hangs = {**choice("a", "b"), "requires": {"kind": "x"}}
    one = system(tmp_path, causes={n: {**c, "evidence": c["evidence"][:1]} for n, c in TWO.items()},
                 **COMMON, observations={"cheap": hangs, "kind": choice("x", "y")})
    first = one.asker.worth(state({}, ("broken",)), 60)
    assert [q.observation for q in first] == ["kind"]
    assert sum(likely for _, likely, *_ in first[0].outlook) == pytest.approx(1)
    assert names(one, state({"kind": "x"}, ("broken",))) == ["cheap"]
    assert names(one, state({}, ("broken",), closed=("kind",))) == ["cheap"], "can't tell: ask on"


def test_what_is_only_ruled_out_need_not_be_asked_first(tmp_path: Path) -> None:
    unless = {**choice("a", "b"), "requires": {"none": [{"kind": "y"}]}}
    one = system(tmp_path, causes={n: {**c, "evidence": c["evidence"][:1]} for n, c in TWO.items()},
                 **COMMON, observations={"cheap": unless, "kind": choice("x", "y")})
    assert names(one, state({}, ("broken",))) == ["cheap"]


def test_of_two_questions_that_tell_the_same_the_cheaper_comes_first(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO, **COMMON, observations={
        "cheap": choice("a", "b", minutes=0.1), "dear": choice("a", "b", minutes=6)})
    found = one.asker.worth(state({}, ("broken",)), 60)
    assert found[0].observation == "cheap"
    assert found[0].saves - found[-1].saves == pytest.approx(5.9, abs=0.5)
    assert names(one, state({"cheap": "a"}, ("broken",))) == [], "it would tell nothing new"


def test_no_question_where_the_fix_costs_less_than_asking(tmp_path: Path) -> None:
    cheap = {**COMMON, "remedies": {"fix_one": remedy(1), "fix_two": remedy(1)}}
    one = system(tmp_path, causes=TWO, **cheap, observations={
        "cheap": choice("a", "b", minutes=12), "dear": choice("a", "b", minutes=12)})
    assert names(one, state({}, ("broken",))) == []


def test_what_people_seldom_tell_is_asked_after_what_they_often_tell(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO, **COMMON, observations={
        "cheap": choice("a", "b"), "dear": choice("a", "b")})
    now = state({}, ("broken",))
    told = Counts(causes={"one": CauseCounts(300, answers={"dear=a": 200, "dear=b": 90})})
    one.asker.scorer.experience = Experience(one.book, told)
    assert one.asker.scorer.experience.known("dear") > 1 > one.asker.scorer.experience.known("cheap")
    found = {q.observation: q.saves for q in one.asker.worth(now, 60)}
    assert found["dear"] > found["cheap"]


def test_whoever_could_not_answer_many_is_told_a_fix(tmp_path: Path) -> None:
    book = {"causes": TWO, **COMMON, "observations": {"cheap": choice("a", "b"), "dear": choice("a", "b")}}
    now = state({}, ("broken",))
    assert names(system(tmp_path / "a", **book), now)
    assert names(system(tmp_path / "b", **book), replace(now, patience=0)) == []


def test_a_hazard_is_asked_about_however_many_were_not_answered(tmp_path: Path) -> None:
    one = hazardous(tmp_path, "very strong for", "common")
    assert names(one, replace(state({}, ("broken",)), patience=0)) == ["smell"]


def test_a_hazard_not_worth_its_question_is_asked_about_last(tmp_path: Path) -> None:
    one = hazardous(tmp_path, "very strong for", "common")
    dear = msgspec.structs.replace(one.book.observations["smell"], minutes=100)
    one.book.observations["smell"] = dear
    found = one.asker.worth(state({}, ("broken",)), 60)
    assert found[-1].observation == "smell" and found[-1].hazard > 0 and len(found) > 1


@pytest.mark.parametrize("needs, minutes, first", [
    (("run",), 0.1, True), ((), 0.1, False), (("run",), ask.GLANCE_MINUTES + 0.1, False)])
def test_a_glance_that_may_show_a_danger_comes_before_what_makes_the_person_run_it(
        tmp_path: Path, needs: tuple[str, ...], minutes: float, first: bool) -> None:
    one = hazardous(tmp_path, "decisive for", "rare")
    now, asked = state({}, ("broken",)), one.book.observations
    best = next(q.observation for q in one.asker.worth(now, 60))
    assert best != "smell" and "smell" in names(one, now)
    asked["smell"] = msgspec.structs.replace(asked["smell"], minutes=minutes)
    asked[best] = msgspec.structs.replace(asked[best], needs=needs)
    assert (one.asker.best(now).observation == "smell") == first
    assert (names(one, now)[0] == "smell") == first


def test_what_the_person_cannot_tell_is_not_asked(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO, **COMMON, observations={
        "cheap": choice("a", "b"), "dear": choice("a", "b")})
    assert names(one, state({}, ("broken",), closed=("cheap",))) == ["dear"]


def worded(folder: Path, name: str, value: str) -> System:
    """Two causes of what is complained of; the second goes with the name having this value."""
    return system(
        folder, remedies={"fix_one": remedy(30), "fix_two": remedy(30)},
        observations={"look": choice("bad", "good")},
        findings={"state": finding(("bad",), bad={"look": "bad"}, good={"look": "good"})},
        symptoms={"broken": symptom("state", "bad", "look")},
        causes={"one": cause({"broken": "always"}, cures={"fix_one": "usually"}, evidence=[
                    {"when": {"state": "bad"}, "weight": "slight for", "otherwise": "strong against"}]),
                "two": cause({"broken": "always"}, cures={"fix_two": "usually"}, evidence=[
                    {"when": {name: value}, "weight": "slight for", "otherwise": "strong against"}])})


def test_the_words_are_asked_again_only_where_looking_pays(tmp_path: Path) -> None:
    now = state({}, ("broken",))
    assert names(worded(tmp_path / "a", "state", "bad"), now) == [], "it would tell nothing"
    assert names(worded(tmp_path / "b", "look", "good"), now) == ["look"]


HAZARDOUS: dict[str, Any] = {
    **COMMON, "cautions": {"fire": caution({"smell": "burning"})},
    "observations": {"smell": choice("burning", "none", burning=0.02), "cheap": choice("a", "b"),
                     "dear": choice("a", "b")}}


def hazardous(folder: Path, weight: str, common: str) -> System:
    """A book with a burning cause that the complaint may hint at."""
    burnt = cause({"broken": "always"}, common, [{"when": {"smell": "burning"}, "weight": weight,
                                                  "otherwise": "slight against"}],
                  cures={"fix_one": "usually"})
    return system(folder, causes={**TWO, "burnt": burnt}, **HAZARDOUS)


def test_a_hazard_that_the_complaint_hints_at_is_asked_about_before_all_else(tmp_path: Path) -> None:
    found = hazardous(tmp_path, "very strong for", "common").asker.worth(state({}, ("broken",)), 60)
    assert found[0].observation == "smell" and found[0].hazard > 0
    assert found[1].saves > found[0].saves or found[1].hazard == 0


def test_a_hazard_that_nothing_hints_at_holds_nobody_up(tmp_path: Path) -> None:
    found = hazardous(tmp_path, "very strong for", "very rare").asker.worth(state({}, ("broken",)), 60)
    assert all(q.hazard == 0 for q in found) and found[0].observation != "smell"


def test_only_a_hazard_likelier_than_in_any_home_is_worth_minutes(tmp_path: Path) -> None:
    one = hazardous(tmp_path, "very strong for", "common")
    look = one.asker.look(state({}, ("broken",)))
    stops = [b for b in one.asker.branches("smell", look) if b.stops]
    assert len(stops) == 1 and stops[0].share == pytest.approx(0.02)
    assert stops[0].likely > stops[0].share
    assert HAZARD_MINUTES * (stops[0].likely - stops[0].share) > READING_MINUTES


def test_a_number_is_tried_in_each_band_that_some_rule_tells_apart(tmp_path: Path) -> None:
    one = system(tmp_path, observations={
        "heat": {"ask": "How hot?", "kind": "quantity", "unit": "C", "range": [0, 100],
                 "usual": [60, 70], "minutes": 0.5}},
        causes={"cold": cause(evidence=[{"when": {"heat": "< 55 C"}, "weight": "strong for"}]),
                "hot": cause(evidence=[{"when": {"heat": "> 75 C"}, "weight": "strong for"}])})
    tried = one.asker.answers("heat")
    assert [v < 55 for v, _ in tried] == [True, False, False]
    assert [v > 75 for v, _ in tried] == [False, False, True]
    assert sum(share for _, share in tried) == pytest.approx(1)
    assert max(tried, key=lambda t: t[1])[0] == pytest.approx(65)


RATIO: dict[str, Any] = {
    "findings": {"state": finding(("bad",), bad=None, good=None)},
    "symptoms": {"broken": symptom("state", "bad")},
    "remedies": {"fix_long": remedy(30), "fix_short": remedy(30)},
    "observations": {name: {"ask": "How much?", "kind": "quantity", "unit": "g", "range": [1, high],
                            "minutes": 0.5} for name, high in (("dose", 30), ("drink", 90))},
    "measures": {"ratio": {"label": "ratio", "compute": "shot.brew_ratio",
                           "given": {"dose_g": "dose", "yield_g": "drink"}}},
    "causes": {"long": cause({"broken": "always"}, cures={"fix_long": "usually"}, evidence=[
        {"when": {"ratio": "> 2.5"}, "weight": "decisive for", "otherwise": "decisive against"}]),
               "short": cause({"broken": "always"}, cures={"fix_short": "usually"}, evidence=[
                   {"when": {"ratio": "< 1.5"}, "weight": "decisive for",
                    "otherwise": "decisive against"}])}}


def test_two_numbers_that_only_tell_together_are_asked_one_after_the_other(tmp_path: Path) -> None:
    one = system(tmp_path, **RATIO)
    first = one.asker.worth(state({}, ("broken",)), 60)[0].observation
    assert first in ("dose", "drink")
    second = {"dose": "drink", "drink": "dose"}[first]
    value = {"dose": 18.0, "drink": 60.0}[first]
    assert names(one, state({first: value}, ("broken",))) == [second]
    assert names(one, state({}, ("broken",), closed=("drink",))) == [], "one alone tells nothing"


def test_fixes_that_failed_move_what_is_asked(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO, **COMMON, observations={
        "cheap": choice("a", "b"), "dear": choice("a", "b")})
    failed = State({}, ("broken",), frozenset(), frozenset({"fix_one"}), {"one": -13.0})
    look = one.asker.look(failed)
    assert look.chances["one"] < 0.1 < look.chances["two"]


def test_so_many_questions_are_looked_at_and_the_best_of_them_is_asked(tmp_path: Path,
                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    many = {f"look{i}": choice("a", "b") for i in range(40)}
    causes = {f"cause{i}": cause({"broken": "always"}, cures={"fix_one" if i % 2 else "fix_two": "often"},
                                 evidence=[{"when": {f"look{j}": "a"}, "weight": "strong for",
                                            "otherwise": "strong against"} for j in range(i, 40, 3)])
              for i in range(6)}
    one = system(tmp_path, causes=causes, observations=many, **COMMON)
    looked: list[str] = []
    saves = 5.0

    def noted(name: str, look: Look) -> ask.Question:
        looked.append(name)
        return ask.Question(name, saves, ())

    monkeypatch.setattr(one.asker, "_value", noted)
    assert one.asker.best(state({}, ("broken",)), 4) is not None
    assert len(looked) == 4
    looked.clear()
    saves = 0.0
    assert one.asker.best(state({}, ("broken",)), 4) is None, "nothing worth asking ends no search"
    assert 4 < len(looked) <= len(many)


def test_the_grades_are_what_moves_a_cause(tmp_path: Path) -> None:
    one = system(tmp_path, causes=TWO, **COMMON, observations={
        "cheap": choice("a", "b"), "dear": choice("a", "b")})
    base = one.scorer.base({}, ("broken",))
    moved = one.scorer.change(base, "cheap", "a", {"one", "two", OTHER}).decibans
    assert moved == pytest.approx({"one": GRADES["decisive"], "two": -GRADES["decisive"]})
