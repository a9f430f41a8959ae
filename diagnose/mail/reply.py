"""The reply to one letter, as Markdown: understood, probable, one thing to try, questions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from diagnose.consult import handover
from diagnose.consult.report import caution_data, question_data, remedy_data
from diagnose.lookup.language import ENGLISH
from diagnose.mail.markdown import plain, quote
from diagnose.mail.reading import Read
from diagnose.reason.chance import percent, sure

SHOWN_CAUSES = 3
SHOWN_CHANCE = 0.05
DEFER = ("The maker's instructions for your machine come first; where they say otherwise, follow them. "
         "Inside the housing, under pressure or on the mains only a qualified person works.")


def reply(read: Read, place: str, today: date) -> str:
    """The whole reply."""
    parts = [f"# {_TITLES[read.kind]}", "", quote(read.text), "", f"({plain(place)})", "",
             *_understood(read), *_BODIES[read.kind](read, today), DEFER, "", *_house(read)]
    return "\n".join(parts)


_TITLES = {
    "hazard": "STOP: this is a hazard", "look": "To be read by a person first: perhaps a hazard",
    "handover": "Work for a technician", "remedy": "The one thing to try",
    "question": "One thing to check first", "nothing": "Nothing in the book fits well",
    "unplaced": "Not placed",
}


def _understood(read: Read) -> Iterator[str]:
    book, found = read.case.book, read.understood
    said = [book.symptoms[s].name for s in found.symptoms]
    answers = [f"{book.observations[a['id']].ask} {a['text']}" for a in read.report["answers"]]
    if said or answers or found.notes:
        yield "## What was understood"
        yield ""
        yield from (f"- {plain(text)}" for text in (*said, *answers, *found.notes))
        yield ""


def _causes(read: Read) -> Iterator[str]:
    causes = [c for c in read.report["causes"] if c["probability"] >= SHOWN_CHANCE]
    yield "## What it probably is"
    yield ""
    for number, cause in enumerate(causes[:SHOWN_CAUSES], 1):
        chance = cause["probability"]
        yield f"{number}. {plain(cause['name'])}: {sure(chance)} ({percent(chance)})"
    why = causes[0]["why"][:2] if causes else []
    if why and causes[0]["id"] != "not_in_book":
        yield ""
        yield f"Why the first: {plain(' '.join(why))}"
    yield ""


def _cautions(read: Read, names: Iterable[str]) -> Iterator[str]:
    for name in dict.fromkeys(names):
        data = caution_data(read.case, name)
        yield f"> **{data['signal']}:** {plain(data['text'])} {plain(data['avoid'])}"
        yield ">"
        yield ""


def _remedy(read: Read, today: date) -> Iterator[str]:
    yield from _causes(read)
    assert read.option is not None
    data = remedy_data(read.case, read.option)
    yield f"## Try this: {plain(data['name'])}"
    yield ""
    yield (f"It takes about {data['minutes']:g} minutes"
           + (f" and {data['shots']} shots" if data["shots"] > 1 else
              " and one shot" if data["shots"] else "")
           + f"; the chance that it cures is {percent(data['chance'])}.")
    yield ""
    if data["before"]:
        yield f"Before you start: {plain(data['before'])}"
        yield ""
    yield from _cautions(read, (*read.case.cautions, *read.case.book.remedies[data["id"]].cautions))
    yield from (f"{i}. {plain(step)}" for i, step in enumerate(data["steps"], 1))
    yield ""
    yield f"What should change: {plain(data['should'])}"
    yield ""
    if data["stop_when"]:
        yield f"Stop and hand over: {plain(data['stop_when'])}"
        yield ""
    if data["undo"]:
        yield f"To undo it: {plain(data['undo'])}"
        yield ""
    yield from _questions(read, "## If that does not help, tell us")


def _questions(read: Read, title: str) -> Iterator[str]:
    if not read.questions:
        return
    yield title
    yield ""
    for number, question in enumerate(read.questions, 1):
        data = question_data(read.case, question.observation)
        yield from _cautions(read, read.case.book.observations[data["id"]].cautions)
        how = f" {plain(data['how'])}" if data["how"] else ""
        yield f"{number}. {plain(data['text'])}{how}"
        yield from (f"   - {plain(answer['text'])}" for answer in data["answers"])
    yield ""


def _question(read: Read, today: date) -> Iterator[str]:
    yield "Two things in the letter can't both hold. Please look again:"
    yield ""
    yield from (f"- {plain(c.text)}" for c in read.case.conflicts[:1])
    yield ""
    yield from _causes(read)
    yield from _questions(read, "## And tell us")


def _handover(read: Read, today: date) -> Iterator[str]:
    yield from _causes(read)
    assert read.option is not None
    data = remedy_data(read.case, read.option)
    yield f"What it most likely needs: {plain(data['name'])}. That is work for a technician or the " \
          "maker's service, not for the kitchen table."
    yield ""
    yield from _cautions(read, (*read.case.cautions, *read.case.book.remedies[data["id"]].cautions))
    yield from _questions(read, "## What the technician will ask")
    yield from _handed(read, today)


def _hazard(read: Read, today: date) -> Iterator[str]:
    grave = [read.caution, *(c for c in read.case.cautions if c != read.caution)]
    yield from _cautions(read, grave)
    stated = read.case.book.cautions[read.caution]
    if stated.go_on:
        yield f"Go on only once this is done: {plain(stated.go_on)}"
    else:
        yield "Do nothing more to the machine. Hand it to a qualified person."
    yield ""
    yield from _handed(read, today)


def _handed(read: Read, today: date) -> Iterator[str]:
    yield "## To hand over"
    yield ""
    for line in handover.summary(read.case, today).split("\n"):
        yield f"#{line}" if line.startswith("##") else f"**{line[2:]}**" if line.startswith("# ") else line


def _look(read: Read, today: date) -> Iterator[str]:
    book = read.case.book
    yield "The words could mean something that must stop everything else:"
    yield ""
    yield from (f"- {plain(book.symptoms[s].name)}" for s in read.suspected)
    if read.warned:
        yield f"- words of danger in the letter: {plain(', '.join(read.warned))}"
    yield ""
    yield "If that is so: switch off, pull the plug if it can be reached safely, and do not use the " \
          "machine. If not, what follows is the draft."
    yield ""
    if read.option is not None and read.option.who not in read.case.refused:
        yield from _remedy(read, today)
    elif read.option is not None:
        yield from _handover(read, today)
    else:
        yield from _unplaced(read, today)


def _nothing(read: Read, today: date) -> Iterator[str]:
    yield from _causes(read)
    yield "The book has no remedy with a fair chance here."
    yield ""
    yield from _questions(read, "## What would help to know")


def _unplaced(read: Read, today: date) -> Iterator[str]:
    maybe = [read.case.book.symptoms[s].name for s in read.understood.maybe]
    if read.understood.language != ENGLISH:
        yield "Please pick what comes nearest, or write again in English."
    elif maybe:
        yield "Is it one of these? Please say which."
    else:
        yield "Please say in a sentence or two what you see, taste or hear, and what you would expect."
    yield ""
    yield from (f"- {plain(name)}" for name in maybe)
    if maybe:
        yield ""


def _house(read: Read) -> Iterator[str]:
    touched = read.report["house"]
    if touched:
        yield "House rules had a part in this: " + ", ".join(plain(t["place"]) for t in touched)
        yield ""


_BODIES = {"hazard": _hazard, "look": _look, "handover": _handover, "remedy": _remedy,
           "question": _question, "nothing": _nothing, "unplaced": _unplaced}
