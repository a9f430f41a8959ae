"""Plain text, 78 columns wide: a case's report as a page, and a screen as lines to be read on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from diagnose.present import stopping
from diagnose.present.report_data import (
    CaseReport,
    FirstFix,
    NextDone,
    NextFix,
    NextHandover,
    NextHazard,
    NextQuestion,
    NextRecheck,
    NextUnsure,
    kind,
)
from diagnose.present.screen_data import QuestionData, RecheckData
from diagnose.present.screens import Screen
from diagnose.reason.explain.chance import percent, sure
from diagnose.ui import advice, answers, draw, words
from diagnose.ui.layout import Part, plain

WIDTH = 78


def linear(screen: Screen, width: int = WIDTH) -> str:
    """A screen in full, to be read from top to bottom; notes first, in the order of events."""
    blocks = [draw.notes(screen), draw.draw(screen), [*draw.foot(screen), asked(screen)]]
    return "\n\n".join(plain(block, width) for block in blocks if block)


def again(screen: Screen, width: int = WIDTH) -> str:
    """What is said where the screen itself has not changed: the notes, and what is wanted."""
    return plain([*draw.notes(screen), asked(screen)], width)


def record(screen: Screen, width: int = WIDTH) -> str:
    """A fix or a stop to take along: the screen without its choices."""
    parts = draw.draw(replace(screen, choices=()))
    return plain([p for p in parts if p.text != words.DID_IT_WORK], width)


def result(screen: Screen, done: Iterable[str], width: int = WIDTH) -> str:
    """What stays in the terminal: what was done, the cause, its cautions, and what to do next."""
    said = [plain(_section(words.RESULT_DONE, done), width)]
    if isinstance(screen.data, QuestionData | RecheckData):
        said.append(plain(_open_question(screen, screen.data.text), width))
    else:
        said.append(record(screen, width))
    return "\n\n".join(filter(None, said))


def _open_question(screen: Screen, ask: str) -> Iterator[Part]:
    """Where it stands while something is asked."""
    if screen.status and screen.status.leading:
        yield Part(advice.so_far(screen.status.leading, screen.status.sure))
    yield from advice.cautions(screen.cautions)
    yield Part(words.RESULT_ASKS.format(ask=ask))


def paragraph(said: str, width: int) -> str:
    """A sentence or two, wrapped to the terminal where that is narrower than a page."""
    return plain([Part(said)], min(width, WIDTH))


def asked(screen: Screen) -> Part:
    """What may be typed here."""
    if screen.kind in ("explain", "answer"):
        return Part(draw.keys(screen), "hint")
    return Part(f"{draw.wanted(screen)}.", "hint")


def page(data: CaseReport, broken: Iterable[str]) -> str:
    """A case's report as a page of text."""
    return plain([*_broken(broken), *_danger(data), *answers.told(data.asked), *_given(data),
                  *_causes(data), *_cautions(data), *_next(data), *_house(data)], WIDTH)


def _danger(data: CaseReport) -> Iterator[Part]:
    """The signs of danger told, what stops, and whether to go on using it: before all else."""
    if isinstance(data.next, NextHazard):
        yield from advice.hazard(data.next)
        return
    yield from (Part(line.text, gap=True) for line in stopping.told(data.signs))
    yield Part(stopping.may_use(data.use), gap=True)


def _section(title: str, texts: Iterable[str]) -> Iterator[Part]:
    found = list(texts)
    if found:
        yield Part(title, "title", gap=True)
        yield from (Part(text, lead="- ") for text in found)


def _broken(broken: Iterable[str]) -> Iterator[Part]:
    return _section(words.PAGE_BROKEN, broken)


def _given(data: CaseReport) -> Iterator[Part]:
    yield from _section(words.PAGE_COMPLAINT, [data.complaint] if data.complaint else [])
    yield from _section(words.PAGE_SYMPTOMS, (s.name for s in data.symptoms))
    yield from _section(words.PAGE_ANSWERS, (a.told for a in data.answers))
    yield from _section(words.PAGE_FINDINGS, (f.text for f in data.findings))


def _causes(data: CaseReport) -> Iterator[Part]:
    yield Part(words.PAGE_CAUSES, "title", gap=True)
    for i, one in enumerate(data.causes, 1):
        chance = one.probability
        yield Part(f"{one.name}: {percent(chance)}, {sure(chance)}", lead=f"{i}. ")
        yield from (Part(reason, lead="   - ") for reason in one.why)
    yield from _section(words.MORE_COMPETITORS, (c.name for c in data.competitors))
    yield from _section(words.MORE_COMPANIONS, (c.name for c in data.companions))


def _cautions(data: CaseReport) -> Iterator[Part]:
    """Above what comes next, so that a caution is read before the step it belongs to."""
    if found := stopping.besides(data):
        yield Part(words.PAGE_CAUTIONS, "title", gap=True)
        yield from (Part(p.text, p.style) for p in advice.cautions(found))


def _next(data: CaseReport) -> Iterator[Part]:
    if isinstance(data.next, NextHazard):
        return
    yield Part(words.PAGE_NEXT[kind(data.next)], "title", gap=True)
    yield from _step(data.next)
    if data.first_fix:
        yield Part(words.PAGE_FIRST_FIX, "title", gap=True)
        yield from _step(data.first_fix)


def _step(after: NextQuestion | NextRecheck | FirstFix) -> Iterator[Part]:
    match after:
        case NextQuestion() | NextRecheck():
            yield Part(after.text)
            offered = after.answers if isinstance(after, NextQuestion) else []
            yield from (Part(a.text, lead="- ") for a in offered)
        case NextFix():
            yield Part(f"{words.capital(after.name)}.")
            yield from advice.steps(after)
            yield Part(words.SHOULD.format(text=after.should))
            yield from advice.waits(after.waits)
            if after.after:
                yield Part(words.IF_NOT.format(name=words.capital(after.after[0].name)))
        case NextHandover():
            yield Part(after.text)
            yield Part(stopping.HANDOVER_WHAT.format(name=words.capital(after.name)))
        case NextUnsure():
            yield from advice.unsure(after)
        case NextDone("not_in_book"):
            yield Part(words.NOT_IN_BOOK_MORE)
        case NextDone():
            yield Part(words.CHOICES["remedy", "solved"])


def _house(data: CaseReport) -> Iterator[Part]:
    return _section(words.PAGE_HOUSE, map(words.house_rule, data.house))
