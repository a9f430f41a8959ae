"""The worked cases come out as they should, but for the misses that are listed."""

from __future__ import annotations

import pytest

from diagnose.reason.system import System
from tests.cases import misses
from tests.cases.judge import Verdict, Worked, trace


@pytest.mark.timeout(900)           # all cases are worked out here
def test_every_case_misses_what_the_list_says_and_no_more(
        cases: list[Worked], verdicts: dict[str, Verdict]) -> None:
    now = {name: short for name, verdict in verdicts.items() if (short := misses.missed(verdict))}
    difference = misses.held(misses.read(), now)
    traces = ["\n".join(trace(one, verdicts[one.id]))
              for one in misses.worth_a_trace(difference, cases)]
    told = [f"{name}: {what} {'missed' if (name, what) in difference.new else 'no longer missed'}"
            for name, what in difference.too_many]
    assert not told, "\n".join((
        misses.totals(verdicts.values()), *told, "", *traces,
        f"where that is as it should be, write the list anew: {misses.COMMAND}"))


def test_what_is_expected_stands_in_the_book(system: System, cases: list[Worked]) -> None:
    book = system.book
    for one in cases:
        causes = {c for fault in one.expect.causes for c in fault.split("|")}
        assert causes <= book.causes.keys(), one.id
        assert set(one.expect.fix) <= book.remedies.keys(), one.id
        assert set(one.expect.cautions) <= book.cautions.keys(), one.id
        assert one.expect.stopped in ("", "hazard", "handover"), one.id


def test_every_case_has_a_name_of_its_own(cases: list[Worked]) -> None:
    names = [one.id for one in cases]
    assert len(names) >= 200 and len(names) == len(set(names))
