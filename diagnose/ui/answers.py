"""Answers to questions of practice, as parts of a screen or a page: the answer first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from diagnose.present.parts import PracticeAnswer
from diagnose.present.screen_data import AnswersData
from diagnose.present.screens import Screen
from diagnose.present.worked_answer import brief
from diagnose.ui import advice, words
from diagnose.ui.layout import Part


def draw(_: Screen, data: AnswersData) -> Iterator[Part]:
    """The answers of a screen."""
    yield from told(data.answers)


def told(answers: Iterable[PracticeAnswer]) -> Iterator[Part]:
    """Each answer, in the order asked; a caution stands once, where it is first needed."""
    warned: set[str] = set()
    for number, one in enumerate(answers):
        new = [c for c in one.cautions if c.id not in warned]
        warned |= {c.id for c in new}
        yield from _one(replace(one, cautions=list(map(brief, new))), number > 0)


def _one(one: PracticeAnswer, gap: bool) -> Iterator[Part]:
    yield Part(words.ASKED.format(question=one.question), "hint", gap=gap)
    if one.first:
        yield Part(one.first, "title")
    yield Part(one.answer, "" if one.first else "title")
    for lead, text, spare in ((words.NUMBERS, one.numbers, 2), (words.DEPENDS, one.depends, 3)):
        if text:
            yield Part(f"{lead} {text}", spare=spare)
    yield from advice.cautions(one.cautions)
    yield Part(words.DO_THIS.format(text=one.now), "do", gap=True)
    if one.maker:
        yield Part(words.MAKER.format(text=one.maker))
    if one.ask_back:
        yield Part(words.ASK_BACK.format(text=one.ask_back), spare=1)
    if one.house:
        yield Part(words.HOUSE_ANSWER.format(place=one.house), "hint")
