"""Numbers in a complaint: what they measure, by the words round them.

Only where the words leave no doubt: a wrong number misleads more than a missing one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

N = r"(\d+(?:[.,]\d+)?)"
_G = r"\s*(?:g|gr|gm|gms|grams?|grammes?)\b"
_S = r"\s*(?:s|sec|secs|seconds?|\")(?![a-z])"
_MIN = r"\s*(?:min|mins|minutes?)\b"
_C = r"\s*(°\s*[cf]|degrees?(?:\s+(?:celsius|fahrenheit|[cf]\b))?|deg\b|[cf]\b|celsius|fahrenheit)"
_BAR = r"\s*bars?\b"
_ROUGHLY = r"(?:about |around |only |just |under )?"
_AGO = r"(\d+)\s*(day|week|month)s?"


class Figure(NamedTuple):
    """A number understood: the observation, the text an answer takes, and how it was said."""

    name: str
    value: str
    said: str


class _Rule(NamedTuple):
    name: str
    pattern: re.Pattern[str]
    unit: str = ""
    unless: re.Pattern[str] | None = None
    """Words near it (in the same clause) that make it something else."""


def _rule(name: str, pattern: str, unit: str = "", unless: str = "") -> _Rule:
    return _Rule(name, re.compile(pattern), unit, re.compile(unless) if unless else None)


_AIM = r"\b(?:was|aim\w*|target\w*|recipe|supposed|should|meant to|goal|recommend\w*|want\w*|used to)\b"
_IN_TURN = r"\b(?:1|one) (?:day|time|shot|morning)\b.*\b(?:next|another|other)\b|\b(?:between|from) \d"
_MILK = r"\b(?:milk|foam|froth|steam\w*|jug|pitcher|latte|cappuccino)\b"
_OF_A_SHOT = (r"\b(?:sour|bitter|weak|watery|thin|quick\w*|too fast|gush\w*|too slow\w*|chok\w*|drip\w*|"
              r"shots?|espressos?|extract\w*)\b")

RULES: tuple[_Rule, ...] = (
    # In and out, with or without the gram; "18 in" alone could be anything.
    _rule("dose", rf"\b{N}(?:{_G})?\s*in\b(?=[^.;]*?\bout\b)(?!\s+(?:the|a)\s+(?:row|morning))", "g", _AIM),
    _rule("drink_mass", rf"(?<=\bin)[\s,/;&]+(?:and\s+|gives?\s+|gets?\s+)?{N}(?:{_G})?\s*out\b", "g", _AIM),
    _rule(
        "drink_mass",
        rf"(?<!from )(?<!out of )\b{N}{_G}\s+(?:out\s+)?in\s+{_ROUGHLY}"
        rf"\d+(?:[.,]\d+)?{_S}",
        "g",
        _AIM,
    ),
    _rule("drink_mass", rf"\b{N}(?:{_G})?\s*out\b(?=[^.;]*?\d\s*(?:g\w*\s*)?in\b)", "g", _AIM),
    _rule(
        "dose",
        rf"\b{N}{_G}\s*(?:of\s+(?:dry\s+|ground\s+)?(?:coffee|beans|grounds)\s+)?(?:in\b|into)"
        rf"(?!\s+(?:the\s+)?(?:cup|jug|total|weight))(?!\s+{_ROUGHLY}\d)",
        "g",
        _AIM,
    ),
    _rule("dose", rf"\b{N}{_G}\s*(?:dose|doses)\b", "g", _AIM),
    _rule("dose", rf"\bdos(?:e|ing)(?:\s+(?:is|of|at|was|about|around))*[\s:=]+{N}(?:{_G})", "g", _AIM),
    _rule("drink_mass", rf"\b{N}{_G}\s*out\b", "g", _AIM),
    _rule("drink_mass", rf"\byield(?:\s+(?:is|of|was|about|around))*[\s:=]+{N}(?:{_G})", "g", _AIM),
    _rule("drink_mass", rf"\b{N}{_G}\s*(?:of\s+)?(?:yield|espresso|drink|liquid|in the cup)\b", "g", _AIM),
    # From so much to so much: "18g -> 36g", "18 g to 36 g in 28 s".
    _rule("dose", rf"\b{N}(?:{_G})?\s*(?:->|=>|→|>)\s*\d", "g", _AIM),
    _rule("drink_mass", rf"\d(?:{_G})?\s*(?:->|=>|→|>)\s*{N}(?:{_G})?", "g", _AIM),
    # How long.
    _rule("first_drop", rf"\bfirst drops?\b[^.;,\d]{{0,25}}{N}{_S}", "s"),
    _rule(
        "shot_time",
        r"(?:^|[,;/(\n]|\band\b|\.\s)\s*(?:the\s+|my\s+)?(?:(?:brew|brewing|extraction)\s+)?"
        rf"time(?:\s+(?:is|of|was))?\s*[:=]?\s*{N}{_S}",
        "s",
        rf"{_AIM}|{_MILK}|{_IN_TURN}|grind|heat|warm",
    ),
    _rule(
        "shot_time",
        rf"\bout\s*(?:,|;|-)?\s*(?:in|after|at|over|within)?\s*(?:about|around|only|just)?\s*{N}{_S}",
        "s",
        rf"{_AIM}|\b(?:lights?|lamp|led)\b",
    ),
    _rule(
        "shot_time",
        r"\b(?:shots?|extractions?|espressos?|doubles?|it|coffee|cup)\s+(?:now\s+|only\s+|still\s+)?"
        r"(?:takes?|took|runs?|ran|pulls?|is done|is over|finish\w*|comes? out|pours?|is out|was out|"
        rf"stops?|is finished|gush\w*)\s+(?:through\s+)?(?:in\s+|for\s+|within\s+|at\s+|out in\s+)?"
        rf"(?:about\s+|around\s+|only\s+|just\s+|under\s+)?{N}{_S}",
        "s",
        rf"{_AIM}|{_MILK}|{_IN_TURN}|\bfirst\b|pre.?infus|grind\w* for|timer|then\b",
    ),
    _rule(
        "shot_time",
        r"\b(?:shots?|doubles?|singles?|extractions?|espressos?|coffee)\b[^.;,\d]{0,12}\b(?:takes?|took|in|over)\s+"
        rf"(?:about\s+|around\s+|nearly\s+|over\s+)*{N}{_MIN}",
        "min",
        rf"{_AIM}|{_MILK}|\bfirst\b|heat|warm|ready|after|wait",
    ),
    # By itself after what is wrong with a shot: "sour and quick, 15 seconds".
    _rule(
        "shot_time",
        rf"{_OF_A_SHOT}[^;\d]{{0,40}}[,:.(]\s*(?:in |about |around |only |just |takes |took )*"
        rf"{N}{_S}\s*(?=$|[,;:.)!])",
        "s",
        rf"{_AIM}|{_MILK}|{_IN_TURN}|\bfirst\b|pre.?infus|grind\w* for|timer|\bthen\b|heat|warm|purge|flush",
    ),
    # In so many seconds: "the shot gushes, done in 14 seconds", "36 g in 12 s", "my shot is 12 seconds".
    _rule(
        "shot_time",
        rf"(?:{_OF_A_SHOT}|\b(?:it|coffee|over|done)\b|\d{_G})[^.;\d]{{0,40}}?\b(?:in|after|within|is|are|at)\s+"
        rf"(?:about |around |only |just |under |like |less than |barely )*{N}{_S}",
        "s",
        rf"{_AIM}|{_MILK}|{_IN_TURN}|\bfirst\b|pre.?infus|timer|\bthen\b|heat|warm|purge|flush|"
        r"\b(?:grind\w* (?:for|takes?|in)|grinder|lights?|lamp|pump|button|beep\w*|blink\w*|trip\w*|hot|"
        r"drops?|stir\w*|tamp\w*|starts?|stops?)\b",
    ),
    _rule(
        "shot_time", rf"\b{N}[\s-]*(?:s|sec|secs|seconds?)[\s-]+(?:shots?|extractions?|pulls?)\b", "s", _AIM
    ),
    _rule("shot_time", rf"\bshot times?(?:\s+(?:is|of|was|about|around|now))*[\s:=]+{N}(?:{_S})?", "s", _AIM),
    _rule("timer_time", rf"\btimer\b[^.;,\d]{{0,20}}{N}{_S}", "s"),
    _rule(
        "warm_time",
        rf"\b(?:warm\w*(?:\s+up)?|heat\w*(?:\s+up)?|been on|on for|pre-?heat\w*)\b[^.;,\d]{{0,15}}{N}{_MIN}",
        "min",
        r"takes?|took|ages|milk|used to|now",
    ),
    _rule("steam_seconds", rf"\b(?:milk|steam\w*|froth\w*|foam)\b[^.;\d]{{0,30}}{N}{_S}(?!\s*shot)", "s",
          r"shot|espresso|purge|hiss|fade|weak|then"),
    _rule("jug_size", rf"\b{N}\s*ml\s+(?:milk\s+)?(?:jug|pitcher)\b", "ml"),
    _rule("milk_amount", rf"\b{N}\s*(?:ml|g)\s+of\s+(?:cold\s+|whole\s+)?milk\b", "g"),
    # How hot, how hard.
    _rule(
        "milk_stop_temp", rf"\b(?:milk|steam\w*|froth\w*)\b[^.;\d]{{0,30}}{N}{_C}", "", r"group|brew|water"
    ),
    _rule(
        "set_point",
        rf"\b(?:set (?:to|at)|pid (?:is |at |set to |set at )*|set point|setpoint)\s*(?:is\s*)?{N}{_C}",
        "",
        _MILK,
    ),
    _rule(
        "brew_water_temp",
        rf"\b(?:water (?:at|from|under) the (?:group|brew head)|group water|brew water)\b"
        rf"[^.;\d]{{0,30}}{N}{_C}",
        "",
    ),
    _rule("boiler_reading", rf"\bboiler\b[^.;\d]{{0,30}}{N}{_BAR}", "bar"),
    _rule(
        "gauge_mid_shot",
        rf"\b(?:gauge|needle|brew pressure|manometer|pressure)\b[^.;\d]{{0,30}}{N}{_BAR}",
        "bar",
        r"boiler|steam|pump|blind|without coffee|empty|rating|rated|swing|between|jump",
    ),
    _rule(
        "gauge_mid_shot",
        rf"\b(?:shots?|extract\w*|brew\w*|pull\w*)\s+(?:is\s+)?at\s+{N}{_BAR}",
        "bar",
        r"boiler|steam|pump|blind|without coffee|rating|rated",
    ),
    # How old.
    _rule(
        "roast_date",
        rf"\broast(?:ed|\s+date|ed\s+date)?(?:\s+(?:is|was|about|around|on|only|just))*\s+{_AGO}\s+ago\b",
    ),
    _rule(
        "roast_date",
        r"\broast(?:ed(?:\s+on)?|\s+date(?:\s+(?:is|was))?)[\s:]+(\d{4}-\d{2}-\d{2}|\d{1,2}\.\d{1,2}\.\d{4})",
    ),
    _rule("roast_date", r"\broasted\s+(yesterday|today)\b"),
    _rule("roast_date", rf"\b{_AGO}\s+(?:after|off|past|since|post)\s+roast"),
    _rule("roast_date", rf"\b(?:beans|coffee)\s+(?:are|is)\s+{_AGO}\s+(?:old\s+)?(?:from|off|past)\s+roast"),
    _rule("bag_open_days", rf"\b(?:bag|beans|packet)\b[^.;,\d]{{0,20}}\bopen(?:ed)?\b[^.;,\d]{{0,12}}{_AGO}"),
    _rule("bag_open_days", rf"\bopened\b[^.;,\d]{{0,20}}\b(?:bag|beans|packet)\b[^.;,\d]{{0,6}}{_AGO}\s+ago"),
    _rule("milk_open", rf"\bmilk\b[^.;,\d]{{0,20}}\bopen(?:ed)?\b[^.;,\d]{{0,12}}{_AGO}"),
    # Others.
    _rule(
        "drinks_per_day", r"\b(\d+)\s+(?:shots|drinks|coffees|espressos|cups)\s+(?:a|per|each|every)\s+day\b"
    ),
    _rule("altitude", rf"\b{N}\s*(m|metres|meters|ft|feet)\s+(?:above|altitude|elevation|up in|high)"),
    _rule("altitude", rf"\b(?:altitude|elevation)\b[^.;,\d]{{0,12}}{N}\s*(m|metres|meters|ft|feet)\b"),
    _rule(
        "beans_in",
        rf"\b(?:put|weigh\w*|add\w*)\s+(?:in\s+)?{N}{_G}\s+(?:of\s+beans\s+)?(?:in|into)\s+the\s+grinder",
        "g",
    ),
)

_UNITS = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "ninety": 90}
_AFTER = (
    r"(?=\s*-?\s*(?:g|gr|grams?|s|sec|secs|seconds?|in\b|out\b|bars?|min|mins|minutes?|degrees?|"
    r"days?|weeks?|months?|years?|coffees|shots|drinks|cups|espressos|clicks?|notches|notch|marks?|steps?|times)\b)"
)
_SPELT = re.compile(
    rf"\b(?:({'|'.join(_TENS)})(?:[\s-]({'|'.join(list(_UNITS)[:9])}))?|"
    rf"({'|'.join(_UNITS)}|a|couple of)){_AFTER}"
)
_HALVES = {"quarter of an hour": "15 minutes", "half an hour": "30 minutes", "an hour": "60 minutes",
           "minute and a half": "90 seconds", "half a minute": "30 seconds"}
_HALF = re.compile(rf"\b(?:a |nearly )?({'|'.join(_HALVES)})\b")
_RATIO = re.compile(r"(?<![\d:])1\s*(?::|to)\s*(\d(?:[.,]\d+)?)(?![\d:])")
_VOLUME = re.compile(rf"\b{N}\s*(ml|cl|mls|millilit(?:er|re)s?|fl\.? ?oz)\b")
_SHOT_NEAR = re.compile(r"\b(?:out|espressos?|shots?|doubles?|singles?|cup|yield)\b")
_NOT_SHOT = re.compile(rf"{_MILK}|\b(?:tank|water|descal\w*|jug|holds)\b")
_CLAUSE_END = re.compile(r"[.;!?\n]")


def figures(text: str) -> str:
    """The text with spelt-out numbers before a unit as figures: "nineteen seconds"."""
    text = _HALF.sub(lambda found: _HALVES[found[1]], text)
    return _SPELT.sub(_figure, text)


def _figure(found: re.Match[str]) -> str:
    tens, ones, other = found.groups()
    if tens:
        return str(_TENS[tens] + (_UNITS[ones] if ones else 0))
    if other == "a":
        rest = found.string[found.end() :].lstrip(" -")
        since = re.search(r"\b(?:for|after|had \w+|only) $", found.string[: found.start()])
        past = re.match(r"(?:day|week|month|year)s? (?:ago|old|off|past|from|after)\b", rest)
        return "1" if past or (since and re.match(r"(?:day|week|month|year|minute)\b", rest)) else "a"
    return "2" if other == "couple of" else str(_UNITS[other])


def readings(text: str) -> Iterator[Figure]:
    """Every number that the words round it make plain, in the order of the rules."""
    for rule in RULES:
        for found in rule.pattern.finditer(text):
            if rule.unless and rule.unless.search(around(text, found.start(), found.end())):
                continue
            yield Figure(rule.name, _value(rule, found), found.group().strip())


def around(text: str, start: int, end: int) -> str:
    """The sentence round a stretch of text."""
    before = [
        m.end()
        for m in _CLAUSE_END.finditer(text, 0, start)
        if not text[m.start() - 1 : m.start()].isdigit() or text[m.end() : m.end() + 1] == " "
    ]
    after = next(
        (m.start() for m in _CLAUSE_END.finditer(text, end) if not text[m.end() : m.end() + 1].isdigit()),
        len(text),
    )
    return text[before[-1] if before else 0 : after]


def _value(rule: _Rule, found: re.Match[str]) -> str:
    parts = [p.strip() for p in found.groups() if p]
    value = " ".join(parts).replace(",", ".")
    if rule.name == "roast_date" and len(parts) == 2:
        return f"{parts[0]} {parts[1]}s ago"
    return f"{value} {rule.unit}".strip()


def settle(found: Mapping[str, list[Figure]]) -> tuple[dict[str, Figure], list[str]]:
    """One reading for each name; a name with two different values is left open and noted."""
    kept: dict[str, Figure] = {}
    notes: list[str] = []
    for name, said in found.items():
        values = dict.fromkeys(r.value for r in said)
        if len(values) == 1:
            kept[name] = said[0]
        else:
            notes.append(f"Two figures for the same thing were left out: {' and '.join(values)}.")
    return kept, notes


_AGE = re.compile(
    r"\b(?:(?:had|owned|have|bought) (?:it|mine|this|the machine|my machine|one)(?: now)?|"
    r"machine is|machine's|"
    r"it is|it's|it\b.{0,12}\bin|used it)(?: for| about| around| only| just| over)* "
    r"(?P<n>\d{1,6}) (?P<unit>day|week|month|year)s?\b(?! (?:from|off|past|after))"
    r"|\b(?P<m>\d{1,6})[ -](?P<made>day|week|month|year)s?[ -]old (?:\w+ ){0,2}?(?:machine|boiler|model)\b")
_IN_DAYS = {"day": 1, "week": 7, "month": 30, "year": 365}
NEW, YOUNG = 31, 3 * 366
"""Days up to which a machine is called new, and young."""


def machine_age(text: str) -> str | None:
    """How long the machine has been in use, in the words of the answer; None where not stated."""
    found = _AGE.search(text)
    if not found:
        return None
    days = int(found["n"] or found["m"]) * _IN_DAYS[found["unit"] or found["made"]]
    return "new" if days <= NEW else "young" if days <= YOUNG else "old"


def ratio(text: str) -> float | None:
    """The brew ratio stated (drink for each gram of coffee), unless it is only aimed at."""
    found = _RATIO.search(text)
    if not found or re.search(_AIM, around(text, found.start(), found.end())):
        return None
    return float(found[1].replace(",", "."))


def volume(text: str) -> str | None:
    """The volume of the drink as stated, or None."""
    for found in _VOLUME.finditer(text):
        near = around(text, found.start(), found.end())
        if _SHOT_NEAR.search(near) and not _NOT_SHOT.search(near):
            return f"{found[1].replace(',', '.')} {found[2]}"
    return None
