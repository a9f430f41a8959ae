"""The guided ways to a house's own entries: each asks in a teacher's words and comes back with them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from diagnose.book.book import Book
from diagnose.compute import units
from diagnose.errors import UserError
from diagnose.house import make, names, phrase
from diagnose.house.guide_cause import cause, some_cautions
from diagnose.house.guide_rule import condition, grade, long_enough, rule, source
from diagnose.house.prompt import Back, PromptEnded, Prompter
from diagnose.house.write import Addition

SUBJECTS = {
    "target": "a number you aim for",
    "rule": "what to think when ...",
    "caution": "a warning",
    "cause": "a cause we lack",
    "words": "words our learners use",
    "answer": "an answer to a question",
    "question": "a question we should ask",
}
HELP = ("Enter `b` to go back to the question before, `q` to leave: your answers are kept, and nothing "
        "counts before you have seen what it does.")
AdditionCheck = Callable[[list[Addition]], str]
"""Says what keeps entries from being used; empty where nothing does."""


def guided(subject: str, prompter: Prompter, book: Book, check: AdditionCheck = lambda made: ""
           ) -> list[Addition]:
    """Ask for one change to the house; its subject is chosen here where none is given.

    What the check refuses is not handed on: it is said, and the last question asked again.
    """
    while True:
        try:
            chosen = subject or prompter.one_of("What do you want to change?", SUBJECTS)
            made = _GUIDES[chosen](prompter, book)
        except Back:
            if not prompter.answers:
                prompter.say("  This is the first question.")
        else:
            if not (wrong := check(made)):
                return made
            prompter.say(f"  That can't be used: {wrong}. Change your answer, or go back with `b`.", hang=2)
            if not prompter.live and len(prompter.answers) > REFUSED_MOST:
                raise PromptEnded("what was answered can't be used; nothing was changed")
        prompter.again(prompter.answers[:-1])


REFUSED_MOST = 200
"""Answers of a file of lines after which it is given up."""


def _target(ask: Prompter, book: Book) -> list[Addition]:
    name = ask.find("Which number do you aim for otherwise?", names.targets(book))
    stated = book.targets[name]
    ask.say(f"It is {make.window(stated)} now. An empty line leaves a number as it is.")

    def number(text: str) -> str:
        try:
            units.read(text, stated.unit)
        except units.UnitError as error:
            return str(error)
        return ""

    while True:
        sides = [ask.text(f"{says} ({stated.unit}):", number, empty=True)
                 for says in ("At least", "Best of all", "At most")]
        try:
            return [make.target(book, name, *sides)]
        except UserError as error:
            ask.say(f"  {error}")


def _words(ask: Prompter, book: Book) -> list[Addition]:
    words = ask.text("What do your learners say?", long_enough)
    trouble = "a trouble, or a question they ask"
    finders = names.troubles(book), names.questions(book)
    means = ask.find(f"What do they mean by it? ({trouble})", finders[0] + finders[1])
    try:
        return [phrase.taught(book, words, means)]
    except UserError as error:
        ask.say(f"  {error}")
        raise Back from None


def _question(ask: Prompter, book: Book) -> list[Addition]:
    text = ask.text("The question:", lambda t: "" if t.endswith("?") else "end it with `?`")
    kind = ask.one_of("How is it answered?", {"yes_no": "yes or no", "choice": "one of some answers"})
    name = make.new_id(book, text)
    data: dict[str, Any] = {"ask": text, "kind": kind}
    if kind == "choice":
        data["answers"] = _answers(ask)
    data["minutes"] = make.plain(float(ask.text("How many minutes does it take to find out?", _number)))
    says = {a: v["says"] for a, v in data.get("answers", {}).items()} or {"yes": "yes", "no": "no"}
    telling = ask.one_of("Which answer tells something?", says)
    weigh = {ask.find("About which cause?", names.causes(book)): grade(ask)}
    told = Addition("rules", make.new_id(book, f"{name}_tells"),
                    {"when": {name: telling}, "weigh": weigh, "source": "house"})
    return [Addition("observations", name, data | source(ask)), told]


def _answers(ask: Prompter) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    while True:
        said = ask.text(f"Answer {len(found) + 1}:" + (" (an empty line: done)" if len(found) > 1 else ""),
                        empty=len(found) > 1)
        if not said:
            return found
        found[make.slug(said)] = {"says": said}


def _caution(ask: Prompter, book: Book) -> list[Addition]:
    text = ask.text("What can happen?", long_enough)
    data: dict[str, Any] = {
        "text": text, "avoid": ask.text("How is it avoided?", long_enough),
        "signal": ask.one_of("How bad is it?", {
            "DANGER": "someone will be badly hurt (DANGER)",
            "WARNING": "someone could be badly hurt (WARNING)",
            "CAUTION": "someone could be hurt a little (CAUTION)", "NOTICE": "things get damaged (NOTICE)"}),
        "when": condition(ask, book, "When is it shown? Say what is seen, measured or done.")}
    if ask.yes("Is nothing else to be suggested while that holds?"):
        data["stop"] = "yes"
        if done := ask.text("What must be done before going on? (an empty line: it ends there)", empty=True):
            data["go_on"] = done
    return [Addition("cautions", make.new_id(book, text), data | source(ask))]


def _answer(ask: Prompter, book: Book) -> list[Addition]:
    """An answer of the house's own, to a question of the book or to a new one."""
    asked = ask.find("Which question of the book is answered otherwise here? (an empty line: a new one)",
                     names.questions(book), empty=True)
    old = book.practice.get(asked)
    if old:
        ask.say(f"The book says: {old.answer}")
    else:
        asked = ask.text("The question, as people ask it:", make.no_question)
    says = ask.text("Your answer, in one to three sentences:", make.too_long)
    now = ask.text("What is to be done now?" + (" (an empty line: as the book has it)" if old else ""),
                   long_enough, empty=bool(old))
    made = make.answer(book, asked, says, now)
    if not old and (cautions := some_cautions(ask, book, [now])):
        made.data["cautions"] = cautions
    return [made]


def _number(text: str) -> str:
    try:
        return "" if 0 < float(text) <= 120 else "a number of minutes from 0.1 to 120, please"
    except ValueError:
        return f"{text!r} is no number of minutes"


_GUIDES: dict[str, Callable[[Prompter, Book], list[Addition]]] = {
    "target": _target, "rule": rule, "caution": _caution, "cause": cause, "words": _words,
    "answer": _answer, "question": _question,
}
