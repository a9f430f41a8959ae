"""The runner itself: cases made to fail are caught, each for what it lacks, and mended ones too."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from diagnose.reason.system import System
from tests.book.small import SMALL, book_of
from tests.cases import misses
from tests.cases.judge import Verdict, Worked, judge, trace, worked

CASE = {"title": "gushes", "complaint": "it gushes", "symptoms": ["too_fast"],
        "answers": {"last_change": "grind", "shot_time": "12 s"}}
SOUND = {"causes": ["too_coarse"], "fix": ["finer"], "cautions": []}


@pytest.fixture(scope="module")
def small() -> System:
    return System(book_of(SMALL))


def judged(small: System, folder: Path, **expect: object) -> tuple[Worked, Verdict]:
    file = folder / "one.yaml"
    file.write_text(yaml.safe_dump([CASE | {"expect": SOUND | expect}]))
    (one,) = worked(file)
    return one, judge(small, one)


def test_a_case_as_it_should_be_misses_nothing(small: System, tmp_path: Path) -> None:
    one, verdict = judged(small, tmp_path)
    assert verdict.passed and not misses.missed(verdict), "\n".join(trace(one, verdict))


@pytest.mark.parametrize(("expect", "short"), [
    ({"causes": ["too_old"]}, {"cause"}),
    ({"causes": ["too_old|too_coarse"]}, set()),
    ({"fix": ["fresh_bag"]}, {"fix"}),
    ({"cautions": ["fire"]}, {"caution fire"}),
    ({"stopped": "hazard"}, {"stop"}),
    ({"stopped": "handover"}, {"stop"}),
    ({"causes": ["too_old"], "fix": ["fresh_bag"]}, {"cause", "fix"}),
])
def test_each_shortcoming_is_caught(small: System, tmp_path: Path, expect: dict, short: set) -> None:
    _, verdict = judged(small, tmp_path, **expect)
    assert misses.missed(verdict) == short


def test_a_trace_names_place_causes_and_fix(small: System, tmp_path: Path) -> None:
    one, verdict = judged(small, tmp_path, causes=["too_old"])
    told = "\n".join(trace(one, verdict))
    assert "one.yaml:1" in told and "expected too_old" in told and "first fix: finer" in told


def now(**missed: str) -> misses.Missed:
    return {name: frozenset(what.split(", ")) for name, what in missed.items()}


def listed(slack: int, **missed: str) -> misses.Listed:
    return misses.Listed(slack, now(**missed), {})


def test_the_list_is_held_both_ways() -> None:
    same = misses.held(listed(0, a="cause, fix"), now(a="fix, cause"))
    assert not same.too_many
    new = misses.held(listed(0, a="cause"), now(a="cause, fix"))
    assert new.too_many == (("a", "fix"),) == new.new
    mended = misses.held(listed(0, a="cause"), now())
    assert mended.too_many == (("a", "cause"),) == mended.mended


def test_a_few_causes_and_fixes_may_move_but_no_caution() -> None:
    moved = misses.held(listed(2, a="cause", b="fix"), now(c="cause", d="fix"))
    assert not moved.too_many
    further = misses.held(listed(2, a="cause"), now(a="cause", c="cause", d="fix", e="fix"))
    assert len(further.too_many) == 3
    grave = misses.held(listed(2), now(a="caution fire", b="stop"))
    assert grave.too_many == (("a", "caution fire"), ("b", "stop"))


def test_what_is_written_is_read_again_with_slack_and_notes(small: System, tmp_path: Path) -> None:
    _, short = judged(small, tmp_path, causes=["too_old"])
    _, sound = judged(small, tmp_path)
    file = tmp_path / "misses.yaml"
    old = misses.Listed(3, {}, {"one/gushes": "because", "gone": "no longer"})
    file.write_text(misses.written({"one/gushes": short, "one/fine": sound}, old))
    found = misses.read(file)
    assert found == misses.Listed(3, {"one/gushes": frozenset({"cause"})}, {"one/gushes": "because"})
    assert "2 cases, 1 of them miss something: cause 1, fix 0, caution 0, stop 0" in file.read_text()
