"""What a change can touch: leaving the other cases out comes to the same as running them all."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

import diagnose
from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.yaml import loader
from diagnose.case.case import Case
from diagnose.errors import UserError
from diagnose.house import cases, effect, readings, touch
from diagnose.house.cases import NamedCase
from diagnose.reason.system import System
from diagnose.storage import paths
from tests.book.small import SMALL, book_of, changed

KNOWLEDGE = Path(diagnose.__file__).parents[1] / "knowledge"
EVERY, TIMED, MOVED = 60, 5, 3
"""Only each so-manieth shipped case is run, and a few with a shot time, to keep the test quick."""


def laid(chapters: list[Any], **entries: Any) -> Book:
    """The shipped chapters with a house's entries over them."""
    text = yaml.safe_dump({"schema": 1, "chapter": "house", "title": "A house", **entries}, sort_keys=False)
    return build_book([*chapters, loader.of_text(text, "house.yaml", "house")])


def changes(book: Book) -> Iterator[dict[str, Any]]:
    """House entries of every kind that is followed, spread over the book; few, each is compiled."""
    pick = random.Random(7)
    causes, findings = sorted(book.causes), sorted(book.findings)
    shot = book.targets["shot_time"]
    rules = {"timed": rule({"shot_time": "< 20 s"}, weigh={"grind_too_coarse": "very strong for"})}
    for name in pick.sample(findings, 3):
        value = next(iter(book.findings[name].values))
        rules[f"own_{name}"] = rule({name: value}, weigh={pick.choice(causes): "very strong for"})
    yield {"rules": rules}
    name = pick.choice(sorted(n for n, o in book.observations.items() if o.answers))
    finding = pick.choice(findings)
    yield {"rules": {"own": rule({name: next(iter(book.observations[name].answers))},
                                 then={finding: next(iter(book.findings[finding].values))})},
           "cautions": {"own": {"signal": "NOTICE", "text": "Slow work.", "avoid": "Take time.",
                                "when": {"shot_time": "> 40 s"}, "source": "house"}}}
    yield {"targets": {"shot_time": {"label": shot.label, "unit": shot.unit, "low": 30, "value": 35,
                                     "high": 40, "source": "house", "replaces": "yes"}},
           "retires": [{"kind": "rules", "id": n, "reason": "not here"}
                       for n in sorted(book.rules)[:1]]}


def rule(when: dict[str, Any], **does: Any) -> dict[str, Any]:
    return {"when": when, **does, "source": "house"}


@pytest.fixture
def real(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> tuple[list[Any], list[NamedCase]]:
    """The shipped chapters and some of their cases."""
    monkeypatch.setattr(paths, "shipped", lambda: KNOWLEDGE)
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path / "data"))
    every = cases.all_cases([])[0]
    timed = [t for t in every if "shot_time" in t.file.answers]
    return loader.load(KNOWLEDGE), [*timed[:TIMED], *every[::EVERY]]


def test_cases_left_out_would_have_come_out_as_before(real: tuple[list[Any], list[NamedCase]]) -> None:
    chapters, tried = real
    before, moved = build_book(chapters), 0
    kept = readings.Readings(System(before))
    for entries in changes(before):
        after = laid(chapters, **entries)
        change = touch.Touch(System(before), System(after))
        assert not all(change.touches(kept.build(t)) for t in tried)
        quick, full = (effect.compare(before, after, tried, every=every) for every in (False, True))
        assert (quick.differences, quick.skipped) == (full.differences, full.skipped), entries
        moved += len(full.differences)
    assert moved >= MOVED


OWN = {"weigh": {"too_coarse": "strong for"}}


@pytest.mark.parametrize(
    "when, answers, touched",
    [
        ({"shot_time": "< 20 s"}, {"shot_time": "18 s"}, True),
        ({"shot_time": "< 20 s"}, {"shot_time": "20 s"}, False),
        ({"shot_time": "< 20 s"}, {"last_change": "beans"}, False),
        ({"none": {"shot_time": "< 20 s"}}, {"last_change": "beans"}, True),
        ({"none": {"shot_time": "< 20 s"}}, {"shot_time": "18 s"}, False),
        ({"none": {"smell": "burning"}, "shot_time": "< 20 s"}, {"shot_time": "18 s"}, True),
        ({"none": {"smell": "burning"}, "shot_time": "< 20 s"}, {"last_change": "beans"}, False),
        ({"any": [{"shot_time": "< 20 s"}, {"smell": "burning"}]}, {"smell": "burning"}, True),
        ({"any": [{"shot_time": "< 20 s"}, {"smell": "burning"}]}, {"last_change": "beans"}, False),
        ({"flow": "fast"}, {"shot_time": "60 s"}, True),  # a finding is only followed to its roots
        ({"flow": "fast"}, {"last_change": "beans"}, False),
    ],
)
def test_where_a_rule_can_come_to_bear(when: dict[str, Any], answers: dict[str, str], touched: bool) -> None:
    before, after = (System(book_of({**SMALL, "rules": rules}))
                     for rules in ({}, {"own": rule(when, **OWN)}))
    case = Case(before)
    for name, text in answers.items():
        case.answer(name, text)
    assert touch.Touch(before, after).touches(case) is touched
    assert touch.Touch(after, before).touches(case) is touched


