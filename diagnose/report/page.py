"""The page: one HTML file without scripts or anything from outside, for paper and screen reader."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from diagnose.case.case import Case
from diagnose.case.events import NOTEBOOK
from diagnose.present import handover, stopping
from diagnose.present.case_data import case_report
from diagnose.present.parts import FixData
from diagnose.present.report_data import (
    CaseReport,
    FirstFix,
    Next,
    NextDone,
    NextFix,
    NextHandover,
    NextHazard,
    NextQuestion,
    NextRecheck,
    NextUnsure,
    kind,
)
from diagnose.reason.explain.chance import percent, sure
from diagnose.reason.explain.reason import Reason
from diagnose.report import trend
from diagnose.report.markup import can_be_saved, caution, document, escaped, listed, paragraph, section
from diagnose.ui import words

STYLE = """
@page { size: A4; margin: 14mm }
body { font: 11pt/1.35 system-ui, sans-serif; color: #000; background: #fff; max-width: 46rem;
  margin: 1.2rem auto; padding: 0 1rem }
h1 { font-size: 1.5em; margin: 0 0 .2em } h2 { font-size: 1.1em; margin: 1em 0 .3em;
  border-bottom: 1px solid #000 }
p, ol, ul, table, figure { margin: .35em 0 } li { margin: .2em 0 }
.caution { border: 2px solid #000; border-left-width: 8px; padding: .3em .6em; margin: .5em 0;
  break-inside: avoid }
.do { font-size: 1.15em; font-weight: bold } li, tr, figure, .caution { break-inside: avoid }
.boxes { list-style: none; padding-left: 1em } .blank span { display: block; height: 1.6em;
  width: 14em; border-bottom: 1px solid #000 }
h2 { break-after: avoid } table { border-collapse: collapse; width: 100% }
th, td { text-align: left; vertical-align: top; padding: .12em .6em .12em 0; font-weight: normal }
tbody tr { border-bottom: 1px solid #bbb }
th[scope=row] { width: 58% } thead th { font-weight: bold } svg { max-width: 100%; height: auto }
svg text { font: 11px system-ui, sans-serif } footer { margin-top: 1.2em; border-top: 1px solid #000;
  font-size: .9em } .box { display: inline-block; margin-right: 1.5em }
@media print { body { font-size: 10pt; margin: 0; max-width: none; padding: 0 } }
"""
HOW_MUCH = {"slight": "slightly", "substantial": "clearly", "strong": "strongly",
            "very strong": "very strongly", "decisive": "all but decisively"}
OUTCOMES = ("solved", "better", "same", "worse")
BLANK = "." * 24


def save(case: Case, path: Path, broken: Iterable[str] = ()) -> None:
    """Write the page of a case to a file, whole or not at all; UserError where it can't be.

    A page written before is written over; any other file is left alone.
    """
    from diagnose.notebook.exchange import save as write

    can_be_saved(path)
    write(path, html(case, broken))


def html(case: Case, broken: Iterable[str] = ()) -> str:
    """The page of a case as it stands."""
    data = case_report(case)
    title = _fix_name(data.next) or data.complaint or "An espresso machine's trouble"
    body = "".join(_body(case, data, broken))
    return document(title, STYLE, body)


def _fix_name(after: Next) -> str:
    return after.name if isinstance(after, FixData) else ""


def _boxes(texts: Iterable[str]) -> str:
    items = "".join(f'<li><span aria-hidden="true">&#9744; </span>{escaped(text)}</li>' for text in texts)
    return f'<ul class="boxes">{items}</ul>\n' if items else ""


def _body(case: Case, data: CaseReport, broken: Iterable[str]) -> Iterator[str]:
    yield f"<header><h1>{escaped(_heading(data))}</h1>\n"
    yield paragraph(f"{case.today.day} {case.today:%B %Y}. {_complaint(data)}")
    yield paragraph("  ".join(f"{name}: {BLANK}" for name in handover.BLANKS)) + "</header>\n<main>\n"
    yield "".join(_danger(data))
    yield section(words.PAGE_BROKEN, listed(broken))
    yield "".join(caution(c) for c in stopping.besides(data))
    if not isinstance(data.next, NextHazard):
        yield section(words.PAGE_NEXT[kind(data.next)], "".join(_next(data.next)))
    if isinstance(data.first_fix, NextFix | NextHandover):
        yield section(words.PAGE_FIRST_FIX, "".join(_next(data.first_fix)))
    yield section(words.MORE_NUMBERS, _numbers(data.next) or _numbers(data.first_fix))
    yield _trend(case)
    yield section(words.PAGE_CAUSES, _causes(data))
    yield section(words.PAGE_ANSWERS, _answers(case, data))
    yield section("What was tried", listed(_tried(case)))
    yield section(words.PAGE_HOUSE, listed(map(words.house_rule, data.house)))
    yield "</main>\n"
    yield (f"<footer><p>{escaped(stopping.closing(case))} "
           "Hot water, steam, mains and pressure can hurt; what is inside the "
           "housing is a technician's.</p></footer>")


def _danger(data: CaseReport) -> Iterator[str]:
    """The signs of danger told, what stops, and whether to go on using it: before all else."""
    if isinstance(data.next, NextHazard):
        for line in stopping.lines(data.next):
            if line.code == "danger":
                yield caution(data.next)
            elif line.code not in ("title", "avoid"):
                yield paragraph(line.text, "do")
        return
    yield from (paragraph(line.text, "do") for line in stopping.told(data.signs))
    yield paragraph(stopping.may_use(data.use))


def _heading(data: CaseReport) -> str:
    if isinstance(data.next, NextHazard):
        return stopping.TITLE
    if data.signs:
        return stopping.TOLD.format(names="; ".join(s.name for s in data.signs))
    top = data.causes[0]
    return f"{sure(top.probability).capitalize()} ({percent(top.probability)}): {top.name}"


def _complaint(data: CaseReport) -> str:
    if data.complaint:
        return f'The complaint: "{data.complaint}"'
    return "; ".join(s.name for s in data.symptoms)


def _next(after: NextQuestion | NextRecheck | FirstFix) -> Iterator[str]:
    match after:
        case NextFix():
            yield from _remedy(after)
        case NextHandover():
            yield paragraph(after.text, "do")
            yield paragraph(stopping.HANDOVER_WHAT.format(name=after.name))
        case NextQuestion() | NextRecheck():
            yield paragraph(after.text, "do")
            offered = after.answers if isinstance(after, NextQuestion) else []
            yield _boxes(a.text for a in offered)
            if not offered:
                yield '<p class="blank"><span aria-hidden="true"></span></p>\n'
        case NextDone("solved"):
            yield paragraph(words.CHOICES["remedy", "solved"])
        case NextDone() | NextUnsure():
            yield paragraph(words.NOT_IN_BOOK_MORE)


def _remedy(fix: NextFix) -> Iterator[str]:
    yield paragraph(f"{fix.name[0].upper()}{fix.name[1:]}", "do")
    shots = words.SHOTS.get(fix.shots, words.SHOTS_MANY).format(shots=fix.shots)
    yield paragraph(words.COSTS.format(minutes=words.minutes(fix.minutes), shots=shots,
                                        money=words.MONEY[fix.money], chance=percent(fix.chance)))
    for text, value in ((words.WHO[fix.who], True), (words.BEFORE, fix.before),
                        (words.TOOLS, fix.tools)):
        if text and value:
            yield paragraph(text.format(text=value))
    yield listed(fix.steps, "ol")
    for text, value in ((words.STOP_WHEN, fix.stop_when), (words.SHOULD, fix.should),
                        (words.UNDO, fix.undo)):
        if value:
            yield paragraph(text.format(text=value))
    boxes = "".join(f'<span class="box">&#9744; {o}</span>' for o in OUTCOMES)
    yield f"<p>{escaped(words.DID_IT_WORK)} {boxes}</p>\n"
    if fix.after:
        yield paragraph(words.IF_NOT.format(name=fix.after[0].name))


def _numbers(after: Next | None) -> str:
    return listed(map(words.number, after.numbers)) if isinstance(after, FixData) else ""


def _trend(case: Case) -> str:
    target = case.book.targets.get("shot_time")
    window = (target.low, target.high) if target and target.low and target.high else None
    return section("Your shots", trend.svg(list(case.system.history.shots), window,
                                           case.values.get("marks_direction", "")))


def _causes(data: CaseReport) -> str:
    rows = "".join(f'<tr><th scope="row">{escaped(c.name)}</th><td>{percent(c.probability)}, '
                   f'{escaped(sure(c.probability))}</td></tr>' for c in data.causes)
    why = listed(map(_reason, data.causes[0].why))
    return f"<table>{_head('Cause', 'How likely')}<tbody>{rows}</tbody></table>\n" + (
        f"<p>Why the first:</p>{why}" if why else "")


def _reason(said: Reason) -> str:
    """A reason with its weight in plain words after it."""
    if not said.grade:
        return said
    fact = words.capital(said.text).rstrip(".")
    return f"{fact}. That speaks {HOW_MUCH[said.grade]} {said.side} it."


def _head(*names: str) -> str:
    return "<thead><tr>" + "".join(f'<th scope="col">{n}</th>' for n in names) + "</tr></thead>"


def _answers(case: Case, data: CaseReport) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escaped(case.book.observations[a.id].ask)}</th><td>{escaped(a.text)}'
        f'{" (from the notebook)" if case.given(a.id) == NOTEBOOK else ""}</td></tr>'
        for a in data.answers)
    return f"<table>{_head('Question', 'Answer')}<tbody>{rows}</tbody></table>\n" if rows else ""


def _tried(case: Case) -> Iterator[str]:
    for fix in case.fixes:
        stated = case.book.remedies.get(fix.remedy)
        yield f"{stated.name if stated else fix.remedy}: {fix.outcome}"
