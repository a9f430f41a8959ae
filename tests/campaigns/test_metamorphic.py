"""What must not matter does not: the same case told otherwise comes to the same.

    CAMPAIGN=10 python -m pytest tests/campaigns/test_metamorphic.py -m campaign -n 0

Worked cases of the book, drawn at random, each told a second way. Chances may differ by what
adding in another order leaves (1e-9), and where a number was converted on the way (1e-6).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest
import yaml

from diagnose.book.answers import is_dont_know, parts
from diagnose.book.assemble import build_book
from diagnose.book.with_house import load
from diagnose.book.yaml import loader
from diagnose.case.case import Ask, Case, Fix, Recheck, Stop
from diagnose.case.casefile import build
from diagnose.compute import units
from diagnose.compute.unit_table import UNITS
from diagnose.reason.system import System
from tests.campaigns.conftest import times
from tests.cases.judge import Worked, collection
from tests.reason.books import Drawn

CASES = times(15)
BOOKS = times(10)
NEAR, CONVERTED = 1e-9, 1e-6
EMPTY = "schema: 1\nchapter: ours\ntitle: Ours\n"


@pytest.fixture(scope="module")
def drawn() -> list[Worked]:
    """The cases looked at: with at least two answers, and a day of their own."""
    found = [one for one in collection() if len(one.file.answers) >= 2]
    return random.Random(5).sample(found, min(CASES, len(found)))


def told(system: System, one: Worked, **otherwise: Any) -> Case:
    """The case as its file has it, or with parts of it told otherwise."""
    return build(system, msgspec.structs.replace(one.file, **otherwise), one.tree)


def step(case: Case) -> tuple[str, ...]:
    """What comes next, in short."""
    match case.step():
        case Ask(question):
            return "ask", question.observation
        case Fix(option):
            return "fix", option.remedy
        case Stop(reason, caution, option):
            return reason, caution or (option.remedy if option else "")
        case Recheck(conflict):
            return "recheck", *sorted(conflict.observations)
        case end:
            return ("done", end.reason)


def same(one: Case, other: Case, near: float = NEAR, next_too: bool = True) -> str:
    """What differs between two cases; empty where nothing does."""
    first, second = ({r.cause: r.probability for r in case.ranked} for case in (one, other))
    far = [f"{c or 'other'} {first[c]:.6f} {second[c]:.6f}" for c in first
           if abs(first[c] - second[c]) > near]
    said = [] if set(one.cautions) == set(other.cautions) else [f"cautions {one.cautions} {other.cautions}"]
    said += [] if one.hazard == other.hazard else [f"hazard {one.hazard} {other.hazard}"]
    if next_too and step(one) != step(other):
        said.append(f"next {step(one)} {step(other)}")
    return "; ".join([*far[:3], *said])


def any_answer(system: System, name: str, pick: random.Random) -> Any:
    """An answer that the question takes; of dates, which are not weighed singly, one of last year."""
    return pick.choice([value for value, _ in system.asker.answers(name)] or ["2025-06-15"])


def all_same(cases: list[Worked], differs: Callable[[Worked], str]) -> None:
    """No case comes out otherwise; those that do are named."""
    found = {one.id: said for one in cases if (said := differs(one))}
    assert not found, "\n".join(f"{name}: {said}" for name, said in found.items())


def test_the_order_of_answers(system, drawn):
    pick = random.Random(1)

    def differs(one: Worked) -> str:
        names = list(one.file.answers)
        pick.shuffle(names)
        return same(told(system, one), told(system, one, answers={n: one.file.answers[n] for n in names}))

    all_same(drawn, differs)


def test_not_known_is_as_not_asked(system, drawn):
    pick = random.Random(2)

    def differs(one: Worked) -> str:
        case = told(system, one)
        open_ = sorted(system.book.observations.keys() - case.values.keys())
        for name in pick.sample(open_, 5):
            case.dont_know(name)
        return same(told(system, one), case, next_too=False)

    all_same(drawn, differs)


def test_an_answer_taken_back(system, drawn):
    pick = random.Random(3)

    def differs(one: Worked) -> str:
        case, before = told(system, one), told(system, one)
        asked = case.step()
        if not isinstance(asked, Ask):
            return ""
        name = asked.question.observation
        case.answer(name, any_answer(system, name, pick))
        case.step()
        case.back()
        return same(before, case)

    all_same(drawn, differs)


def test_an_answer_taken_back_and_given_again(system, drawn):
    def differs(one: Worked) -> str:
        case, before = told(system, one), told(system, one)
        name, value = next(reversed(one.file.answers.items()))
        if is_dont_know(value) or one.file.unknown:
            return ""
        case.back()
        case.answer(name, value)
        return same(before, case)

    all_same(drawn, differs)


def test_an_answer_changed_and_changed_back(system, drawn):
    pick = random.Random(4)

    def differs(one: Worked) -> str:
        case, before = told(system, one), told(system, one)
        name = pick.choice([n for n, v in one.file.answers.items() if not is_dont_know(v)] or [""])
        if not name:
            return ""
        case.answer(name, any_answer(system, name, pick))
        case.step()
        case.answer(name, one.file.answers[name])
        return same(before, case)

    all_same(drawn, differs)


def test_signs_in_any_order(system, drawn):
    """An answer of several parts, the parts the other way round."""
    def turned(name: str, value: str) -> str:
        several = system.book.observations[name].several == "yes"
        return "+".join(reversed(parts(value))) if several else value

    all_same(drawn, lambda one: same(told(system, one), told(
        system, one, answers={n: turned(n, v) for n, v in one.file.answers.items()})))


# Units.

def in_another_unit(system: System, name: str, text: str, pick: random.Random) -> str:
    """A quantity in another unit of its kind; everything else as it is."""
    stated = system.book.observations[name]
    if stated.kind != "quantity" or is_dont_know(text) or stated.unit in ("count", "ratio", "percent"):
        return text
    value, own = units.read(text, stated.unit), units.unit(stated.unit)
    other = pick.choice([u for u in UNITS if u.kind == own.kind])
    turned = (value - own.zero) * own.factor / other.factor + other.zero
    return f"{turned!r} {other.id}" if turned >= 0 and "e" not in repr(turned) else text


def test_units(system, drawn):
    pick = random.Random(6)

    def differs(one: Worked) -> str:
        turned = {n: in_another_unit(system, n, v, pick) for n, v in one.file.answers.items()}
        said = same(told(system, one), told(system, one, answers=turned), CONVERTED)
        return said and f"{said} ({ {n: v for n, v in turned.items() if v != one.file.answers[n]} })"

    all_same(drawn, differs)


# Houses and names.

@pytest.mark.parametrize("chapter", ["", EMPTY], ids=["no file", "an empty chapter"])
def test_an_empty_house(system, drawn, tmp_path, chapter):
    house = tmp_path / "ours"
    house.mkdir()
    if chapter:
        (house / "ours.yaml").write_text(chapter, encoding="utf-8")
    loaded = load([str(house)])
    assert not loaded.broken
    with_house = System(loaded.book)
    all_same(drawn, lambda one: same(told(system, one), told(with_house, one)))


def renamed(data: Any, names: dict[str, str]) -> Any:
    """The same data with ids called otherwise, wherever they stand."""
    if isinstance(data, dict):
        return {names.get(key, key): renamed(value, names) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [renamed(value, names) for value in data]
    return names.get(data, data) if isinstance(data, str) else data


def system_of(sections: dict[str, Any], folder: Path) -> System:
    """A book of one chapter."""
    folder.mkdir()
    chapter = {"schema": 1, "chapter": "small", "title": "Small", **renamed(sections, {})}
    (folder / "small.yaml").write_text(yaml.safe_dump(chapter, sort_keys=False), "utf-8")
    return System(build_book(loader.load(folder)))


@pytest.mark.parametrize("seed", range(BOOKS))
def test_ids_called_otherwise(seed, tmp_path):
    pick = random.Random(seed)
    sections = {kind: getattr(one, kind) for one in [Drawn(seed, negation=True, findings=True)]
                for kind in ("observations", "findings", "symptoms", "remedies", "causes")}
    ids = [name for kind in sections for name in sections[kind]]
    names = dict(zip(ids, [f"x{n:03}" for n in pick.sample(range(1000), len(ids))], strict=True))
    one = system_of(sections, tmp_path / "one")
    other = system_of(renamed(sections, names), tmp_path / "other")
    for _ in range(5):
        asked = pick.sample(sorted(sections["observations"]), 2)
        values = {n: pick.choice(sorted(sections["observations"][n]["answers"])) for n in asked}
        said = pick.choice(sorted(sections["symptoms"]))
        first, second = Case(one), Case(other)
        first.complain("", [said])
        second.complain("", [names[said]])
        for name, value in values.items():
            first.answer(name, value)
            second.answer(names[name], value)
        chances = {names.get(r.cause, ""): r.probability for r in first.ranked}
        assert {r.cause: r.probability for r in second.ranked} == pytest.approx(chances, abs=NEAR)
        assert {(names[o.remedy], round(o.chance, 9)) for o in first.options} == {
            (o.remedy, round(o.chance, 9)) for o in second.options}