def test_a_complaint_that_makes_the_finding_is_followed_too() -> None:
    before, after = (System(book_of({**SMALL, "rules": rules}))
                     for rules in ({}, {"own": rule({"flow": "fast"}, **OWN)}))
    case = Case(before)
    case.complain("it gushes", ["too_fast"])
    assert touch.Touch(before, after).touches(case)


def test_a_change_that_can_show_anywhere_touches_every_case() -> None:
    before, after = (System(book_of(data)) for data in (SMALL, changed("observations/fresh/minutes", 3)))
    assert touch.Touch(before, after).touches(Case(before))
    assert not touch.Touch(before, before).touches(Case(before))


@pytest.mark.parametrize(
    "symptoms, answers, touched",
    [((), {}, False), (("too_fast",), {}, True), ((), {"last_change": "grind"}, True),
     ((), {"last_change": "nothing"}, False), ((), {"smell": "fine"}, False)])
def test_a_cause_stated_anew_touches_its_troubles_and_its_answers(
        symptoms: tuple[str, ...], answers: dict[str, str], touched: bool) -> None:
    before, after = book_of(SMALL), book_of(changed("causes/too_coarse/common", "rare"))
    case = Case(System(before))
    case.complain("so it is", symptoms)
    for name, text in answers.items():
        case.answer(name, text)
    assert touch.Touch(System(before), System(after)).touches(case) is touched
    assert "too_coarse" in touch.causes(before, after)


@pytest.mark.parametrize(("low", "time", "touched"), [
    (24, "25 s", True), (24, "27 s", False), (24, "23 s", False), (24, "24 s", True), (24, "26 s", False),
    (28, "26 s", True), (28, "28 s", False), (28, "25 s", False)])
def test_a_moved_target_touches_the_numbers_that_change_sides(low: float, time: str, touched: bool) -> None:
    before, after = (System(book_of(data)) for data in (SMALL, changed("targets/shot_time/low", low)))
    case = Case(before)
    assert not touch.Touch(before, after).touches(case)
    case.answer("shot_time", time)
    assert touch.Touch(before, after).touches(case) is touched
    assert (before.reasoner.infer(case.values).findings
            != after.reasoner.infer(case.values).findings) is touched


def test_a_number_worked_out_from_a_moved_target_is_followed() -> None:
    made = {**SMALL["measures"], "aim": {"label": "the drink", "compute": "shot.yield_for", "given": {
        "dose_g": "dose", "ratio": "target.ratio"}}}
    more = {"measures": made, "targets": {**SMALL["targets"], "ratio": {
        "label": "ratio", "unit": "ratio", "value": 2, "source": "here"}},
        "rules": {"own": rule({"aim": "> 30 g"}, **OWN)}}
    before, after = (System(book_of(data)) for data in (
        {**SMALL, **more}, changed("targets/ratio/value", 3, {**SMALL, **more})))
    case = Case(before)
    case.answer("dose", "12 g")
    assert touch.Touch(before, after).touches(case)


def test_a_new_remedy_touches_what_its_causes_show() -> None:
    before, after = book_of(SMALL), book_of(changed("remedies/finer/minutes", 9))
    for symptom, touched in (("too_fast", True), ("too_slow", False)):
        case = Case(System(before))
        case.complain("so it is", [symptom])
        assert touch.Touch(System(before), System(after)).touches(case) is touched


def test_a_case_read_once_is_read_alike_from_the_cache(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from diagnose.case import casefile
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path / "data"))
    system = System(book_of(SMALL))
    tried, _ = cases.all_cases([])
    first = readings.Readings(system)
    built = [first.build(t) for t in tried]
    first.keep()
    monkeypatch.setattr(casefile, "build", lambda *args: pytest.fail("read again"))
    again = readings.Readings(system)
    for was, t in zip(built, tried, strict=True):
        now = again.build(t)
        assert (now.values, now.complaints, now.doubtful, now.unknown, now.today) == (
            was.values, was.complaints, was.doubtful, was.unknown, was.today)


def test_a_case_that_does_not_fit_is_told_every_time(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path / "data"))
    (tmp_path / "own" / "cases").mkdir(parents=True)
    (tmp_path / "own" / "cases" / "odd.yaml").write_text(
        "complaint: odd\nsymptoms: [nowhere]\nanswers: {}\n", encoding="utf-8")
    tried, _ = cases.all_cases([tmp_path / "own"])
    for _ in range(2):
        kept = readings.Readings(System(book_of(SMALL)))
        with pytest.raises(UserError, match="no symptom 'nowhere'"):
            kept.build(tried[-1])
        kept.keep()
