"""From what a person types to an answer of the right kind, or one line on what to type."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

from rapidfuzz import fuzz, process, utils

from diagnose.compute import units
from diagnose.kb.model import Observation

YES = {"yes", "y", "yep", "yeah", "true", "ja", "si"}
NO = {"no", "n", "nope", "false", "nein"}
DONT_KNOW = {"don't know", "dont know", "do not know", "not sure", "unknown", "dunno", "no idea",
             "can't tell", "cannot tell"}
_AGO = re.compile(r"(\d+)\s*(day|week|month)s?(?:\s+ago)?")
_DAYS = {"day": 1, "week": 7, "month": 30}
_DAY_FIRST = re.compile(r"(\d{1,2})[./](\d{1,2})[./](\d{4})")
CLEAR = 82.0
"""Likeness (0 to 100) from which words are taken for an answer without asking back."""


class AnswerError(ValueError):
    """The answer can't be taken: one plain line on what was read and what would do."""


def parse(observation: Observation, text: Any, today: date | None = None) -> Any:
    """The answer meant: a word of the book, a number in the observation's unit, or a date.

    Raises AnswerError.
    """
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
        case _:
            return choice(observation, said)


def is_dont_know(text: Any) -> bool:
    """Does the person say that they don't know?"""
    return str(text).strip().lower().replace("’", "'") in DONT_KNOW


def _yes_no(said: str) -> str:
    word = said.lower().rstrip(".!")
    if word in YES:
        return "yes"
    if word in NO:
        return "no"
    raise AnswerError(f"{said!r} is neither yes nor no")


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


def choice(observation: Observation, said: str) -> str:
    """An answer by its id, its number in the list, its words or their like."""
    if said in observation.answers:
        return said
    ids = list(observation.answers)
    if said.isdigit() and 1 <= int(said) <= len(ids):
        return ids[int(said) - 1]
    names = _names(observation)
    exact = names.get(utils.default_process(said))
    if exact:
        return exact
    found = process.extract(said, list(names), scorer=fuzz.WRatio,
                            processor=utils.default_process, limit=6)
    if found and found[0][1] >= CLEAR:
        best = names[found[0][0]]
        rivals = {names[text] for text, score, _ in found if score >= found[0][1] - 2}
        if len(rivals) == 1:
            return best
    raise AnswerError(f"{said!r} is none of the answers; choose one of: {', '.join(ids)}")


def _names(observation: Observation) -> dict[str, str]:
    names: dict[str, str] = {}
    for answer, stated in observation.answers.items():
        for text in (answer, answer.replace("_", " "), stated.says, *stated.lay):
            names.setdefault(utils.default_process(text), answer)
    return names


def day(said: str, today: date) -> date:
    """A date as people write it, not after today; else AnswerError."""
    word = said.lower()
    if word in ("today", "yesterday"):
        return today - timedelta(days=word == "yesterday")
    if found := _AGO.fullmatch(word):
        return today - timedelta(days=int(found[1]) * _DAYS[found[2]])
    try:
        if found := _DAY_FIRST.fullmatch(said):
            day = date(int(found[3]), int(found[2]), int(found[1]))
        else:
            day = date.fromisoformat(said)
    except (ValueError, OverflowError):
        raise AnswerError(f"{said!r} is no date; write it as 2026-03-31, 31.3.2026 or "
                          "'10 days ago'") from None
    if day > today:
        raise AnswerError(f"{day} lies in the future (today is {today})")
    return day


def shown(observation: Observation, value: Any) -> str:
    """An answer in plain words, to say back."""
    if observation.kind == "quantity":
        return units.show(value, observation.unit)
    if observation.kind == "choice":
        return observation.answers[value].says
    return str(value)
