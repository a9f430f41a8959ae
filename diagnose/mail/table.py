"""The table to work from: a row for each letter, dangers first, then what is in doubt, then the rest."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

from diagnose.mail.folder import Record
from diagnose.mail.markdown import plain
from diagnose.storage.spreadsheet import guarded

KINDS = {"hazard": "danger", "look": "unsure", "unplaced": "unsure", "nothing": "unsure",
         "question": "unsure", "handover": "trouble", "remedy": "trouble", "answer": "question",
         "off": "off-topic"}
ORDER = ("danger", "unsure", "trouble", "question", "off-topic")
HEADS = {"place": "file or row", "person": "person", "address": "address", "number": "number",
         "kind": "kind", "says": "what it says", "unsure": "what is unsure", "reply": "reply"}
SHOWN = 140
"""Signs of a letter that its row says."""
BYTE_ORDER_MARK = "\ufeff"
"""By which a spreadsheet knows that the file is UTF-8."""
TableRow = dict[str, str]


def rows(records: Sequence[Record]) -> list[TableRow]:
    """A row for each letter, in the order in which to work."""
    order = sorted(records, key=lambda r: (ORDER.index(KINDS[r["kind"]]), r["kind"] != "look"))
    return [_row(record) for record in order]


def _row(record: Record) -> TableRow:
    text = record["text"]
    return {"place": record["place"], "person": record["name"], "address": record["address"],
            "number": record["number"], "kind": KINDS[record["kind"]],
            "says": text if len(text) <= SHOWN else f"{text[:SHOWN - 3]}...",
            "unsure": "; ".join(record["unsure"]), "reply": record["file"]}


def sheet(found: Sequence[TableRow]) -> str:
    """The table as CSV; no cell of it is worked out by a spreadsheet."""
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(HEADS.values())
    writer.writerows([guarded(row[name].lstrip()) for name in HEADS] for row in found)
    return BYTE_ORDER_MARK + out.getvalue()


def page(found: Sequence[TableRow]) -> Iterator[str]:
    """The table as Markdown, without the columns in which no letter says anything."""
    heads = {name: head for name, head in HEADS.items() if any(row[name] for row in found)}
    if not found:
        return
    yield _line(heads.values())
    yield _line(["---"] * len(heads))
    for row in found:
        cells = {name: plain(row[name]) for name in heads}
        yield _line((cells | {"reply": f"[{cells['reply']}]({row['reply']})"})[name] for name in heads)
    yield ""


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"
