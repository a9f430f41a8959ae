"""Every rendering of a remedy, and of a stop, shows exactly the cautions that belong to it."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from html import escape

import pytest

from diagnose.book.assemble import build_book
from diagnose.book.yaml import loader
from diagnose.case.case import Case, Fix, Stop
from diagnose.mail.markdown import plain as markdown
from diagnose.mail.reading import Read
from diagnose.mail.reply import reply
from diagnose.present import handover, stopping, views
from diagnose.present.case_data import case_report, report
from diagnose.reading.complaint import Understood
from diagnose.reason.plan import Option
from diagnose.reason.system import System
from diagnose.report.page import html
from diagnose.storage import paths
from diagnose.ui import text
from diagnose.ui.screen import paged

BOOK = build_book(loader.load(paths.shipped()))
SYSTEM = System(BOOK)
TODAY = date(2026, 1, 2)
WIDE = 10_000
"""A width at which no sentence is broken."""


def _case(remedy: str) -> Case:
    """A case that comes to this remedy, and calls for a caution of its own."""
    case = Case(SYSTEM, today=TODAY)
    case.complain("told", ["child_at_machine"])
    stated = BOOK.remedies[remedy]
    option = Option(remedy, 0.5, stated.minutes, stated.who,
                    tuple((c, 0.5) for c, cause in BOOK.causes.items()
                          if remedy in {u.remedy for u in cause.remedies}))
    technician = stated.who == "technician"
    case.__dict__["options"] = [option]
    case.__dict__["_step"] = Stop("handover", option=option) if technician else Fix(option, ())
    return case


def _screen(case: Case) -> str:
    return text.linear(views.of(case, case.step()), WIDE)


def _pages(case: Case) -> str:
    found = paged(views.of(case, case.step()), WIDE, 12)
    return "\n".join(line.text for page in found for line in page)


def _record(case: Case) -> str:
    return " ".join(text.record(views.of(case, case.step())).split())


def _json(case: Case) -> str:
    return "\n".join(f"{c['text']}\n{c['avoid']}" for c in json.loads(json.dumps(report(case)))["cautions"])


def _plain(case: Case) -> str:
    return " ".join(text.page(case_report(case), ()).split())


def _page(case: Case) -> str:
    return html(case)


def _letter(case: Case) -> str:
    option = case.options[0]
    kind = "handover" if option.who == "technician" else "remedy"
    read = Read("told", Understood((), {}), case, kind, option=option)
    return reply(read, "bag:1", TODAY).markdown


def _handed(case: Case) -> str:
    step = case.step()
    case.__dict__["_step"] = Stop("handover", option=case.options[0])
    said = handover.summary(case, TODAY)
    case.__dict__["_step"] = step
    return said


RENDERINGS: dict[str, tuple[Callable[[Case], str], Callable[[str], str]]] = {
    "screen": (_screen, str), "pages": (_pages, str), "record": (_record, str), "json": (_json, str),
    "plain": (_plain, str), "page": (_page, escape), "letter": (_letter, markdown),
    "hand-over": (_handed, handover._plain),
}


def _shown(said: str, written: Callable[[str], str]) -> set[str]:
    return {name for name, c in BOOK.cautions.items()
            if written(c.text) in said and written(c.avoid) in said}


@pytest.mark.parametrize("rendering", RENDERINGS)
def test_every_rendering_of_a_remedy_shows_exactly_its_cautions(rendering: str) -> None:
    render, written = RENDERINGS[rendering]
    wrong = {}
    for remedy, stated in BOOK.remedies.items():
        case = _case(remedy)
        due, found = {*case.cautions, *stated.cautions}, _shown(render(case), written)
        assert "children_near" in due
        if found != due:
            wrong[remedy] = (due - found, found - due)
    assert wrong == {}


HAZARDS = sorted({h.caution for h in BOOK.hazards.values() if BOOK.cautions[h.caution].stop == "yes"})


def _stopped(caution: str) -> Case:
    case = Case(SYSTEM, today=TODAY)
    case.complain("told", [next(h.symptom for h in BOOK.hazards.values() if h.caution == caution)])
    return case


def _stop_letter(case: Case) -> str:
    return reply(Read("told", Understood((), {}), case, "hazard", case.hazard), "bag:1", TODAY).markdown


STOPS = {name: RENDERINGS[name] for name in ("screen", "record", "plain", "page")} | {
    "letter": (_stop_letter, markdown),
    "hand-over": (lambda case: handover.summary(case, TODAY), handover._plain)}


@pytest.mark.parametrize("caution", HAZARDS)
@pytest.mark.parametrize("rendering", STOPS)
def test_every_stop_says_the_signs_first_once_and_whether_to_go_on(rendering: str, caution: str) -> None:
    case, (render, written) = _stopped(caution), STOPS[rendering]
    said = " ".join(render(case).split())
    signs = stopping.signs(case)
    first = said.index(written(stopping.TOLD.format(names="; ".join(s.name for s in signs))))
    places = [said.index(written(s.first)) for s in signs] + [
        said.index(written(s.first_aid)) for s in signs]
    stated = BOOK.cautions[case.hazard]
    places += [said.index(written(stated.text)), said.index(written(stated.avoid)),
               said.index(written(stopping.may_use(case.use.text)))]
    assert first < min(p for p in places if p)
    assert said.count(written(stated.text)) == 1
    assert "%" not in said[:max(places)].partition("<body>")[2] + said[first:max(places)]
    causes = [said.find(written(BOOK.causes[r.cause].name)) for r in case.ranked[:3] if r.cause]
    assert all(at < 0 or at > max(places) for at in causes)


def test_nothing_after_first_aid_puts_the_makers_word_above_it() -> None:
    case = _stopped("swallowed_first_aid")
    for render, _ in STOPS.values():
        assert "maker's instructions" not in render(case).split("Do not make them vomit")[1]
