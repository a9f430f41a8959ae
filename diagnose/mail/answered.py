"""What a letter asked, answered: one sentence each at the top, the rest where there is room."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from diagnose.case.case import Case
from diagnose.mail import parts
from diagnose.mail.parts import Parts
from diagnose.present.worked_answer import brief
from diagnose.ui import words

OWN_WORDS = 90
"""Signs up to which a question about the case is said back in the person's own words."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")
Answer = Mapping[str, Any]


def first(case: Case, asked: Iterable[Answer]) -> Parts:
    """Each question with the sentence that answers it, in the order asked."""
    for one in asked:
        question = words.ASKED.format(question=_question(case.book, one))
        yield from parts.text(f"{question} {used(case, one) or _sentences(one)[0]}")


def used(case: Case, one: Answer) -> str:
    """The answer to "may I go on using it?" where the case says more than a plain yes."""
    going_on = case.book.practice[one["id"]].within == "going on" and not one["first"]
    said = case.use.text
    return f"{said[0].upper()}{said[1:]}." if going_on and said != "yes" else ""


def more(case: Case, asked: Iterable[Answer], warned: set[str]) -> Parts:
    """What else there is to say to each: its cautions, the rest, the numbers, what to do now."""
    for one in asked:
        for caution in one["cautions"]:
            if caution["id"] not in warned:
                yield from parts.caution(brief(caution))
        yield from parts.text(
            " ".join(_sentences(one)[0 if used(case, one) else 1:]),
            *(f"{lead} {one[key]}" for lead, key in ((words.NUMBERS, "numbers"), (words.DEPENDS, "depends"))
              if one[key]),
            *(text.format(text=one[key]) for text, key in ((words.DO_THIS, "now"), (words.MAKER, "maker"))
              if one[key]),
            words.HOUSE_ANSWER.format(place=one["house"]) if one["house"] else "")


def back(asked: Iterable[Answer]) -> list[str]:
    """What the answers ask back."""
    return [one["ask_back"] for one in asked if one["ask_back"]]


def _question(book: Any, one: Answer) -> str:
    """What was asked: where the case decides it, in the person's own words if they are few."""
    own = one["asked"].strip(" .,;:?!")
    if book.practice[one["id"]].within and 0 < len(own) <= OWN_WORDS:
        return f"{own[0].upper()}{own[1:]}?"
    return str(one["question"])


def _sentences(one: Answer) -> list[str]:
    return [*([one["first"]] if one["first"] else []), *_SENTENCE.split(one["answer"])]
