"""Sheets as an HTML page to print or to show on a phone, and the wall card of the targets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from diagnose.book.book import Book
from diagnose.compute import units
from diagnose.present import stopping
from diagnose.present.fill import Filled, put_in
from diagnose.present.parts import CautionData
from diagnose.reason.system import System
from diagnose.report.markup import caution, document, escaped, listed, paragraph, section
from diagnose.teach.drawing import svg
from diagnose.teach.sheet import Sheet, Shown, numbered, sheet
from diagnose.teach.tree import Leaf
from diagnose.ui import words

PAPERS = {"a4": ("A4", "11mm", "9pt", 2, "230mm"), "a5": ("A5", "9mm", "8.5pt", 1, "165mm")}
"""Size, margin, letters, columns and the tallest drawing of each paper."""
STYLE = """
@page {{ size: {size}; margin: {margin} }}
body {{ font: 11pt/1.35 system-ui, sans-serif; color: #000; background: #fff; max-width: 46rem;
  margin: .8rem auto; padding: 0 .8rem; overflow-wrap: break-word }}
h1 {{ font-size: 1.4em; margin: 0 0 .2em }}
h2 {{ font-size: 1.15em; margin: .9em 0 .3em;
  border-bottom: 1px solid #000 }} h3 {{ font-size: 1em; margin: .8em 0 .2em }}
h1, h2, h3 {{ break-after: avoid }} p, ol, ul, figure {{ margin: .3em 0 }} li {{ margin: .15em 0 }}
ol, ul {{ padding-left: 1.4em }} li, .caution, svg {{ break-inside: avoid }}
.caution {{ border: 2px solid #000; border-left-width: 8px; padding: .25em .5em; margin: .4em 0 }}
.do {{ font-weight: bold }} svg {{ max-width: 100%; height: auto }}
article + article {{ break-before: {between}; margin-top: 2em }}
table {{ border-collapse: collapse; width: 100% }} tr {{ border-bottom: 1px solid #000; break-inside: avoid }}
th, td {{ text-align: left; vertical-align: top; padding: .25em .5em .25em 0; font-weight: normal }}
td {{ font-weight: bold }} thead th {{ font-weight: bold }}
footer {{ margin-top: 1em; border-top: 1px solid #000; font-size: .9em }}
@media print {{ body {{ font-size: {letters}; margin: 0; max-width: none; padding: 0 }}
  article {{ columns: {columns} }} h1 {{ column-span: all }}
  svg {{ max-height: {tallest} }} }}
"""
FOOT = ("Hot water, steam, mains and pressure can hurt; what is inside the housing is a technician's.")
ALWAYS_STOP = ("Stop and switch off at anything that smells of burning, smokes, sprays, hisses where it did "
               "not before, or trips a breaker.")
NO_FIX = "Nothing to try yet: first find out which it is; a wrong try does harm here."


def pages(system: System, symptoms: Sequence[str], paper: str, depth: int, together: bool) -> str:
    """Hand-outs for complaints, each on a page of its own or `together` as one sheet for a class."""
    sheets = [sheet(system, name, 0 if together else depth) for name in symptoms]
    names = [system.book.symptoms[name].name for name in symptoms]
    if together:
        body = _class_sheet(system.book, sheets)
    else:
        body = "".join(_page(system.book, one) for one in sheets)
    return document("; ".join(names), _style(paper, "auto" if together else "page"), body + _foot(sheets))


def _style(paper: str, between: str) -> str:
    size, margin, letters, columns, tallest = PAPERS[paper]
    return STYLE.format(size=size, margin=margin, letters=letters, columns=columns, tallest=tallest,
                        between=between)


def _title(text: str, tag: str) -> str:
    return f"<{tag}>{escaped(text[:1].upper() + text[1:])}</{tag}>\n"


def _page(book: Book, one: Sheet) -> str:
    cautions = [c for c in numbered(book, [one]) if c.id != one.hazard]  # that one is said first
    return (f"<article>\n{_title(book.symptoms[one.symptom].name, 'h1')}{_danger(one)}"
            f"{_cautions(cautions)}{_questions(book, one)}{_causes(book, one, cautions)}{_stops(book, one)}"
            "</article>\n")


def _class_sheet(book: Book, sheets: Sequence[Sheet]) -> str:
    """All complaints on one sheet: the cautions once, before everything."""
    cautions = numbered(book, sheets)
    ordered = sorted(sheets, key=lambda one: not one.hazard)
    parts = "".join(f"<article>\n{_title(book.symptoms[one.symptom].name, 'h1')}{_danger(one)}"
                    f"{_causes(book, one, cautions)}{_stops(book, one)}</article>\n" for one in ordered)
    return _cautions(cautions) + parts


def _danger(one: Sheet) -> str:
    """What a complaint of danger comes to, before all else; whether to go on, where that is in doubt."""
    if one.hazard:
        data = stopping.hazard(one.case, one.hazard)
        return "".join(paragraph(line.text, "do") for line in stopping.lines(data))
    use = one.case.use.text
    return "".join(paragraph(text, "do") for text in (*one.signs, *(
        [stopping.may_use(use)] if use != "yes" else [])))


def _cautions(found: Sequence[CautionData]) -> str:
    return section("Read first", "".join(caution(c, f"{n}. ") for n, c in enumerate(found, 1)))


def _questions(book: Book, one: Sheet) -> str:
    letters = {shown.cause: shown.letter for shown in one.shown}

    def leaf(at: Leaf) -> str:
        if at.stop:
            return stopping.brief(book, at.stop)
        named = " or ".join(f"{letters[c]}, {book.causes[c].name}" if c in letters else
                            f"{book.causes[c].name} (not on this page: ask)" for c in at.causes)
        return f"{'Most likely' if at.sure else 'Not sure; perhaps'}: {named}"

    drawn = svg(one.tree.root, lambda name: book.observations[name].ask, leaf, one.symptom)
    hows = dict.fromkeys(put_in(one.case.inference, book.observations[name].how)
                         for name in _asked(one.tree.root))
    return section("Look at this first", drawn and drawn + listed(filter(None, hows)))


def _asked(node: Any) -> Iterator[str]:
    if not isinstance(node, Leaf):
        yield node.observation
        for branch in node.branches:
            yield from _asked(branch.to)


def _causes(book: Book, one: Sheet, cautions: Sequence[CautionData]) -> str:
    numbers = {c.id: f"{c.signal} {n}" for n, c in enumerate(cautions, 1)}
    return section("Likely causes", "".join(_cause(one, s, numbers) for s in one.shown))


def _cause(one: Sheet, shown: Shown, numbers: dict[str, str]) -> str:
    stated = one.case.book.causes[shown.cause]
    tells = (f"To make sure: {stated.confirm}", *shown.tells)
    return (_title(f"{shown.letter}. {stated.name} ({shown.chance} at first)", "h3")
            + paragraph(put_in(one.case.inference, stated.what))
            + listed(put_in(one.case.inference, text) for text in tells)
            + (_fix(shown.fix, numbers) if shown.fix else paragraph(NO_FIX)))


def _fix(fix: Filled, numbers: dict[str, str]) -> str:
    """The first thing to try; of a technician's work only its name."""
    mind = [number for name, number in numbers.items() if name in fix.cautions]
    heed = paragraph(f"Mind first: {'; '.join(mind)}.", "do") if mind else ""
    if fix.who == "technician":
        return heed + paragraph(stopping.HANDOVER, "do") + paragraph(
            stopping.HANDOVER_WHAT.format(name=fix.name))
    told = ((words.WHO[fix.who], True), (words.BEFORE, fix.before), (words.TOOLS, fix.tools))
    after = ((words.STOP_WHEN, fix.stop), (words.SHOULD, fix.should), (words.UNDO, fix.undo))
    return (heed + paragraph(f"Try first: {fix.name}", "do") + _told(told) + listed(fix.steps, "ol")
            + _told(after))


def _told(lines: Iterable[tuple[str, Any]]) -> str:
    return "".join(paragraph(text.format(text=value)) for text, value in lines if text and value)


def _stops(book: Book, one: Sheet) -> str:
    """When to stop: what the causes shown say, and what holds always."""
    if one.hazard:
        return ""
    said = [f"{s.letter}: {put_in(one.case.inference, book.causes[s.cause].stop)}" for s in one.shown
            if book.causes[s.cause].stop]
    return section("When to stop", listed([*said, ALWAYS_STOP]))


def _foot(sheets: Sequence[Sheet]) -> str:
    closings = dict.fromkeys([*(stopping.closing(one.case) for one in sheets), stopping.MAKER_FIRST])
    return f"<footer>{''.join(map(paragraph, closings))}{paragraph(FOOT)}</footer>"


def card(book: Book, paper: str, today: date) -> str:
    """The wall card of the house's targets, those that the house has set marked."""
    rows = "".join(f'<tr><th scope="row">{escaped(t.label)}{escaped(_whose(book, name))}</th>'
                   f"<td>{escaped(aim)}</td><td>{escaped(window)}</td></tr>\n"
                   for name, t in book.targets.items() for aim, window in [_numbers(t)])
    head = "".join(f'<th scope="col">{name}</th>' for name in ("What", "Aim", "From, to"))
    body = (f"{_title('Our targets', 'h1')}{paragraph(f'{today.day} {today:%B %Y}')}"
            f"<table><thead><tr>{head}</tr></thead><tbody>\n{rows}</tbody></table>"
            f"<footer>{paragraph(stopping.MAKER_FIRST)}</footer>")
    return document("Our targets", _style(paper, "auto"), body)


def _whose(book: Book, name: str) -> str:
    house = book.house("targets", name)
    return f" (set by {house})" if house else ""


def _numbers(target: Any) -> tuple[str, str]:
    """The number aimed at and the window around it; empty where there is none."""
    aim = "" if target.value is None else units.show(target.value, target.unit)
    low, high = target.low, target.high
    if low is not None and high is not None:
        return aim, units.span(low, high, target.unit)
    if low is None and high is None:
        return aim, ""
    return aim, f"at least {units.show(low, target.unit)}" if low is not None else (
        f"at most {units.show(high, target.unit)}")
