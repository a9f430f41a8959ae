"""The way to a rule: when what is seen, and what one should think then."""

from __future__ import annotations

import re
from typing import Any

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import ConditionError
from diagnose.house import make, names
from diagnose.house.prompt import Prompter
from diagnose.house.write import Addition
from diagnose.reason.weights import GRADES

STRENGTHS = {"slight": "a hint", "substantial": "it counts", "strong": "it says much",
             "very strong": "it says nearly all", "decisive": "it settles it"}


def rule(ask: Prompter, book: Book) -> list[Addition]:
    """A rule of the house."""
    when = condition(ask, book, "When what is so? Say what is seen, tasted, measured or done.")
    then = ask.one_of("What should one think or do then?", {
        "for": "a cause is likelier", "against": "a cause is less likely",
        "caution": "a warning of the book is to be shown", "note": "something of our own is to be said",
        "then": "it counts as something the book knows"})
    if then == "note":
        return [_note(ask, book, when)]
    data: dict[str, Any] = {"when": when}
    if then in ("for", "against"):
        data["weigh"] = {ask.find("Which cause?", names.causes(book)): f"{strength(ask)} {then}"}
    elif then == "then":
        data["then"] = dict([_finding(ask, book)])
    else:
        data["caution"] = ask.find("Which warning?", names.cautions(book))
    name = make.new_id(book, "when " + " and ".join(f"{n} {v}" for n, v in when.items()))
    return [Addition("rules", name, data | source(ask))]


def _note(ask: Prompter, book: Book, when: dict[str, Any]) -> Addition:
    text = ask.text("What is to be said?", long_enough)
    avoid = ask.text("And what is to be done about it?", long_enough)
    return Addition("cautions", make.new_id(book, text), {
        "signal": "NOTICE", "text": text, "avoid": avoid, "when": when} | source(ask))


def _finding(ask: Prompter, book: Book) -> tuple[str, str]:
    finder = names.findings(book)
    name, _, value = ask.find("What does it count as?", finder).partition(names.TOLD)
    return name, value


def grade(ask: Prompter) -> str:
    """How strongly something speaks, and which way."""
    side = ask.one_of("Does it speak for or against it?", {"for": "for", "against": "against"})
    return f"{strength(ask)} {side}"


def strength(ask: Prompter, question: str = "How much does it say?") -> str:
    """How strongly something speaks."""
    return ask.one_of(question, {g: f"{STRENGTHS[g]} ({10 ** (d / 10):.0f} times)"
                                 for g, d in GRADES.items()})


def condition(ask: Prompter, book: Book, question: str) -> dict[str, Any]:
    """One test or more, all of which must hold."""
    finder, when = names.facts(book), dict[str, Any]()
    while True:
        asked = "And what else must be so? (an empty line: that is all)" if when else question
        found = ask.find(asked, finder, empty=bool(when))
        if not found:
            return when
        name, told, value = found.partition(names.TOLD)
        when[name] = value if told else _compared(ask, book, name)


def _compared(ask: Prompter, book: Book, name: str) -> str:
    unit = book.names.units[name]

    def fits(text: str) -> str:
        try:
            list(book.names.check(conditions.read({name: text})))
        except ConditionError as error:
            return str(error)
        return ""

    return ask.text(f"From what number on? Write it as `< 20 {unit}`, `> 30 {unit}` or "
                    f"`between 20 {unit} and 30 {unit}`:", fits)


def source(ask: Prompter) -> dict[str, str]:
    """That the house says so, and why."""
    why = ask.text("Why is it so? (an empty line: no reason given)", empty=True)
    return {"source": "house"} | ({"note": why} if why else {})


def long_enough(text: str) -> str:
    """Why a text says too little; empty where it does not."""
    return "" if len(text) > 1 and re.search(r"\w", text) else "please say a little more"
