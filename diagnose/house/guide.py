"""The guided ways to a house rule: each asks in plain words and comes back with entries to add."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import ConditionError
from diagnose.book.model import Common, Cures, Typical
from diagnose.book.pages import wording
from diagnose.compute import units
from diagnose.errors import UserError
from diagnose.house import make
from diagnose.house.prompt import Prompter
from diagnose.house.write import Addition
from diagnose.reason.weights import GRADES

SUBJECTS = {
    "rule": "when ... then ... (a weight, a finding, a caution or a note)",
    "target": "another target (dose, shot time, temperature ...)",
    "cause": "a cause the book does not know",
    "question": "a question the book does not ask",
    "caution": "a caution",
    "answer": "an answer to a question of practice, in your own words",
}


def guided(subject: str, prompter: Prompter, book: Book) -> list[Addition]:
    """Ask for one house rule; the subject is chosen here where none is given."""
    prompter.say("Enter `q` to leave at any point; nothing is kept before you have seen what it does.")
    subject = subject or prompter.one_of("What is to be added?", SUBJECTS)
    return _GUIDES[subject](prompter, book)


def _rule(ask: Prompter, book: Book) -> list[Addition]:
    ask.say("In this house, when ...")
    when = _condition(ask, book)
    then = ask.one_of("... then:", {
        "weigh": "a cause is likelier, or less likely", "then": "a finding holds",
        "caution": "a caution of the book is shown", "note": "a note of this house is shown"})
    if then == "note":
        return [_note(ask, book, when)]
    data: dict[str, Any] = {"when": when}
    if then == "weigh":
        data["weigh"] = {_cause(ask, book, "Which cause?"): _grade(ask)}
    elif then == "then":
        finding = ask.find("Which finding?", {n: f.label for n, f in book.findings.items()})
        data["then"] = {finding: ask.one_of("Which value?", {
            v: s.says for v, s in book.findings[finding].values.items()})}
    else:
        data["caution"] = ask.find("Which caution?", {n: c.text for n, c in book.cautions.items()})
    return [Addition("rules", _name(ask, book), data | _source(ask))]


def _note(ask: Prompter, book: Book, when: dict[str, Any]) -> Addition:
    text = ask.text("What does the note say?", _long_enough)
    avoid = ask.text("And what is to be done about it?", _long_enough)
    return Addition("cautions", make.new_id(book, text), {
        "signal": "NOTICE", "text": text, "avoid": avoid, "when": when} | _source(ask))


def _target(ask: Prompter, book: Book) -> list[Addition]:
    name = ask.find("Which target?", {
        n: f"{t.label}: {make.window(t)}" for n, t in book.targets.items()})
    stated = book.targets[name]
    ask.say(f"It is {make.window(stated)} now. An empty line leaves a number out of the change.")

    def number(text: str) -> str:
        try:
            units.read(text, stated.unit)
        except units.UnitError as error:
            return str(error)
        return ""

    while True:
        low, value, high = (ask.text(f"{side} ({stated.unit}):", number, empty=True)
                            for side in ("low", "value", "high"))
        try:
            return [make.target(book, name, low, value, high)]
        except UserError as error:
            ask.say(f"  {error}")


def _cause(ask: Prompter, book: Book, question: str) -> str:
    return ask.find(question, {n: c.name for n, c in book.causes.items()})


def _grade(ask: Prompter) -> str:
    side = ask.one_of("Does it speak for or against it?", {"for": "for", "against": "against"})
    grade = ask.one_of("How strongly?", {g: f"{g} ({10 ** (d / 10):.0f} times)"
                                         for g, d in GRADES.items()})
    return f"{grade} {side}"


def _condition(ask: Prompter, book: Book) -> dict[str, Any]:
    """One test or more, all of which must hold."""
    options = {n: f"question: {o.ask}" for n, o in book.observations.items() if o.kind != "date"}
    options |= {n: f"finding: {f.label}" for n, f in book.findings.items()}
    options |= {n: f"number: {m.label}" for n, m in book.measures.items() if n in book.names.units}
    answers = {n: " ".join(a.says for a in o.answers.values()) for n, o in book.observations.items()}
    when: dict[str, Any] = {}
    while True:
        asked = "And what else? (an empty line: that is all)" if when else "What is seen or measured?"
        name = ask.find(asked, options, empty=bool(when), more=answers)
        if not name:
            return when
        when[name] = _value(ask, book, name)


def _value(ask: Prompter, book: Book, name: str) -> str:
    values = book.names.values(name)
    if values is not None:
        return ask.one_of("Which?", {
            v: wording.answer(book, name, v) if name in book.observations
            else book.findings[name].values[v].says for v in values})
    unit = book.names.units[name]

    def fits(text: str) -> str:
        try:
            list(book.names.check(conditions.read({name: text})))
        except ConditionError as error:
            return str(error)
        return ""

    return ask.text(f"Compare it, as in `< 20 {unit}` or `between 20 {unit} and 30 {unit}`:", fits)


def _cause_entry(ask: Prompter, book: Book) -> list[Addition]:
    name = ask.text("Name it, as in `the chute is half clogged`:", _long_enough)
    data: dict[str, Any] = {
        "name": name,
        "part": ask.text("Which part of the equipment or work is it about?", _long_enough),
        "common": ask.one_of("How common is it in this house?", _same(Common)),
        "what": ask.text("What happens, in a sentence or two?", _long_enough),
        "shows": _shows(ask, book),
        "evidence": _evidence(ask, book),
        "look_alikes": _look_alikes(ask, book),
        "confirm": ask.text("How can one make sure of it?", _long_enough),
    }
    data["remedies"], more = _remedies(ask, book)
    return [Addition("causes", make.new_id(book, name), data | _source(ask)), *more]


def _shows(ask: Prompter, book: Book) -> dict[str, str]:
    found: dict[str, str] = {}
    while True:
        asked = "And what else? (an empty line: that is all)" if found else "What do people complain of?"
        name = ask.find(asked, {n: s.name for n, s in book.symptoms.items()}, empty=bool(found))
        if not name:
            return found
        found[name] = ask.one_of("How often does it show so?", _same(Typical))


def _evidence(ask: Prompter, book: Book) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    while not found or ask.yes("More that speaks for or against it?"):
        ask.say("What speaks for it?" if not found else "What speaks for or against it?")
        item: dict[str, Any] = {"when": _condition(ask, book), "weight": _grade(ask)}
        if item["weight"].endswith("for") and ask.yes("Does it speak against it when it is not so?"):
            grade = ask.one_of("How strongly against?", {g: g for g in GRADES})
            item["otherwise"] = f"{grade} against"
        found.append(item)
    return found


def _look_alikes(ask: Prompter, book: Book) -> list[dict[str, Any]]:
    questions = {n: o.ask for n, o in book.observations.items()}
    found: list[dict[str, Any]] = []
    while True:
        ask.say("Name two causes easily taken for it; an empty line: no more.")
        cause = ask.find("Which cause looks alike?", {n: c.name for n, c in book.causes.items()},
                         empty=True)
        if not cause:
            return found
        found.append({"cause": cause, "tell": ask.text("What tells them apart?", _long_enough),
                      "ask": [ask.find("Which question tells them apart?", questions)]})


def _remedies(ask: Prompter, book: Book) -> tuple[list[dict[str, Any]], list[Addition]]:
    name = ask.find("Which remedy of the book mends it? (an empty line: write your own)",
                    {n: r.name for n, r in book.remedies.items()}, empty=True)
    more = [] if name else [_remedy(ask, book)]
    cures = ask.one_of("How often does that mend it?", _same(Cures))
    return [{"remedy": name or more[0].id, "cures": cures}], more


def _remedy(ask: Prompter, book: Book) -> Addition:
    name = ask.text("What is to be done, in a few words?", _long_enough)
    steps: list[str] = []
    while step := ask.text(f"Step {len(steps) + 1}:" + (" (an empty line: done)" if steps else ""),
                           empty=bool(steps)):
        steps.append(step)
    data = {"name": name, "steps": steps, "minutes": make.plain(float(ask.text(
        "How many minutes does it take?", _number))),
        "should": ask.text("What should change, and by when?", _long_enough)}
    cautions = _some_cautions(ask, book)
    return Addition("remedies", make.new_id(book, name),
                    data | ({"cautions": cautions} if cautions else {}) | {"source": "house"})


def _some_cautions(ask: Prompter, book: Book) -> list[str]:
    found: list[str] = []
    while name := ask.find("Which caution belongs to it? (an empty line: no more)",
                           {n: c.text for n, c in book.cautions.items()}, empty=True):
        found.append(name)
    return found


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
    weigh = {_cause(ask, book, "About which cause?"): _grade(ask)}
    rule = Addition("rules", make.new_id(book, f"{name}_tells"),
                    {"when": {name: telling}, "weigh": weigh, "source": "house"})
    return [Addition("observations", name, data | _source(ask)), rule]


def _answers(ask: Prompter) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    while True:
        said = ask.text(f"Answer {len(found) + 1}:" + (" (an empty line: done)" if len(found) > 1 else ""),
                        empty=len(found) > 1)
        if not said:
            return found
        found[make.slug(said)] = {"says": said}


def _caution(ask: Prompter, book: Book) -> list[Addition]:
    text = ask.text("What can happen?", _long_enough)
    data: dict[str, Any] = {
        "signal": ask.one_of("How bad is it?", {
            "DANGER": "DANGER: someone will be badly hurt", "WARNING": "WARNING: could be badly hurt",
            "CAUTION": "CAUTION: could be hurt a little", "NOTICE": "NOTICE: things get damaged"}),
        "text": text, "avoid": ask.text("How is it avoided?", _long_enough)}
    ask.say("It is shown when ...")
    data["when"] = _condition(ask, book)
    if ask.yes("Is nothing else to be suggested while that holds?"):
        data["stop"] = "yes"
        if done := ask.text("What must be done before going on? (an empty line: it ends there)",
                            empty=True):
            data["go_on"] = done
    return [Addition("cautions", make.new_id(book, text), data | _source(ask))]


def _answer(ask: Prompter, book: Book) -> list[Addition]:
    """An answer of the house's own, to a question of the book or to a new one."""
    asked = ask.find("Which question of the book is answered otherwise here? (an empty line: a new one)",
                     {n: p.asks for n, p in book.practice.items()}, empty=True)
    old = book.practice.get(asked)
    if old:
        ask.say(f"The book says: {old.answer}")
    else:
        asked = ask.text("The question, as people ask it:", make.no_question)
    says = ask.text("Your answer, in one to three sentences:", make.too_long)
    now = ask.text("What is to be done now?" + (" (an empty line: as the book has it)" if old else ""),
                   _long_enough, empty=bool(old))
    made = make.answer(book, asked, says, now)
    if not old and (cautions := _some_cautions(ask, book)):
        made.data["cautions"] = cautions
    return [made]


def _name(ask: Prompter, book: Book) -> str:
    return make.new_id(book, ask.text("A short name for this rule:", _long_enough))


def _source(ask: Prompter) -> dict[str, str]:
    why = ask.text("Why is it so? (an empty line: no reason given)", empty=True)
    return {"source": "house"} | ({"note": why} if why else {})


def _same(words_: Any) -> dict[str, str]:
    return {word: word for word in words_.__args__}


def _long_enough(text: str) -> str:
    return "" if len(text) > 1 and re.search(r"\w", text) else "please say a little more"


def _number(text: str) -> str:
    try:
        return "" if 0 < float(text) <= 120 else "a number of minutes from 0.1 to 120, please"
    except ValueError:
        return f"{text!r} is no number of minutes"


_GUIDES: dict[str, Callable[[Prompter, Book], list[Addition]]] = {
    "rule": _rule, "target": _target, "cause": _cause_entry, "question": _question,
    "caution": _caution, "answer": _answer,
}
