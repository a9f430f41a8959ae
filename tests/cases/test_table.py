"""The coverage table: consults answered from a case's facts, and the figures made of them."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from diagnose.case.case import Fix, Stop
from diagnose.reason.system import System
from tests.bench import calibration
from tests.book.small import SMALL, book_of, changed
from tests.cases import figures, table
from tests.cases.consulted import consult
from tests.cases.judge import Worked, collection, judge, worked

GUSHES = {"title": "gushes", "complaint": "it gushes", "symptoms": ["too_fast"], "kind": "single",
          "answers": {"fresh": "no"}, "expect": {"causes": ["too_old"], "fix": ["new_beans"],
                                                 "cautions": ["hot"]}}
BURNS = {"title": "burns", "complaint": "it gushes and smells", "symptoms": ["too_fast"],
         "kind": "hazard", "answers": {"smell": "burning"}, "expect": {"cautions": ["fire"],
                                                                       "stopped": "hazard"}}


UNSURE = changed("causes/too_coarse/evidence/0/weight", "slight for",
                 changed("remedies/finer/minutes", 60, changed("remedies/new_beans/minutes", 60)))
"""So open, and fixes so dear, that asking pays."""


@pytest.fixture(scope="module")
def small() -> System:
    return System(book_of(UNSURE))


def of(folder: Path, *cases: dict) -> list[Worked]:
    file = folder / "some.yaml"
    file.write_text("\n".join(yaml.safe_dump([case]) for case in cases))
    return worked(file)


def test_a_consult_asks_and_is_answered_from_the_facts(small: System, tmp_path: Path) -> None:
    (one,) = of(tmp_path, GUSHES)
    went = consult(small, one)
    assert isinstance(went.end, Fix) and went.placed == "read" and went.verdict.passed
    assert went.answered == 1 <= went.questions
    assert went.verdict.case.values == {"fresh": "no"}
    assert len(went.verdict.case.unknown) == went.questions - went.answered
    assert went.minutes >= 0.5 * went.questions       # reading alone, and the questions' own


def test_a_complaint_that_is_not_read_is_picked_from_what_the_facts_bear_out(
        small: System, tmp_path: Path) -> None:
    silent = GUSHES | {"complaint": "hm", "symptoms": [], "answers": {"shot_time": "12 s"}}
    one, other = of(tmp_path, silent, silent | {"title": "none", "answers": {"fresh": "no"}})
    assert consult(small, one).verdict.case.complaints == ("too_fast",)
    assert (consult(small, one).placed, consult(small, other).placed) == ("picked", "")


def test_a_symptom_that_the_facts_deny_is_not_confirmed(small: System, tmp_path: Path) -> None:
    (one,) = of(tmp_path, GUSHES | {"symptoms": [], "answers": {"shot_time": "50 s"}})
    assert consult(small, one).verdict.case.complaints == ("too_slow",)


def test_what_the_facts_do_not_say_is_not_known(small: System, tmp_path: Path) -> None:
    (one,) = of(tmp_path, GUSHES | {"answers": {"fresh": "don't know"}})
    went = consult(small, one)
    assert went.answered == 0 and not went.verdict.case.values and went.questions


def test_a_hazard_that_is_told_ends_the_consult(tmp_path: Path) -> None:
    (one,) = of(tmp_path, BURNS)
    told = changed("symptoms/too_fast/finding", {"hazard": "fire"})
    went = consult(System(book_of(told)), one)
    assert isinstance(went.end, Stop) and went.questions == 0 and went.verdict.passed


def test_a_hazard_dealt_with_as_asked_counts_as_shown(tmp_path: Path) -> None:
    (one,) = of(tmp_path, BURNS)
    told = changed("cautions/fire/go_on", "Unplug it.",
                   changed("symptoms/too_fast/finding", {"hazard": "fire"}))
    went = consult(System(book_of(told)), one)
    assert not went.verdict.missing and went.verdict.stops and not went.verdict.case.hazard


def test_rates_count_what_they_say(small: System, tmp_path: Path) -> None:
    wrong = GUSHES | {"title": "wrong", "expect": {"causes": ["too_fine"], "fix": ["coarser"]}}
    cases = of(tmp_path, GUSHES, wrong, BURNS)
    found = figures.rates([judge(small, one) for one in cases], cases)
    assert (found.cases, found.first, found.fix) == (3, figures.Share(1, 2), figures.Share(1, 2))
    assert (found.cautions, found.stops) == (figures.Share(2, 2), figures.Share(3, 3))
    assert f"{found.first}" == "50 %" and f"{figures.Share(0, 0)}" == "-"


def test_the_brier_score_and_its_bins_match_hand_work() -> None:
    taken = [(0.95, True), (0.65, True), (0.65, False), (1.0, True)]
    assert calibration.brier(taken) == pytest.approx((0.05**2 + 0.35**2 + 0.65**2) / 4)
    assert calibration.bins(taken) == [pytest.approx((0.6, 0.7, 2, 0.65, 0.5)),
                                       pytest.approx((0.9, 1.0, 2, 0.975, 1.0))]


def test_the_page_counts_every_entry_and_every_case(small: System, tmp_path: Path) -> None:
    found = table.judged(small, of(tmp_path, GUSHES, BURNS), interview=True)
    text = "\n".join((*table.contents(small.book), *table.page(small.book, found, "Ours")))
    assert [line.split() for line in text.splitlines() if line.startswith("small ")] == [
        ["small", *map(str, (len(SMALL[kind]) for kind in table.COUNTED))],
        *[line.split() for line in text.splitlines() if line.startswith("small ")][1:]]
    assert "Ours: 2 cases" in text and figures.NO_CAUSE in text and "single" in text
    assert "questions to the first step" in text


def test_cases_kept_aside_are_left_out_unless_named() -> None:
    assert not [one.id for one in collection() if one.chapter.startswith("aside")]
