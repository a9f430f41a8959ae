"""What a letter asked, answered: one sentence each at the top, the rest where there is room."""

from __future__ import annotations

import re
from collections.abc import Iterable

from diagnose.book.book import Book
from diagnose.case.case import Case
from diagnose.mail import parts
from diagnose.mail.parts import Parts
from diagnose.mail.reading import PLAIN, Read
from diagnose.present.parts import PracticeAnswer
from diagnose.present.worked_answer import brief
from diagnose.reading.complaint import index_of
from diagnose.reading.questions import ways
from diagnose.search.documents import tokens
from diagnose.ui import words

OWN_WORDS = 90
"""Signs up to which a question about the case is said back in the person's own words."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")
_OWN = {"going on": re.compile(r"\b(?:go on|carry on|keep|still use|use it|using)\b", re.IGNORECASE),
        "broken": re.compile(r"\b(?:br[eo]ak|broken?|ruin\w*|damage\w*|kill\w*)\b", re.IGNORECASE)}
"""By which words a question about the case is plainly the one that it was taken for."""


def placed(read: Read) -> list[PracticeAnswer]:
    """The answers that belong into the letter.

    In a danger those only that the case itself decides. Beside a trouble those asked plainly, and those
    that share a word with the ways to ask them, and do not rest on that word alone unless it names a
    part: "dangerous?" and "what is going on?" speak of the trouble, whatever question they are like.
    """
    asked = read.report.asked
    if read.kind == "hazard":
        return [one for one in asked if one.first]
    if read.option is None:
        return asked
    return [one for one, found in zip(asked, read.asked, strict=True)
            if one.first or found.fit >= PLAIN or _shares_a_word(read.case.book, one)]


def _shares_a_word(book: Book, one: PracticeAnswer) -> bool:
    lex = index_of(book).lexicon
    said = lex.core(tokens(one.asked, lex))
    if len(said) < 2 and not any(stem in lex.part_stems for stem, _ in said):
        return False
    return any(said & lex.core(tokens(way, lex)) for way in ways(book)[one.id])


def first(case: Case, asked: Iterable[PracticeAnswer]) -> Parts:
    """Each question with the sentence that answers it, in the order asked."""
    for one in asked:
        question = words.ASKED.format(question=_question(case.book, one))
        yield from parts.text(f"{question} {_decided(case, one) or _sentences(case.book, one)[0]}")


def used(case: Case, one: PracticeAnswer) -> str:
    """The answer to "may I go on using it?" where the case says more than a plain yes."""
    going_on = case.book.practice[one.id].within == "going on" and not one.first
    said = case.use.text
    return f"{said[0].upper()}{said[1:]}." if going_on and said != "yes" else ""


def more(case: Case, asked: Iterable[PracticeAnswer], warned: set[str]) -> Parts:
    """What else there is to say to each that the case has not decided: its cautions, the rest, the
    numbers, what to do now.
    """
    for one in asked:
        if _decided(case, one):
            continue
        for caution in one.cautions:
            if caution.id not in warned:
                yield from parts.caution(brief(caution))
        yield from parts.text(
            " ".join(_sentences(case.book, one)[1:]),
            *(f"{lead} {text}" for lead, text in ((words.NUMBERS, one.numbers), (words.DEPENDS, one.depends))
              if text),
            *(line.format(text=text) for line, text in ((words.DO_THIS, one.now), (words.MAKER, one.maker))
              if text),
            words.HOUSE_ANSWER.format(place=one.house) if one.house else "")


def _decided(case: Case, one: PracticeAnswer) -> str:
    """What the case says to a question that hangs on it; what its danger has said above is left out."""
    if not case.book.practice[one.id].within:
        return ""
    avoid = case.book.cautions[case.hazard].avoid if case.hazard else ""
    said = one.first.removesuffix(avoid).rstrip(": ") if avoid else one.first
    return (f"{said}." if said and said[-1] not in ".!?" else said) or used(case, one)


def back(asked: Iterable[PracticeAnswer]) -> list[str]:
    """What the answers ask back."""
    return [one.ask_back for one in asked if one.ask_back]


def _question(book: Book, one: PracticeAnswer) -> str:
    """What was asked: of going on and of what is broken in the person's own words, if they are few."""
    own, plain = one.asked.strip(" .,;:?!"), _OWN.get(book.practice[one.id].within)
    if plain and len(own) <= OWN_WORDS and plain.search(own):
        return f"{own[0].upper()}{own[1:]}?"
    return one.question


def _sentences(book: Book, one: PracticeAnswer) -> list[str]:
    """The answer in its sentences, what the case says first.

    What hangs on the case and is not decided by it stays whole: its second sentence may say no.
    """
    if one.first:
        return [one.first, *_SENTENCE.split(one.answer)]
    return [one.answer] if book.practice[one.id].within else _SENTENCE.split(one.answer)
