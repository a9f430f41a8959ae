"""Who wrote a letter: by the columns it came with, or by how it is signed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

LONGEST = 80
"""Signs of a cell that are kept."""
WHERE_SIGNED, WHERE_SAID = 300, 2_000
"""Signs at the end and at the beginning of a letter among which its name is looked for."""
COLUMNS = {
    "name": ("name", "from", "sender", "writer", "who", "person", "customer", "guest", "student"),
    "address": ("address", "email", "e-mail", "mail", "email address", "contact", "phone", "telephone"),
    "number": ("number", "no", "no.", "nr", "id", "ticket", "reference", "ref", "#"),
}
_WORD = r"[^\W\d_a-z][^\W\d_]*(?:['’-][^\W\d_]+)*"
_NAME = rf"{_WORD}(?: {_WORD}){{0,2}}"
_BYE = (r"(?i:(?:(?:kind|best|warm|many|with) )*(?:regards|thanks|thank you|wishes|greetings|cheers|love|"
        r"yours(?: \w+){0,3}|sincerely|signed|all the best|best)(?: from)?)")
_SIGNED = re.compile(
    rf"(?:^|[\n.!?,;:)]\s*){_BYE}\s*[,.:!\n-]*\s*(?P<name>{_NAME})(?:,[^.\n]{{0,60}})?\s*[.!]?\s*$")
_LAST_LINE = re.compile(rf"\n\s*[-–—]*\s*(?P<name>{_WORD}(?: {_WORD})?)\s*$")
_SAYS = re.compile(rf"\b[Mm]y name is (?P<name>{_NAME})")
_NOBODY = frozenset(["all", "again", "advance", "everyone", "everybody", "guys", "help", "madam", "please",
                     "sir", "teacher", "team", "you"])
_GREETED = re.compile(r"(?=.{1,40}$)[^\W\d_][^\W\d_.'’-]*(?:[ .'’-]+[^\W\d_]+)*\.?")


class Person(NamedTuple):
    """Who wrote, as far as is known."""

    name: str = ""
    address: str = ""
    number: str = ""

    @property
    def greeted(self) -> str:
        """The name as it can stand in a greeting; empty where it is no name."""
        return self.name if _GREETED.fullmatch(self.name) else ""


NOBODY = Person()


def of_columns(found: Iterable[tuple[str, str]], said: str) -> Person:
    """Who wrote by pairs of column and cell, the column `said` of the letter itself left out."""
    cells = {column.strip().lower(): clean(cell) for column, cell in found}
    cells.pop(said, None)
    return Person(**{field: _first(cells, names) for field, names in COLUMNS.items()})


def _first(cells: Mapping[str, str], names: Iterable[str]) -> str:
    return next((cells[n] for n in names if cells.get(n)), "")


def clean(cell: str) -> str:
    """A cell as one line of signs that can be seen."""
    seen = "".join(s if s.isprintable() else " " for s in cell)
    return " ".join(seen.split())[:LONGEST].strip()


def signed(text: str) -> str:
    """The name that a letter is signed with, or says it is from; empty where there is none."""
    end = text.strip()[-WHERE_SIGNED:]
    for pattern, where in ((_SIGNED, end), (_LAST_LINE, end), (_SAYS, text[:WHERE_SAID])):
        if (found := pattern.search(where)) and found["name"].split()[0].lower() not in _NOBODY:
            return found["name"]
    return ""
