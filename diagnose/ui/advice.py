"""What is advised, as parts of a screen: the cause, its cautions, what to do, or why nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from diagnose.present import stopping
from diagnose.present.screens import Screen
from diagnose.reason.explain.chance import percent, sure
from diagnose.ui import words
from diagnose.ui.layout import Part

QUICK_MINUTES = 10
CLEAR = 0.1
"""A leading cause less likely than this is no verdict, only the first of many."""
NEARLY = 0.02
"""Chances as near as this are read as the same."""
USED_UP = 0.3
"""A leading cause as likely as this is named at the end, though no fix for it is left."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")


def cautions(stated: Iterable[dict[str, str]]) -> Iterator[Part]:
    """Cautions, each led by its signal word."""
    for one in stated:
        said = " ".join(filter(None, (one["text"], one["avoid"])))
        yield Part(f"{one['signal']}: {said}", one["signal"].lower(), gap=True)


def cause(data: dict[str, Any]) -> Iterator[Part]:
    """What is thought to be wrong and how sure, in number and words."""
    yield Part(_probably(words.PROBABLY, data["leading"]), "title")
    if data["leading"]["id"] != data["cause"]["id"]:
        chance = data.get("second", data["cause"]["probability"])
        yield Part(_why_another(data).format(cause=data["cause"]["name"], percent=percent(chance)))


def _why_another(data: dict[str, Any]) -> str:
    """Why the fix is for another cause than the likeliest."""
    if data["leading"]["id"] == "not_in_book":
        return words.STILL_HERE
    if "second" in data:
        return words.SECOND
    if not data["leading_open"]:
        return words.ALL_TRIED
    if data["minutes"] > QUICK_MINUTES or data.get("others_aside"):
        return words.THIS_IS_FOR
    return words.LONG_SHOT if data["chance"] < CLEAR else words.WORTH_FIRST


def _probably(text: str, stated: dict[str, Any]) -> str:
    chance = stated["probability"]
    if chance < CLEAR:
        text = words.LIKELIEST
    return text.format(Sure=sure(chance).capitalize(), percent=percent(chance),
                       cause=stated["name"])


def remedy(screen: Screen) -> Iterator[Part]:
    """What is thought to be wrong, and the one thing to do."""
    data = screen.data
    yield from _thought(data)
    yield from cautions(screen.cautions)
    yield from may_use(data)
    yield _do(data)
    yield from steps(data) if "again" not in data else ()
    yield from _came(data)


def _thought(data: dict[str, Any]) -> Iterator[Part]:
    """What it most likely is, and what it could be besides."""
    yield from early(data)
    yield from cause(data)
    rivals = "; ".join(words.CAUSE_PERCENT.format(name=r["name"], percent=percent(
        r["probability"])) for r in data["rivals"] if r["id"] != data["leading"]["id"])
    if rivals:
        yield Part(words.RIVALS.format(rivals=rivals), spare=3)


def _do(data: dict[str, Any]) -> Part:
    if "again" in data:
        return Part(words.ONCE_MORE.format(text=data["again"]), "do", gap=True)
    return Part(words.DO_NOW.format(name=words.capital(data["name"])), "do", gap=True)


def _came(data: dict[str, Any]) -> Iterator[Part]:
    """What should come of it, what follows if it does not, and the question what did."""
    yield from waits(data)
    yield Part(words.SHOULD.format(text=data["should"]), gap=True)
    yield Part(words.IF_NOT.format(name=words.capital(data["after"][0]["name"])) if data["after"]
               else words.IF_NOT_LAST, spare=1)
    yield Part(words.DID_IT_WORK, "title", gap=True)


def action(data: dict[str, Any], short: bool) -> Iterator[Part]:
    """What to do, when to stop, and the first step; see `draw.action_first`."""
    yield _do(data)
    if "again" in data:
        return
    yield from _beforehand(data)
    if data["stop_when"]:
        yield _stop_when(first_sentence(data["stop_when"]) if short else data["stop_when"])
    yield from _numbered(data["steps"][:1])


def after_action(screen: Screen, short: bool, whole: bool) -> Iterator[Part]:
    """The rest of a fix: further steps, what was said in brief before, and what it is for."""
    data = screen.data
    if "again" not in data:
        yield from _numbered(data["steps"][1:], 2)
        if short and data["stop_when"] != first_sentence(data["stop_when"]):
            yield _stop_when(data["stop_when"])
    if not whole:
        yield Part(words.CAUTIONS_IN_FULL, "title")
        yield from cautions(screen.cautions)
    yield from cause(data)
    yield from _came(data)


def first_sentence(text: str) -> str:
    """A text up to the end of its first sentence."""
    return _SENTENCE.split(text, maxsplit=1)[0]


def waits(data: dict[str, Any]) -> Iterator[Part]:
    """Of several complaints: which comes first and why, and what comes for the others."""
    if "waits" not in data:
        return
    told = data["waits"]
    yield Part(words.FIRST_THIS.format(first="; ".join(told["first"]), why=words.FIRST_WHY[told["why"]]),
               gap=True)
    for one in told["then"]:
        text = words.THEN_THAT if one["fix"] else words.THEN_LOOKED_AT
        yield Part(text.format(symptom=one["symptom"], fix=words.capital(one["fix"])))


def early(data: dict[str, Any], spare: int = 4) -> Iterator[Part]:
    """That it was asked for before its time, and the question that would help most."""
    if "asks" in data:
        yield Part(words.EARLY.format(ask=data["asks"]), "hint", spare=spare)


