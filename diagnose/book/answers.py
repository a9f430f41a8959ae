"""From what a person types to an answer of the right kind, or one line on what to type.

A person at a prompt sees what was understood and can take it back, so `parse` bears with slips
of the keys.  Nobody looks over data (case files, what was kept), so `exact` guesses nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import date, timedelta
from typing import Any

from diagnose.book.model import Observation
from diagnose.compute import units
from diagnose.errors import short

YES = {"yes", "y", "yep", "yeah", "true", "ja", "si"}
NO = {"no", "n", "nope", "false", "nein"}
DONT_KNOW = {"don't know", "dont know", "do not know", "not sure", "unknown", "dunno", "no idea",
             "can't tell", "cannot tell"}
_AGO = re.compile(r"(\d{1,6})\s*(day|week|month)s?(?:\s+ago)?")
EARLIEST = date(1900, 1, 1)
"""No date before it is taken: it could only be a slip, and arithmetic with it has no end in sight."""
_DAYS = {"day": 1, "week": 7, "month": 30}
_DAY_FIRST = re.compile(r"(\d{1,2})[./](\d{1,2})[./](\d{4})")
MOST_FIGURES = 4
"""Figures that the number of a choice has at most."""
CLEAR = 82.0
"""Likeness (0 to 100) from which words are taken for an answer without asking back."""
LETTERS = 3
"""Letters that words must have to be taken for an answer that they are only like."""
JOINED = "+"
"""Between the answers to a question that takes several, as they are kept."""
_BETWEEN = re.compile(r"\s*[+,;/]\s*|\s+and\s+|(?<=\d)\s+(?=\d)")
CLEAR_BY_ITSELF = 4
"""Words from which an answer is understood without what it answers."""
NEAR, MOST_NEAR = 60.0, 3
"""Likeness from which an answer is named as perhaps meant, and how many at most."""


class AnswerError(ValueError):
    """The answer can't be taken: one plain line on what was read and what would do."""


def parse(observation: Observation, text: Any, today: date | None = None) -> Any:
    """The answer a person means: a word of the book, a number in the observation's unit, a date.

    Raises AnswerError.
    """
    return _parse(observation, text, today, choice)


def exact(observation: Observation, text: Any, today: date | None = None) -> Any:
    """The answer that data holds: of a choice its id or its whole words, else as `parse`.

    Raises AnswerError, which names the nearest answers.
    """
    return _parse(observation, text, today, whole)


def _parse(observation: Observation, text: Any, today: date | None,
           choose: Callable[[Observation, str], str]) -> Any:
    said = str(text).strip()
    if not said:
        raise AnswerError("an answer is wanted; if you can't tell, say \"don't know\"")
    match observation.kind:
        case "yes_no":
            return _yes_no(said)
        case "quantity":
            return quantity(observation, said)
        case "date":
            return day(said, today or date.today())
        case _ if observation.several == "yes":
            return _several(observation, said, choose)
        case _:
            return choose(observation, said)


def _several(observation: Observation, said: str, choose: Callable[[Observation, str], str]) -> str:
    """The answers that words name, one or more, as they are kept; else AnswerError."""
    named = [part for part in _BETWEEN.split(said) if part]
    try:
        return whole(observation, said)
    except AnswerError:
        if len(named) < 2:
            return choose(observation, said)
    return JOINED.join(together(observation, [choose(observation, part) for part in named]))


def parts(value: str) -> list[str]:
    """The answers in a kept one."""
    return value.split(JOINED)


def together(observation: Observation, given: Iterable[str]) -> list[str]:
    """Answers in the order of the book, those that can't stand beside another left out for it."""
    found = set(given)
    beside = {a for a in found if observation.answers[a].alone == "no"}
    return [a for a in observation.answers if a in (beside or found)]


def is_dont_know(text: Any) -> bool:
    """Does the person say that they don't know?"""
    return str(text).strip().lower().replace("’", "'") in DONT_KNOW


def _yes_no(said: str) -> str:
    word = said.lower().rstrip(".!")
    if word in YES:
        return "yes"
    if word in NO:
        return "no"
    raise AnswerError(f"{short(said)!r} is neither yes nor no")



def quantity(observation: Observation, said: str) -> float:
    """A number in the observation's unit, inside its plausible range; else AnswerError."""
    try:
        value = units.read(said, observation.unit)
    except units.UnitError as error:
        raise AnswerError(str(error)) from None
    low, high = observation.range or (float("-inf"), float("inf"))
    if not low <= value <= high:
        shown = units.show(value, observation.unit)
        raise AnswerError(f"{shown} can't be right here: it lies outside "
                          f"{units.show(low, observation.unit)} to "
                          f"{units.show(high, observation.unit)}; measure again")
    return value


