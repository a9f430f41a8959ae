"""The summary of a pile: a table to work from, what people ask about most, what could not be placed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from diagnose.mail import table, teach
from diagnose.mail.folder import Record
from diagnose.mail.markdown import plain

MOST_ASKED = 20
SHOWN_UNPLACED = 200

KINDS = {
    "hazard": "hazards", "look": "to be read by a person first", "handover": "for a technician",
    "question": "with figures that do not agree", "remedy": "with one thing to try",
    "answer": "with a question alone, answered", "nothing": "with no fitting remedy",
    "unplaced": "not placed", "off": "not about the coffee",
}


def data(book: Any, records: Sequence[Record], faults: Sequence[str]) -> dict[str, Any]:
    """The summary as plain data."""
    symptoms = Counter(s for r in records for s in r["symptoms"])
    questions = Counter(q for r in records for q in r.get("asked", ()))
    causes = Counter(r["cause"] for r in records if r["cause"])
    return {
        "letters": len(records),
        "kinds": {kind: sum(r["kind"] == kind for r in records) for kind in KINDS},
        "asking_first": sum(r["kind"] == "remedy" and r.get("asks_first", False) for r in records),
        "table": table.rows(records),
        "hazards": [_short(r) for r in records if r["kind"] in ("hazard", "look")],
        "questions": [{"practice": q, "name": book.practice[q].asks, "letters": n}
                      for q, n in questions.most_common(MOST_ASKED) if q in book.practice],
        "asked": [{"symptom": s, "name": book.symptoms[s].name, "letters": n}
                  for s, n in symptoms.most_common(MOST_ASKED) if s in book.symptoms],
        "causes": [{"cause": c, "name": book.causes[c].name, "letters": n}
                   for c, n in causes.most_common(MOST_ASKED) if c in book.causes],
        "unplaced": [_short(r) | {"maybe": r["maybe"], "language": r["language"],
                                  "nearest": [book.symptoms[s].name for s in r["maybe"]
                                              if s in book.symptoms]}
                     for r in records if r["kind"] in ("unplaced", "nothing")],
        "unreadable": list(faults),
    }


def _short(record: Record) -> dict[str, str]:
    return {"id": record["id"], "file": record["file"], "place": record["place"],
            "caution": record["caution"], "text": record["text"]}


def page(found: dict[str, Any]) -> str:
    """The summary as Markdown."""
    return "\n".join([
        "# The mailbag", "",
        f"{_count(found['letters'], 'letter')}. Nothing was sent; every reply is a draft.", "",
        *(f"- {line}" for line in counted(found)), "",
        *table.page(found["table"]),
        *_section("Questions asked: begin the next class with these", _counts(found["questions"])),
        *_section("What people ask about most", _counts(found["asked"])),
        *_section("What it most often is", _counts(found["causes"])),
        *_section("Not placed: the list for new knowledge", _todo(found["unplaced"])),
        *(line for said in teach.how(found["unplaced"]) for line in (plain(said), "")),
        *_section("Files and rows that could not be read, or not to their end",
                  map(plain, found["unreadable"]))])


def counted(found: dict[str, Any]) -> Iterator[str]:
    """How many letters there are of each kind, a line for each."""
    for kind, said in KINDS.items():
        if number := found["kinds"][kind]:
            asking = found["asking_first"] if kind == "remedy" else 0
            yield f"{number} {said}" + (f", {asking} of them after a question or two" if asking else "")


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    said = list(lines)
    if said:
        yield from (f"## {title}", "", *(f"- {line}" for line in said), "")


def _counts(found: Sequence[dict[str, Any]]) -> Iterator[str]:
    """What was met more than once with its count, then the rest in one line."""
    for one in found:
        if one["letters"] > 1:
            yield f"{plain(one['name'])}: {_count(one['letters'], 'letter')}"
    if once := [plain(one["name"]) for one in found if one["letters"] == 1]:
        yield f"once each: {'; '.join(once)}"


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"


def _entry(one: dict[str, Any]) -> str:
    text = one["text"] if len(one["text"]) <= 140 else one["text"][:137] + "..."
    return f"[{plain(one['id'])}]({one['file']}): {plain(text)}"


def _todo(unplaced: Sequence[dict[str, Any]]) -> Iterator[str]:
    for one in unplaced[:SHOWN_UNPLACED]:
        tongue = f" ({one['language']})" if one["language"] != "English" else ""
        near = f" (nearest: {plain('; '.join(one['nearest']))})" if one["nearest"] else ""
        yield f"{_entry(one)}{tongue}{near}"
    if len(unplaced) > SHOWN_UNPLACED:
        yield f"and {len(unplaced) - SHOWN_UNPLACED} more, in summary.json"
