"""Figures in a question, read more freely than in a complaint: what is asked tells what they are.

"24 s with 20 g in and 40 g out: finer or coarser?" speaks of one shot, whatever the order.
"""

from __future__ import annotations

import re
from typing import Any

from diagnose.book import answers
from diagnose.book.book import Book
from diagnose.reading import quantities
from diagnose.reading.quantities import N
from diagnose.search.text import plain

_SECONDS = re.compile(rf"(?<![\d.]){N}\s*(?:s|secs?|seconds?)\b(?! (?:later|ago))")
_GRAMS = re.compile(rf"(?<![\d.]){N}\s*(?:g|gr|grams?|grammes?)\b"
                    r"(?! (?:more|less|extra|over|too|still drip))")
_TIMER = re.compile(r"\b(?:timer|timed|grinder (?:gives|gave|doses)|by time)\b")
_INSTEAD = re.compile(
    rf"{N}\s*(?:g|grams?)?\s*(?:for|instead of|rather than|not|where (?:it|they|i|we) (?:gave|got|had)|"
    r"when it gave)"
    rf"\s+(?:the |my )?{N}\s*(?:g|grams?|s\b|at\b|in\b|since\b|$|[.,?!])")
_WANTED = re.compile(r"\b(?:want\w*|wanted|should (?:be|give)|need|used to (?:be|give)|gave|was)(?: me| it)?"
                     rf"(?: to (?:be|give))? {N}\s*(?:g|grams?)\b")
_GOT = re.compile(r"\b(?:gives?|get|gets|got|comes? out|now|only|just)(?: me| only| just| out)* "
                  rf"{N}\s*(?:g|grams?)\b")
_IN_CUP = re.compile(rf"{N}\s*(?:g|grams?)\s*(?:out\b|in the cup|of (?:drink|espresso|coffee in the cup))|"
                     rf"\b(?:get|got|gave|gives?|yield\w*|drink of|out)(?: me| about)? {N}\s*(?:g|grams?)\b")
_HARDNESS = re.compile(
    r"(?<![\d.])(\d+(?:[.,]\d+)?)\s*(°?\s?d[hkg]h?|°?\s?fh|german degrees|degrees german|degrees dh|"
    r"french degrees|degrees french|gpg|grains per gallon|mg/l|ppm)\b(?! of (?:chlor|sod|cal))")
_JUG = re.compile(rf"\bjug\b[^.?!\d]{{0,25}}{N}\s*ml\b|{N}\s*ml\b[^.?!\d]{{0,12}}\bjug\b")
_DAILY = re.compile(rf"\b{N}\s*(?:doubles?|shots?|coffees?|espressos?|cups?|drinks?)\s+"
                    r"(?:a|per|each|every)\s+day\b")
_MILK = re.compile(r"\b(?:milk|froth\w*|foam|steam\w*)\b")
_GAUGE = re.compile(rf"\b(?:gauge|needle)\b[^.;?\d]{{0,30}}{N}(?: bars?)?\b"
                    r"[^.;?]{0,20}\b(?:shot|brew\w*|pull\w*)\b")
_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_ROASTED = re.compile(
    rf"\broasted (?:it |them )?(?:on |last )?({'|'.join(_DAYS)})\b.{{0,40}}?"
    rf"\b(?:today(?: is|'s)?|it(?: is|'s)|now) (?:a )?({'|'.join(_DAYS)})\b")
LARGEST_DOSE = 26
"""Grams above which a weight told alone is a drink."""


def figures(book: Book, text: str, today: Any = None) -> dict[str, Any]:
    """Observation to value, for all figures of a question that the book asks for and takes."""
    said = quantities.figures(plain(text))
    strict, _ = quantities.settle(_by_name(said))
    found = _freely(said) | {name: reading.value for name, reading in strict.items()}
    if (ratio := quantities.ratio(said)) and "dose" in found and "drink_mass" not in found:
        found["drink_mass"] = f"{float(found['dose'].split()[0]) * ratio:g} g"
    return _taken(book, found, today)


def _by_name(said: str) -> dict[str, list[quantities.Figure]]:
    found: dict[str, list[quantities.Figure]] = {}
    for reading in quantities.readings(said):
        found.setdefault(reading.name, []).append(reading)
    return found


def _freely(said: str) -> dict[str, str]:
    found = _timer(said) if _TIMER.search(said) or _INSTEAD.search(said) else _shot(said)
    for name, pattern, unit in (("jug_size", _JUG, "ml"), ("drinks_per_day", _DAILY, "")):
        if hit := pattern.search(said):
            found[name] = f"{_number(next(g for g in hit.groups() if g))} {unit}".strip()
    if (hit := _GAUGE.search(said)) and "boiler" not in hit[0]:
        found["gauge_mid_shot"] = f"{_number(hit[1])} bar"
    if hit := _ROASTED.search(said):
        days = (_DAYS.index(hit[2]) - _DAYS.index(hit[1])) % 7
        found["roast_date"] = f"{days or 7} days ago"
    if hit := _HARDNESS.search(said):
        found["water_hardness"] = f"{_number(hit[1])} {_hardness_unit(hit[2])}"
    return found


def _hardness_unit(said: str) -> str:
    return "dH" if "d" in said[:3] and "gr" not in said else "fH" if "f" in said[:3] else {
        "german degrees": "dH", "degrees german": "dH", "french degrees": "fH", "degrees french": "fH",
        "degrees dh": "dH", "gpg": "gpg", "grains per gallon": "gpg"}.get(said, "mg/L CaCO3")


def _timer(said: str) -> dict[str, str]:
    """A timed dose: what it gives, what it gave or should, and in how many seconds."""
    found: dict[str, str] = {}
    if hit := _INSTEAD.search(said):
        found = {"timer_dose": f"{_number(hit[1])} g", "dose_before": f"{_number(hit[2])} g"}
    else:
        for name, pattern in (("timer_dose", _GOT), ("dose_before", _WANTED)):
            if hit := pattern.search(said):
                found[name] = f"{_number(hit[1])} g"
    if len(times := _all(_SECONDS, said)) == 1:
        found["timer_time"] = f"{times[0]} s"
    return found


def _shot(said: str) -> dict[str, str]:
    """One shot: a dose, a drink, a time, by size where the words leave it open."""
    found: dict[str, str] = {}
    if len(times := _all(_SECONDS, said)) == 1 and not _MILK.search(said):
        found["shot_time"] = f"{times[0]} s"
    grams = sorted(float(g) for g in _all(_GRAMS, said))
    if len(grams) == 2 and grams[0] <= LARGEST_DOSE:
        found |= {"dose": f"{grams[0]:g} g", "drink_mass": f"{grams[1]:g} g"}
    elif len(grams) == 1:
        drink = grams[0] > LARGEST_DOSE or _IN_CUP.search(said)
        found["drink_mass" if drink else "dose"] = f"{grams[0]:g} g"
    return found


def _all(pattern: re.Pattern[str], said: str) -> list[str]:
    return list(dict.fromkeys(_number(hit[1]) for hit in pattern.finditer(said)))


def _number(text: str) -> str:
    return text.replace(",", ".")


def _taken(book: Book, found: dict[str, str], today: Any) -> dict[str, Any]:
    """The figures as the book reads them; those it does not take are left out."""
    kept: dict[str, Any] = {}
    for name, text in found.items():
        if stated := book.observations.get(name):
            try:
                kept[name] = answers.parse(stated, text, today)
            except answers.AnswerError:
                continue
    return kept
