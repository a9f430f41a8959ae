"""Explanations in parts: help, why, more, what if, what would change your mind."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from diagnose.present.parts import CauseData, FixData
from diagnose.present.screens import Screen
from diagnose.present.told_data import (
    DoubtData,
    HelpData,
    MoreData,
    Told,
    WhatIfData,
    WhyConclusion,
    WhyHazard,
    WhyQuestion,
    WhyRecheck,
)
from diagnose.reason.explain.chance import percent
from diagnose.reason.explain.reason import INDENT, Reason
from diagnose.ui import advice, words
from diagnose.ui.layout import Part


def draw(_: Screen, data: Told) -> Iterator[Part]:
    """The parts of an explanation."""
    return _ABOUT[type(data)](data)


def _help(_: HelpData) -> Iterator[Part]:
    yield Part(words.HELP_TITLE, "title")
    for word, text in words.HELP.items():
        yield Part(f"{word}: {text}")
    yield Part(words.HELP_ANSWERS, gap=True)
    yield Part(words.HELP_WORDS)


def _why_hazard(data: WhyHazard) -> Iterator[Part]:
    yield Part(words.WHY_HAZARD, "title")
    yield from _chain(data.chain)


def _why_recheck(data: WhyRecheck) -> Iterator[Part]:
    yield Part(words.WHY_RECHECK, "title")
    yield from _chain(data.chain)


def _why_question(data: WhyQuestion) -> Iterator[Part]:
    yield Part(words.WHY_QUESTION.format(ask=data.ask), "title")
    if data.number:
        yield Part(words.WHY_NUMBER.format(number=data.number))
    yield Part(words.WHY_SAVES.format(minutes=words.minutes(data.saves)), gap=True)
    for i, branch in enumerate(data.branches):
        text = words.WHY_BRANCH if branch.answers else words.WHY_BRANCH_ANY
        yield Part(text.format(answers=words.WHY_OR.join(f'"{a}"' for a in branch.answers),
                               cause=branch.cause or words.WHY_NONE,
                               percent=percent(branch.likely), sure=percent(branch.sure)),
                   gap=i == 0)
    if len(data.branches) == 1:
        yield Part(words.WHY_SAME)


def _why_conclusion(data: WhyConclusion) -> Iterator[Part]:
    stated = data.cause
    yield Part(words.WHY_CONCLUSION.format(cause=stated.name,
                                           percent=percent(stated.probability)), "title")
    if data.what:
        yield Part(data.what, gap=True)
    for i, ground in enumerate(data.grounds):
        yield Part(ground, gap=i == 0)
    if data.chain:
        yield from _chain(data.chain)
    else:
        yield Part(words.WHY_NO_EVIDENCE)


def _chain(lines: Iterable[Reason]) -> Iterator[Part]:
    """The chain, what it rests on standing further in."""
    for line in lines:
        yield Part(line.text if line.depth else words.capital(_weighs(line)), lead=INDENT * line.depth,
                   gap=not line.depth)


def _weighs(reason: Reason) -> str:
    """How an answer weighs, in words to be read aloud."""
    return words.WEIGHS_SAID.format(how=words.WEIGHS[reason.grade], side=reason.side, text=reason.text) \
        if reason.grade else reason.text


def _more(data: MoreData) -> Iterator[Part]:
    if data.how:
        yield Part(words.MORE_HOW, "title")
        yield Part(data.how)
    if data.remedy:
        yield from _remedy(data, data.remedy)
    yield Part(words.MORE_CAUSES, "title", gap=True)
    for one in data.causes:
        yield Part(words.CAUSE_PERCENT.format(name=one.name,
                                              percent=percent(one.probability)), lead="- ")
    yield from _listed(words.MORE_COMPETITORS, [c.name for c in data.competitors])
    yield from _listed(words.MORE_COMPANIONS, [c.name for c in data.companions])
    yield from _listed(words.MORE_FINDINGS, data.findings)


def _listed(title: str, texts: list[str]) -> Iterator[Part]:
    if texts:
        yield Part(title, "title", gap=True)
        yield from (Part(text, lead="- ") for text in texts)


def _remedy(data: MoreData, fix: FixData) -> Iterator[Part]:
    yield Part(words.MORE_STEPS.format(name=words.capital(fix.name)), "title")
    yield from (Part(p.text, p.style, p.lead) for p in advice.steps(fix))
    yield Part(words.SHOULD.format(text=fix.should))
    if fix.undo:
        yield Part(words.UNDO.format(text=fix.undo))
    if data.confirm:
        yield Part(words.MORE_CONFIRM.format(text=data.confirm))
    yield from _listed(words.MORE_NUMBERS, list(map(words.number, fix.numbers)))
    yield Part(words.MORE_SOURCE.format(fix=fix.source, cause=data.cause_source))


def _doubt(data: DoubtData) -> Iterator[Part]:
    leading = data.leading
    yield Part(words.DOUBT.format(leading=leading.name,
                                  percent=percent(leading.probability)), "title")
    for turn in data.turns:
        changes = words.DOUBT_AND.join(
            (words.DOUBT_INSTEAD if c.given else words.DOUBT_CHANGE).format(
                ask=c.ask, text=c.text, given=c.given)
            for c in turn.changes)
        yield Part(words.DOUBT_TURN.format(changes=changes, cause=turn.cause,
                                           percent=percent(turn.sure)), lead="- ", gap=True)
    if not data.turns:
        yield Part(words.DOUBT_NONE)


def _what_if(data: WhatIfData) -> Iterator[Part]:
    yield Part(words.WHAT_IF.format(said=data.said), "title")
    yield Part(words.WHAT_IF_BEFORE.format(causes=_named(data.before)), gap=True)
    yield Part(words.WHAT_IF_AFTER.format(causes=_named(data.after)))
    yield Part(words.WHAT_IF_NEXT[data.next.kind].format(text=data.next.text))
    yield Part(words.WHAT_IF_NOTHING, gap=True)


def _named(causes: list[CauseData]) -> str:
    return "; ".join(words.CAUSE_PERCENT.format(name=c.name, percent=percent(c.probability))
                     for c in causes)


_ABOUT: Mapping[type, Callable[[Any], Iterator[Part]]] = {
    HelpData: _help, WhyQuestion: _why_question, WhyHazard: _why_hazard, WhyRecheck: _why_recheck,
    WhyConclusion: _why_conclusion, MoreData: _more, DoubtData: _doubt, WhatIfData: _what_if}
