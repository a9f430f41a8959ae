"""The reply to one letter: as Markdown with notes for whoever sends it, and as plain text to send."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from diagnose.mail import markdown, plain_text
from diagnose.mail.letter import letter
from diagnose.mail.notes import notes
from diagnose.mail.person import NOBODY, Person
from diagnose.mail.reading import Read


class Reply(NamedTuple):
    """A reply in its two forms."""

    markdown: str
    """The letter, and below it what is not to be sent."""
    text: str
    """The letter alone."""


def reply(read: Read, place: str, today: date, person: Person = NOBODY) -> Reply:
    """The whole reply."""
    found = letter(read, read.case.book.letter, person.greeted, today)
    return Reply(f"{markdown.page(found)}\n{notes(read, place, person)}", plain_text.page(found))
