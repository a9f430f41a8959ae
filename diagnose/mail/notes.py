"""What stands below a reply for whoever sends it: whose letter it is, how it was read, what is in doubt."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.mail.markdown import plain, quote
from diagnose.mail.person import Person
from diagnose.mail.reading import SHOWN_CAUSES, SHOWN_CHANCE, Read
from diagnose.mail.unsure import doubts
from diagnose.reading.language import ENGLISH
from diagnose.reason.explain.chance import percent, sure

LOOK = "**Read the letter yourself before this is sent: it may tell of a danger.**"


def notes(read: Read, place: str, person: Person) -> str:
    """The notes as Markdown, with the letter quoted."""
    lines = [f"- {said}: {plain(text)}" for said, text in _facts(read, place, person)]
    look = [LOOK, ""] if read.kind == "look" else []
    return "\n".join(["---", "", "## For you, not to be sent", "", *look, *lines, "", quote(read.text), ""])


def _facts(read: Read, place: str, person: Person) -> Iterator[tuple[str, str]]:
    yield "Letter", place
    who = zip(("Person", "Address", "Number"), person, strict=True)
    yield from ((said, text) for said, text in who if text)
    yield from (("Asked", one.question) for one in read.report.asked)
    if read.kind not in ("unplaced", "off"):
        yield from (("Understood", text) for text in _understood(read))
    yield from (("Note", text) for text in read.understood.notes)
    if read.kind not in ("unplaced", "off", "answer"):
        yield from (("Cause", text) for text in _causes(read))
    yield from (("Unsure of", text) for text in doubts(read))
    if houses := [touched.place for touched in read.report.house]:
        yield "House rules had a part in this", ", ".join(houses)


def _understood(read: Read) -> Iterator[str]:
    book = read.case.book
    yield from (book.symptoms[s].name for s in read.understood.symptoms)
    yield from (f"{book.observations[a.id].ask} {a.text}" for a in read.report.answers)
    yield from (f"tried, {outcome}: {book.remedies[r].name}" for r, outcome in read.understood.tried.items()
                if read.understood.language == ENGLISH)


def _causes(read: Read) -> Iterator[str]:
    for cause in read.report.causes[:SHOWN_CAUSES]:
        if (chance := cause.probability) >= SHOWN_CHANCE:
            yield f"{cause.name}: {sure(chance)} ({percent(chance)})"
