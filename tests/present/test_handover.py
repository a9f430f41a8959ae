"""The hand-over in the order a technician reads it, with blanks for what no consult knows."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from diagnose.case.case import Case
from diagnose.present.handover import BLANKS, summary
from diagnose.report.page import html
from tests.case.small import small_system


def _case(folder: Path) -> Case:
    case = Case(small_system(folder), today=date(2026, 1, 2))
    case.complain("it gushes", ["too_fast"])
    case.answer("last_change", "grind")
    case.tried("finer", "same")
    return case


def test_what_was_seen_and_done_stands_before_what_was_thought(tmp_path: Path) -> None:
    said = summary(_case(tmp_path), date(2026, 1, 2))
    titles = ["Machine (make and type)", "## Complaint", "## What was observed", "## What was tried",
              "## Causes considered"]
    places = [said.index(title) for title in titles]
    assert places == sorted(places)


def test_hand_over_and_page_have_blanks_to_fill_in(tmp_path: Path) -> None:
    case = _case(tmp_path)
    for said in (summary(case, case.today), html(case)):
        assert all(f"{name}: ......" in said for name in BLANKS)
