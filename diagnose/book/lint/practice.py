"""Checks of answers: short, said first, one thing asked back, and the maker's word where it rules."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

from diagnose.book.lint.issue import ADVICE, ERROR, Violation, check
from diagnose.book.lint.survey import Survey
from diagnose.book.references import PLACEHOLDER

MOST_SENTENCES = {"answer": 3, "depends": 1, "now": 3, "ask_back": 1}
LONGEST_ANSWER = 420
_END = re.compile(r"[.!?](?=\s|$)")
_MAKERS = re.compile(r"\b(?:descal(?:e|es|ed|ing)|backflush\w*|warranty|safety valve)\b", re.IGNORECASE)
"""What only the maker of a machine can allow."""


def sentences(text: str) -> int:
    """How many sentences a text has, a number put in counting as a word."""
    return len(_END.findall(PLACEHOLDER.sub("X", text)))


@check(ERROR)
def answer_long(survey: Survey) -> Iterator[Violation]:
    """An answer, or a part of one, of more sentences than a person reads at once."""
    for name, practice in survey.book.practice.items():
        for field, most in MOST_SENTENCES.items():
            if (count := sentences(getattr(practice, field))) > most:
                yield Violation(("practice", name, field), f"`{field}:` has {count} sentences, at most "
                                f"{most} are read; move the rest to `numbers:` or `depends:`")
        if len(practice.answer) > LONGEST_ANSWER:
            yield Violation(("practice", name, "answer"), f"the answer has {len(practice.answer)} "
                            f"characters, at most {LONGEST_ANSWER} are read; shorten it")


@check(ERROR)
def answer_to_no_question(survey: Survey) -> Iterator[Violation]:
    """What is asked, or asked back, that does not end in a question mark."""
    for name, practice in survey.book.practice.items():
        for field in ("asks", "ask_back"):
            text = getattr(practice, field).rstrip()
            if (text or field == "asks") and not text.endswith("?"):
                yield Violation(("practice", name, field), f"`{field}: {text[-30:]!r}` does not end in "
                                "`?`; ask one question")


@check(ERROR)
def asked_alike(survey: Survey) -> Iterator[Violation]:
    """The same question under two entries, so that its answer would be a matter of chance."""
    asked: dict[str, list[str]] = defaultdict(list)
    for name, practice in survey.book.practice.items():
        for text in {" ".join(re.findall(r"\w+", t.lower())) for t in (practice.asks, *practice.lay)}:
            asked[text].append(name)
    for text, names in asked.items():
        for other in names[1:]:
            yield Violation(("practice", other), f"{text!r} is asked by {names[0]} too; take it out of one",
                            (("practice", names[0]),))


@check(ADVICE)
def maker_unnamed(survey: Survey) -> Iterator[Violation]:
    """An answer on what only the maker can allow that does not give the maker's word."""
    for name, practice in survey.book.practice.items():
        found = _MAKERS.search(practice.now)
        said = f"{practice.answer} {practice.maker} {practice.now}".lower()
        if found and not re.search(r"\b(?:maker|leaflet|pack|technician)", said):
            yield Violation(("practice", name), f"{name} says {found[0]!r}; say in `maker:` that the "
                            "maker's word wins")


CHECKS = (answer_long, answer_to_no_question, asked_alike, maker_unnamed)
