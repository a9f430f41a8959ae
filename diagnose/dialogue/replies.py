"""Is a line plainly an answer to the question that stands, or words with an answer among them?"""

from __future__ import annotations

import re

from rapidfuzz import fuzz, utils

from diagnose.book.answers import CLEAR, NO, YES, AnswerError, texts
from diagnose.book.model import Observation
from diagnose.dialogue.sitting import Sitting

SHORT = 3
"""Words up to which an answer that is only like one of the book's is taken without asking back."""
LIKE = 6
"""Words up to which such an answer is at least offered; longer lines are like almost anything."""
_WORD = re.compile(r"[^\W\d_]{2,}")
_FIGURE = re.compile(r"\d\s*[^\W\d_]")
_NOT = re.compile(r"\b(?:not?|never|none|without|nor)\b|n['’]t\b", re.I)
_PERHAPS = re.compile(r"\b(?:perhaps|maybe|might|possibly|probably)\b", re.I)
_HEAD = re.compile(r"\s*[,.;:!]\s+|\s+(?:and|but|because|since)\s+", re.I)


def among(s: Sitting, name: str, line: str) -> tuple[dict[str, str], dict[str, str]]:
    """The answer to the question that stands, given among other words: plainly, or perhaps."""
    stated = s.book.observations[name]
    for text in (_HEAD.split(line.strip(), maxsplit=1)[0], line):
        if word := _first_word(stated, text):
            return {name: word}, {}
        try:
            value = s.read(name, text)
        except AnswerError:
            continue
        if plain(s, name, text) or _spelt_out(stated, value, text):
            return {name: str(value)}, {}
        if not is_long(text):
            return {}, {name: str(value)}
    spelt = [answer for answer in stated.answers if _spelt_out(stated, answer, line)]
    return ({name: spelt[0]} if len(spelt) == 1 else {}), {}


def _spelt_out(stated: Observation, answer: str, line: str) -> bool:
    """Do the words of an answer, two at least, all stand in the line, and no "not" or "perhaps" with them?"""
    said = set(utils.default_process(line).split())
    return not _NOT.search(line) and not _PERHAPS.search(line) and any(
        len(text.split()) > 1 and said.issuperset(text.split()) for text in texts(stated, answer))


def _first_word(stated: Observation, text: str) -> str:
    """The yes or no that words begin with, where one is asked for."""
    if stated.kind != "yes_no":
        return ""
    first = (_WORD.match(text.strip()) or [""])[0].lower()
    return "yes" if first in YES else "no" if first in NO else ""


def plain(s: Sitting, name: str, line: str) -> bool:
    """Is the line, which can be read as an answer, plainly that and nothing more?"""
    stated = s.book.observations[name]
    if stated.kind != "choice" or line.isdigit():
        return True
    said = utils.default_process(line)
    if any(text.startswith(said) or fuzz.ratio(text, said) >= CLEAR
           for answer in stated.answers for text in texts(stated, answer)):
        return True
    return len(said.split()) <= SHORT and not _NOT.search(line)


def is_long(line: str) -> bool:
    """Are there so many words that they are like almost any answer?"""
    return len(line.split()) > LIKE


def is_words(line: str) -> bool:
    """Could a line be words of the person's own, rather than a mistyped number or letter?"""
    found = _WORD.findall(line)
    return len(found) >= (SHORT if any(c.isdigit() for c in line) else 1)


def is_figure(line: str) -> bool:
    """Is the line a figure with its unit, and hardly more?"""
    return len(line.split()) <= SHORT and bool(_FIGURE.search(line))