def whole(observation: Observation, said: str) -> str:
    """An answer by its id or its whole words, as the book has them; else AnswerError."""
    found = said if said in observation.answers else _names(observation).get(_plain(said))
    if found is None:
        raise AnswerError(f"{short(said)!r} is none of the answers; {_nearest(observation, said)}")
    return found


def _nearest(observation: Observation, said: str) -> str:
    """The answers that were perhaps meant; all of them where nothing is like them."""
    names = _names(observation)
    near = list(dict.fromkeys(names[text] for text in _alike(said, names, NEAR)))[:MOST_NEAR]
    return f"did you mean {' or '.join(near)}?" if near else (
        f"choose one of: {', '.join(observation.answers)}")


def picked(said: str, most: int) -> int | None:
    """The number of a choice, from 1 to `most`, where that is what was typed.

    Signs that only look like figures, such as a raised 2 or a 1 in a ring, are none.
    """
    number = int(said) if said.isdecimal() and len(said) <= MOST_FIGURES else 0
    return number if 1 <= number <= most else None


def choice(observation: Observation, said: str) -> str:
    """An answer by its id, its number in the list, its words or their like; else AnswerError."""
    ids = list(observation.answers)
    if said not in ids and (number := picked(said, len(ids))):
        return ids[number - 1]
    try:
        return whole(observation, said)
    except AnswerError:
        liked = _liked(observation, said)
        if liked is None:
            raise
        return liked


def _liked(observation: Observation, said: str) -> str | None:
    """The one answer that words are like, if there is one and no other is nearly as like."""
    if sum(map(str.isalnum, said)) < LETTERS:
        return None
    names = _names(observation)
    liked = {names[text] for text in _alike(said, names, CLEAR)}
    return liked.pop() if len(liked) == 1 else None


def _alike(said: str, texts: Iterable[str], least: float) -> list[str]:
    """The texts that words are at least so like, the likest first."""
    from rapidfuzz import process  # an id or whole words need none of it

    found = process.extract(said, list(texts), scorer=like, processor=_plain, limit=None, score_cutoff=least)
    return [text for text, _, _ in found]


def _plain(text: str) -> str:
    """A text as it is compared: letters and figures, in small letters."""
    from rapidfuzz import utils

    return utils.default_process(text)


def like(said: str, text: str, *, score_cutoff: float | None = None) -> float:
    """How like an answer's text words are, 0 to 100: in any order, or one within the other.

    Whole words only: letters inside a word are like nothing.
    """
    from rapidfuzz import fuzz

    fewer, more = sorted((set(said.split()), set(text.split())), key=len)
    within = fewer <= more and len("".join(fewer)) >= LETTERS
    found = max(fuzz.ratio(said, text), 95.0 if within else fuzz.token_sort_ratio(said, text))
    return found if found >= (score_cutoff or 0.0) else 0.0


def _names(observation: Observation) -> dict[str, str]:
    names: dict[str, str] = {}
    for answer in observation.answers:
        for text in (_plain(answer), *texts(observation, answer)):
            names.setdefault(text, answer)
    return names


def texts(observation: Observation, answer: str) -> list[str]:
    """All ways of the book to say an answer of a choice, as they are compared."""
    stated = observation.answers[answer]
    return [_plain(t) for t in (answer.replace("_", " "), stated.says, *stated.lay)]


def day(said: str, today: date) -> date:
    """A date as people write it, not after today; else AnswerError."""
    word = said.lower()
    if word in ("today", "yesterday"):
        return today - timedelta(days=word == "yesterday")
    try:
        if found := _AGO.fullmatch(word):
            day = today - timedelta(days=int(found[1]) * _DAYS[found[2]])
        elif found := _DAY_FIRST.fullmatch(said):
            day = date(int(found[3]), int(found[2]), int(found[1]))
        else:
            day = date.fromisoformat(said)
    except (ValueError, OverflowError):
        raise AnswerError(f"{short(said)!r} is no date; write it as 2026-03-31, 31.3.2026 or "
                          "'10 days ago'") from None
    if day < EARLIEST:
        raise AnswerError(f"{day} lies before {EARLIEST.year}; correct it")
    if day > today:
        raise AnswerError(f"{day} lies in the future (today is {today})")
    return day


def told(name: str, observation: Observation, value: Any) -> str:
    """An answer as a person says it, without its question.

    Where the book does not say how, the words of an answer stand alone if they can.
    """
    said = shown(observation, value)
    if observation.told:
        return observation.told.replace("{answer}", said)
    if observation.kind == "choice" and len(said.split()) >= CLEAR_BY_ITSELF:
        return said
    return f"{name.replace('_', ' ')}: {said}"


def shown(observation: Observation, value: Any) -> str:
    """An answer in plain words, to say back."""
    if observation.kind == "quantity":
        return units.show(value, observation.unit)
    if observation.kind == "choice":
        return "; ".join(observation.answers[part].says for part in parts(value))
    return str(value)