def no_fix(screen: Screen) -> Iterator[Part]:
    """Why no fix is worth trying yet."""
    data = screen.data
    why = data["why"]
    yield from cautions(screen.cautions)
    yield Part(words.NO_FIX, "title", gap=bool(screen.cautions))
    yield from may_use(data)
    yield Part(words.SO_FAR.format(cause=data["leading"]["name"],
                                   percent=percent(data["leading"]["probability"])), gap=True)
    chance, minutes = why.get("chance", 0.0), why.get("minutes", 0.0)
    yield Part(words.NO_FIX_WHY[why["code"]].format(
        name=words.capital(why.get("name", "")), chance=percent(chance),
        minutes=words.minutes(minutes)))
    if data["asks"]:
        yield Part(words.HELPS_MOST.format(ask=data["asks"]), gap=True)


def steps(data: dict[str, Any]) -> Iterator[Part]:
    """How a fix is done, from what it costs to when to stop."""
    yield Part(words.COSTS.format(minutes=words.minutes(data["minutes"]), shots=_shots(data),
                                  money=words.MONEY[data["money"]],
                                  chance=percent(data["chance"])) + _for_more(data), spare=5)
    yield from _beforehand(data)
    if data["tools"]:
        yield Part(words.TOOLS.format(text=data["tools"]), spare=4)
    yield from _numbered(data["steps"])
    if data["stop_when"]:
        yield _stop_when(data["stop_when"])


def _for_more(data: dict[str, Any]) -> str:
    """Why a fix helps more often than the cause named for it is likely."""
    likely = data["cause"]["probability"] if "cause" in data and "second" not in data else 1.0
    return words.MORE_THAN_ONE if data["chance"] > likely + NEARLY else ""


def _beforehand(data: dict[str, Any]) -> Iterator[Part]:
    if words.WHO[data["who"]]:
        yield Part(words.WHO[data["who"]])
    if data["before"]:
        yield Part(words.BEFORE.format(text=data["before"]))


def _numbered(steps: Iterable[str], start: int = 1) -> Iterator[Part]:
    yield from (Part(step, "step", f"{i}. ") for i, step in enumerate(steps, start))


def _stop_when(text: str) -> Part:
    return Part(words.STOP_WHEN.format(text=text))


def _shots(data: dict[str, Any]) -> str:
    shots = data["shots"]
    return words.SHOTS.get(shots, words.SHOTS_MANY).format(shots=shots)


def stop(screen: Screen) -> Iterator[Part]:
    """A hazard, or work for a technician."""
    data = screen.data
    if data["reason"] == "handover":
        yield Part(stopping.HANDOVER, "title")
        yield from early(data, spare=0)
        yield from may_use(data)
        yield from cause(data)
        yield Part(stopping.HANDOVER_WHAT.format(name=words.capital(data["name"])))
    else:
        yield from hazard(data, screen.cautions)
        return
    yield from cautions(screen.cautions)


def hazard(data: dict[str, Any], others: Iterable[dict[str, str]] = ()) -> Iterator[Part]:
    """A hazard that stops, from the signs told to what must be done before going on.

    Other cautions stand above the words that end it, since nothing is read for safety below those.
    """
    styles = {"title": "title"} | dict.fromkeys(("danger", "avoid", "first", "aid"), data["signal"].lower())
    for code, text in stopping.lines(data):
        if code == "use":
            yield from cautions(others)
        yield Part(text, styles.get(code, ""), gap=code != "title")


def signs(data: dict[str, Any]) -> Iterator[Part]:
    """The signs of danger told that do not stop, over whatever is asked: what comes first, and the use."""
    if "signs" in data:
        yield from (Part(line.text, "warning") for line in stopping.told(data["signs"]) if line.code != "aid")
        yield from may_use(data)


def may_use(data: dict[str, Any]) -> Iterator[Part]:
    """May one go on using it? A plain yes gives way where room is short."""
    yield Part(stopping.may_use(data["use"]), gap=True, spare=5 if data["use"] == "yes" else 0)


def done(screen: Screen) -> Iterator[Part]:
    """The end, good or bad."""
    data = screen.data
    if data["reason"] == "solved":
        yield Part(words.SOLVED.format(fix=words.capital(data["fix"])), "title")
        if data["learnt"]:
            yield Part(words.LEARNT.format(cause=data["learnt"]), gap=True)
        yield Part(words.SOLVED_MORE, gap=True)
        return
    if data["reason"] == "unsure":
        yield Part(words.UNSURE, "title")
        yield from may_use(data)
        yield from cautions(screen.cautions)
        yield from unsure(data | {"needs": ()})  # they are choices here
        return
    leading = data["leading"]
    used_up = leading["id"] != "not_in_book" and leading["probability"] >= USED_UP
    yield Part(_probably(words.USED_UP, leading) if used_up else words.NOT_IN_BOOK, "title")
    if data["helped"]:
        yield Part(words.HELPED.format(fixes="; ".join(data["helped"])), gap=True)
    yield Part(words.NOT_IN_BOOK_MORE, gap=True)
    yield from may_use(data)
    yield from cautions(screen.cautions)
    if data["ruled_out"]:
        yield Part(words.RULED_OUT, gap=True)
        for one in data["ruled_out"]:
            yield Part(words.CAUSE_PERCENT.format(name=one["name"], percent=percent(
                one["probability"])), lead="- ", spare=1)


def unsure(data: dict[str, Any]) -> Iterator[Part]:
    """Too little is known: what would help to know, what to watch for, whom to ask."""
    for title, key in ((words.UNSURE_NEEDS, "needs"), (words.UNSURE_WATCH, "watch")):
        for i, text in enumerate(data[key]):
            if i == 0:
                yield Part(title, gap=True)
            yield Part(text, lead="- ", spare=min(i, 1))
    yield Part(words.UNSURE_ASK, gap=True)
    if data["guess"]:
        yield Part(words.UNSURE_GUESS.format(name=words.capital(data["guess"])), spare=1)
