"""Words of the house's people for a trouble or a question of the book."""

from __future__ import annotations

from diagnose.book.book import Book
from diagnose.errors import UserError
from diagnose.house.write import Addition
from diagnose.reading import danger
from diagnose.reading.complaint import understand
from diagnose.reading.questions import asked

KIND = "phrases"


def taught(book: Book, words: str, means: str) -> Addition:
    """The words as an entry of a house file; UserError where they are known already.

    Whether they are words of a danger is told when the file is put together with the book.
    """
    said = " ".join(words.split())
    if said in book.layers.phrases.get(means, ()):
        raise UserError(f"{said!r} means {means} in this house already")
    return Addition(KIND, "", {"words": said, "means": means})


def dangers(book: Book, words: str, means: str) -> list[str]:
    """The dangers, in words, that letters with these words are still looked at for."""
    return [book.symptoms[s].name for s in danger.heard(book, words) if s != means]


def name(book: Book, means: str) -> str:
    """The trouble or question in words."""
    return book.symptoms[means].name if means in book.symptoms else book.practice[means].asks


def understood(book: Book, words: str, means: str) -> bool:
    """Are the words alone read as what they mean?"""
    return means in understand(book, words).symptoms or any(a.entry == means for a in asked(book, words))


def told(book: Book, words: str, means: str) -> list[str]:
    """What is to be known of words that were taught, in sentences."""
    lines = []
    if grave := dangers(book, words, means):
        lines.append(f"A letter that says so is still to be read by a person first: {'; '.join(grave)}.")
    if not understood(book, words, means):
        lines.append("The words alone are not read so yet; a few more of them would help.")
    return lines
