"""Explanations in parts: help, why, more, what if, what would change your mind."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from diagnose.present.screens import Screen
from diagnose.reason.explain.chance import percent
from diagnose.ui import advice, words
from diagnose.ui.layout import Part

_WEIGHS = re.compile(rf"({'|'.join(words.WEIGHS)}) (for|against): (.*)", re.S)


def draw(screen: Screen) -> Iterator[Part]:
    """The parts of an explanation."""
    return _ABOUT[screen.data["about"]](screen.data)


def _help(_: dict[str, Any]) -> Iterator[Part]:
    yield Part(words.HELP_TITLE, "title")
    for word, text in words.HELP.items():
        yield Part(f"{word}: {text}")
    yield Part(words.HELP_ANSWERS, gap=True)
    yield Part(words.HELP_WORDS)


def _why(data: dict[str, Any]) -> Iterator[Part]:
    match data["on"]:
        case "question":
            yield from _why_question(data)
        case "hazard":
            yield Part(words.WHY_HAZARD, "title")
            yield from _chain(data["chain"])
        case "recheck":
            yield Part(words.WHY_RECHECK, "title")
            yield from _chain(data["chain"])
        case _:
            yield from _why_conclusion(data)


def _why_question(data: dict[str, Any]) -> Iterator[Part]:
    yield Part(words.WHY_QUESTION.format(ask=data["ask"]), "title")
    if data["number"]:
        yield Part(words.WHY_NUMBER.format(number=data["number"]))
    yield Part(words.WHY_SAVES.format(minutes=words.minutes(data["saves"])), gap=True)
    for i, branch in enumerate(data["branches"]):
        text = words.WHY_BRANCH if branch["answers"] else words.WHY_BRANCH_ANY
        yield Part(text.format(answers=words.WHY_OR.join(f'"{a}"' for a in branch["answers"]),
                               cause=branch["cause"] or words.WHY_NONE,
                               percent=percent(branch["likely"]), sure=percent(branch["sure"])),
                   gap=i == 0)
    if len(data["branches"]) == 1:
        yield Part(words.WHY_SAME)


def _why_conclusion(data: dict[str, Any]) -> Iterator[Part]:
    stated = data["cause"]
    yield Part(words.WHY_CONCLUSION.format(cause=stated["name"],
                                           percent=percent(stated["probability"])), "title")
    if data["what"]:
        yield Part(data["what"], gap=True)
    for i, ground in enumerate(data["grounds"]):
        yield Part(ground, gap=i == 0)
    if data["chain"]:
        yield from _chain(data["chain"])
    else:
        yield Part(words.WHY_NO_EVIDENCE)


def _chain(lines: Iterable[str]) -> Iterator[Part]:
    """The chain, what it rests on standing further in."""
    for line in lines:
        text = line.lstrip(" ")
        depth = len(line) - len(text)
        yield Part(words.capital(_weighs(text)) if not depth else text, lead=" " * depth,
                   gap=not depth)


def _weighs(text: str) -> str:
    """How an answer weighs, in words to be read aloud."""
    found = _WEIGHS.fullmatch(text)
    return words.WEIGHS_SAID.format(how=words.WEIGHS[found[1]], side=found[2], text=found[3]) \
        if found else text


def _more(data: dict[str, Any]) -> Iterator[Part]:
    if data.get("how"):
        yield Part(words.MORE_HOW, "title")
        yield Part(data["how"])
    if "remedy" in data:
        yield from _remedy(data)
    yield Part(words.MORE_CAUSES, "title", gap=True)
    for one in data["causes"]:
        yield Part(words.CAUSE_PERCENT.format(name=one["name"],
                                              percent=percent(one["probability"])), lead="- ")
    for title, key in ((words.MORE_COMPETITORS, "competitors"),
                       (words.MORE_COMPANIONS, "companions")):
        yield from _listed(title, [c["name"] for c in data[key]])
    yield from _listed(words.MORE_FINDINGS, data["findings"])


def _listed(title: str, texts: list[str]) -> Iterator[Part]:
    if texts:
        yield Part(title, "title", gap=True)
        yield from (Part(text, lead="- ") for text in texts)


def _remedy(data: dict[str, Any]) -> Iterator[Part]:
    fix = data["remedy"]
    yield Part(words.MORE_STEPS.format(name=words.capital(fix["name"])), "title")
    yield from (Part(p.text, p.style, p.lead) for p in advice.steps(fix))
    yield Part(words.SHOULD.format(text=fix["should"]))
    if fix["undo"]:
        yield Part(words.UNDO.format(text=fix["undo"]))
    if data["confirm"]:
        yield Part(words.MORE_CONFIRM.format(text=data["confirm"]))
    yield from _listed(words.MORE_NUMBERS, [
        (words.NUMBER_FROM if n["basis"] else words.NUMBER).format(**n) for n in fix["numbers"]])
    yield Part(words.MORE_SOURCE.format(fix=fix["source"], cause=data["cause_source"]))


def _doubt(data: dict[str, Any]) -> Iterator[Part]:
    leading = data["leading"]
    yield Part(words.DOUBT.format(leading=leading["name"],
                                  percent=percent(leading["probability"])), "title")
    for turn in data["turns"]:
        changes = words.DOUBT_AND.join(
            (words.DOUBT_INSTEAD if c["given"] else words.DOUBT_CHANGE).format(**c)
            for c in turn["changes"])
        yield Part(words.DOUBT_TURN.format(changes=changes, cause=turn["cause"],
                                           percent=percent(turn["sure"])), lead="- ", gap=True)
    if not data["turns"]:
        yield Part(words.DOUBT_NONE)


def _what_if(data: dict[str, Any]) -> Iterator[Part]:
    yield Part(words.WHAT_IF.format(said=data["said"]), "title")
    yield Part(words.WHAT_IF_BEFORE.format(causes=_named(data["before"])), gap=True)
    yield Part(words.WHAT_IF_AFTER.format(causes=_named(data["after"])))
    yield Part(words.WHAT_IF_NEXT[data["next"]["kind"]].format(text=data["next"]["text"]))
    yield Part(words.WHAT_IF_NOTHING, gap=True)


def _named(causes: list[dict[str, Any]]) -> str:
    return "; ".join(words.CAUSE_PERCENT.format(name=c["name"], percent=percent(c["probability"]))
                     for c in causes)


_ABOUT = {"help": _help, "why": _why, "more": _more, "doubt": _doubt, "what_if": _what_if}
