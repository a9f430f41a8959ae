"""House entries from plain values: ids, targets, rules, answers."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import ConditionError
from diagnose.book.lint.practice import LONGEST_ANSWER, MOST_SENTENCES, sentences
from diagnose.book.model import KINDS, Target
from diagnose.book.problems import nearest
from diagnose.book.yaml.decode import ID, RESERVED
from diagnose.compute import units
from diagnose.errors import UserError
from diagnose.house.write import Addition

LONGEST_ID = 40


def slug(text: str) -> str:
    """Words as an id."""
    made = re.sub(r"[^a-z0-9]+", "_", text.casefold()).strip("_")
    if len(made) > LONGEST_ID:  # cut between words where there is more than one
        made = (made[:LONGEST_ID + 1].rpartition("_")[0] or made)[:LONGEST_ID].strip("_")
    made = made if made[:1].isalpha() else f"x_{made}"
    return made if ID.fullmatch(made) and made not in RESERVED else f"{made or 'x'}_own"


def new_id(book: Book, text: str) -> str:
    """An id made of words that no entry of the book has."""
    taken = {name for kind in KINDS for name in getattr(book, kind)}
    made, number = slug(text), 2
    while made in taken:
        made, number = f"{slug(text)}_{number}", number + 1
    return made


def apart(book: Book, before: Book, additions: Iterable[Addition]) -> list[Addition]:
    """Entries made for an earlier state of the book, under other ids where theirs were taken since."""
    given = list(additions)
    was = {name for kind in KINDS for name in getattr(before, kind)}
    new = {a.id: new_id(book, a.id) for a in given if a.id and a.id not in was}
    return [a._replace(id=new.get(a.id, a.id), data=_renamed(a.data, new)) for a in given]


def _renamed(data: Any, new: dict[str, str]) -> Any:
    """The content of an entry with ids replaced, wherever one stands by itself."""
    if isinstance(data, dict):
        return {new.get(key, key): _renamed(value, new) for key, value in data.items()}
    if isinstance(data, list):
        return [_renamed(value, new) for value in data]
    return new.get(data, data) if isinstance(data, str) else data


def plain(number: float) -> float | int:
    """A number without a needless `.0`."""
    return int(number) if number == int(number) else number


def window(target: Target) -> str:
    """A target's numbers in words."""
    given = [f"{side} {units.show(number, target.unit)}" for side in ("low", "value", "high")
             if (number := getattr(target, side)) is not None]
    return ", ".join(given)


def target(book: Book, name: str, low: str = "", value: str = "", high: str = "") -> Addition:
    """A target with other numbers, as text with or without a unit.

    A value that no longer lies inside the window goes to its middle. UserError for an
    unknown target, an unreadable number, or a window from high to low.
    """
    if name not in book.targets:
        raise UserError(f"no target {name!r}{nearest(name, book.targets)}")
    old = book.targets[name]
    said = {"low": low, "value": value, "high": high}
    if not any(said.values()):
        raise UserError(f"{name}: give `--low`, `--value` or `--high`; it is {window(old)} now")
    new = {side: _number(name, text, old.unit) if text else getattr(old, side)
           for side, text in said.items()}
    if None not in (new["low"], new["high"]) and new["low"] > new["high"]:
        raise UserError(f"{name}: low {new['low']:g} is above high {new['high']:g}; swap them")
    outside = new["value"] is not None and not (
        (new["low"] is None or new["low"] <= new["value"])
        and (new["high"] is None or new["value"] <= new["high"]))
    if outside and value:
        raise UserError(f"{name}: value {new['value']:g} lies outside its window; move low or high too")
    if outside:
        ends = [n for n in (new["low"], new["high"]) if n is not None]
        new["value"] = sum(ends) / len(ends)
    numbers = {side: plain(number) for side, number in new.items() if number is not None}
    return Addition("targets", name, {"label": old.label, "unit": old.unit, **numbers,
                                      "source": "house", "replaces": "yes"})


def _number(name: str, text: str, unit: str) -> float:
    try:
        return units.read(text, unit)
    except units.UnitError as error:
        raise UserError(f"{name}: {error}") from None


def rule(book: Book, name: str, when: Iterable[str], weigh: Iterable[str] = (),
         then: Iterable[str] = (), caution: str = "", why: str = "") -> Addition:
    """A rule from `name=value` pairs; UserError says which of them does not fit.

    `when` pairs may compare: `shot_time=< 20 s`. `weigh` pairs are `cause=strong for`.
    """
    stated = _pairs(when, "--when")
    if not stated:
        raise UserError("a rule needs `--when NAME=VALUE`")
    try:
        list(book.names.check(conditions.read(stated)))
    except ConditionError as error:
        raise UserError(f"--when: {error}") from None
    data: dict[str, Any] = {"when": stated}
    for field, pairs in (("weigh", _pairs(weigh, "--weigh")), ("then", _pairs(then, "--then"))):
        if pairs:
            data[field] = pairs
    if caution:
        data["caution"] = caution
    if len(data) == 1:
        raise UserError("a rule does something: give `--weigh CAUSE=GRADE`, `--then FINDING=VALUE` or "
                        "`--caution NAME`")
    return Addition("rules", new_id(book, name), data | {"source": "house"}
                    | ({"note": why} if why else {}))


def answer(book: Book, asked: str, says: str, now: str = "") -> Addition:
    """The house's own answer to a question of the book, by its id, or to a new one, in full.

    Of a question of the book the cautions, the maker's word and the reckoning stay.
    UserError where it is neither, or where the answer is too long.
    """
    if wrong := too_long(says):
        raise UserError(f"the answer is too long: {wrong}")
    old = book.practice.get(asked)
    if old is None and no_question(asked):
        raise UserError(f"no question {asked!r}{nearest(asked, book.practice)}; name one of "
                        "`diagnose book list practice`, or write a new one, ending in `?`")
    if old is None and not now:
        raise UserError("a new answer says what to do now: give `--now TEXT`")
    data = {"asks": old.asks if old else asked, "answer": says, "now": now or (old.now if old else "")}
    kept = {f: v for f in ("maker", "within") if old and (v := getattr(old, f))}
    lists = {f: list(v) for f in ("worked", "cautions") if old and (v := getattr(old, f))}
    name = asked if old else new_id(book, asked)
    return Addition("practice", name, data | kept | lists | {"source": "house"}
                    | ({"replaces": "yes"} if old else {}))


def no_question(text: str) -> str:
    """Why a text can't be a question; empty where it can."""
    return "" if len(text) > 4 and text.rstrip().endswith("?") else "end it with `?`"


def too_long(text: str) -> str:
    """Why a text is too long to be an answer; empty where it is not."""
    if sentences(text) > MOST_SENTENCES["answer"]:
        return f"at most {MOST_SENTENCES['answer']} sentences are read"
    return f"at most {LONGEST_ANSWER} characters are read" if len(text) > LONGEST_ANSWER else ""


def _pairs(texts: Iterable[str], flag: str) -> dict[str, str]:
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise UserError(f"{flag} {text!r} is not NAME=VALUE")
        found[name.strip()] = value.strip()
    return found
