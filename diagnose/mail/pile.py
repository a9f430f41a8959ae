"""The whole pile: letters spread over processes, replies written once, a journal to go on from.

Every worker has its own engine. A reply is written beside and renamed, then its line is put
into the journal; a run that was cut short goes on where the journal ends. A reply counts as
done while its text, the book with its house, the day and the program are the same.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from datetime import date
from itertools import islice
from multiprocessing import get_context, parent_process
from multiprocessing.process import BaseProcess
from pathlib import Path
from threading import Thread
from typing import Any, NamedTuple

from diagnose.errors import UserError, short
from diagnose.mail.folder import JOURNAL, PILE, Record, loaded
from diagnose.mail.letters import Letter
from diagnose.storage import atomic, cache, paths

MADE_BY = ("storage", "compute", "book", "search", "reading", "engine", "reason", "case", "present", "ui",
           "mail", "errors")
"""The packages that make a reply of a letter."""
RANK = {"hazard": 0, "look": 1, "handover": 2, "question": 3, "remedy": 4, "answer": 4, "nothing": 5,
        "unplaced": 6, "off": 7}
"""The order of the pile, the most pressing first; the number leads each reply's file name."""
WAITING = 64
"""Letters handed to each process ahead of time, so that memory does not grow with the pile."""
PileProgress = Callable[[int, int], None]


class PileResult(NamedTuple):
    """What became of the pile: one record for each letter, and how many were done before."""

    records: list[Record]
    kept: int
    faults: list[str]
    """A line for each letter that could not be worked through."""


def program_key(houses: Sequence[str] | None, today: date) -> str:
    """A name for all that replies hang on but the letters: program, book, house and the day."""
    folders = [Path(h) for h in houses] if houses else [paths.house()]
    digest = hashlib.sha256(cache.code(MADE_BY) + today.isoformat().encode())
    for file in (*paths.read_by(), *(f for d in (paths.shipped(), *folders) for f in paths.chapters(d))):
        digest.update(b"\0" + os.fsencode(file) + b"\0" + (file.read_bytes() if file.is_file() else b""))
    return digest.hexdigest()[:16]


def run(letters: Sequence[Letter], out: Path, pile: str, houses: Sequence[str] | None, jobs: int,
        today: date, progress: PileProgress) -> PileResult:
    """Write a reply for every letter into a folder that is held for this pile.

    UserError where it can't be written.
    """
    try:
        program = program_key(houses, today)
        keys = {letter.id: _key(letter, program) for letter in letters}
        done = {name: record for name, record in _journal(out).items()
                if record["key"] == keys.get(name) and (out / record["file"]).is_file()}
        todo = [letter for letter in letters if letter.id not in done]
        found, faults = dict(done), []
        with (out / JOURNAL).open("a", encoding="utf-8") as journal:
            journal.write("\n")  # the last line may have been cut short
            progress(len(found), len(letters))
            for record in _worked(todo, out, houses, jobs, today):
                if "fault" in record:
                    faults.append(f"{record['place']}: could not be worked through ({record['fault']}); "
                                  "answer it by hand")
                    continue
                record |= {"key": keys[record["id"]], PILE: pile}
                journal.write(json.dumps(record) + "\n")
                journal.flush()
                found[record["id"]] = record
                progress(len(found), len(letters))
        records = sorted(found.values(), key=lambda r: (RANK[r["kind"]], r["id"]))
        write(out / JOURNAL, "".join(json.dumps(r) + "\n" for r in ({PILE: pile}, *records)))
    except OSError as error:
        raise UserError(f"{error.filename or out}: {error.strerror}; what was written stays, and the "
                        "same command goes on from there") from None
    return PileResult(records, len(done), faults)


def _key(letter: Letter, program: str) -> str:
    content = "\0".join((program, letter.place, *letter.person, letter.text)).encode("utf-8", "replace")
    return hashlib.sha256(content).hexdigest()[:16]


def _journal(out: Path) -> dict[str, Record]:
    """What earlier runs noted; a line cut short counts for nothing."""
    try:
        lines = (out / JOURNAL).read_text(encoding="utf-8", errors="replace").splitlines()
    except FileNotFoundError:
        return {}
    found = filter(None, map(_noted, lines))
    return {record["id"]: record for record in found}


def _noted(line: str) -> Record | None:
    """One line of the journal, if it is whole."""
    record = loaded(line)
    whole = isinstance(record, dict) and record.get("kind") in RANK and {"id", "key", "file"} <= set(record)
    return record if whole else None


def _worked(todo: Sequence[Letter], out: Path, houses: Sequence[str] | None, jobs: int,
            today: date) -> Iterator[Record]:
    """The records of the letters still to do, in order, as they are written."""
    if not todo:
        return
    if jobs == 1 or len(todo) < 4:
        _begin(houses, out, today)
        yield from map(_one, todo)
        return
    try:
        with ProcessPoolExecutor(jobs, get_context("spawn"), _begin, (houses, out, today)) as pool:
            yield from _streamed(pool, todo, WAITING * jobs)
    except BrokenProcessPool:
        raise UserError("a worker process ended unexpectedly; run the same command again, it goes on "
                        "from there, perhaps with --jobs 1") from None


def _streamed(pool: ProcessPoolExecutor, todo: Iterable[Letter], ahead: int) -> Iterator[Record]:
    rest = iter(todo)
    waiting = [pool.submit(_one, letter) for letter in islice(rest, ahead)]
    waiting.reverse()
    while waiting:
        yield waiting.pop().result()
        for letter in islice(rest, 1):
            waiting.insert(0, pool.submit(_one, letter))


_desk: Any = None
_out: Path
_today: date


def _begin(houses: Sequence[str] | None, out: Path, today: date) -> None:
    """Set up a process: its own book, engine and desk."""
    global _desk, _out, _today
    if parent := parent_process():
        Thread(target=_end_with, args=(parent,), daemon=True).start()
    from diagnose.book.with_house import load
    from diagnose.mail.reading import Desk
    from diagnose.reason.system import System

    _desk, _out, _today = Desk(System(load(houses).book), today), out, today


def _end_with(parent: BaseProcess) -> None:
    """End this process once its parent has ended, however that came about."""
    parent.join()
    os._exit(1)


def _one(letter: Letter) -> Record:
    """Read one letter, write its reply, return its record.

    A letter that meets a fault of the program is a record with `fault`: the others go on.
    """
    try:
        return _replied(letter)
    except OSError:
        raise
    except Exception as error:
        why = short(f"{type(error).__name__}: {error}")
        return {"id": letter.id, "place": letter.place, "fault": why}


def _replied(letter: Letter) -> Record:
    from diagnose.mail.reply import reply
    from diagnose.mail.unsure import doubts, fair
    from diagnose.present.parts import NOT_IN_BOOK

    read = _desk.read(letter.text)
    name = _file(letter.id, read.kind)
    written = reply(read, letter.place, _today, letter.person)
    for suffix, text in ((".md", written.markdown), (".txt", written.text)):
        write((_out / name).with_suffix(suffix), text)
    for kind in RANK.keys() - {read.kind}:  # an earlier reply may have been of another kind
        for suffix in (".md", ".txt"):
            (_out / _file(letter.id, kind)).with_suffix(suffix).unlink(missing_ok=True)
    first = next((c for c in read.report.causes if c.id != NOT_IN_BOOK), None)
    return {"id": letter.id, "file": name, "kind": read.kind, "place": letter.place,
            **letter.person._asdict(), "unsure": list(doubts(read)),
            "text": " ".join(letter.text.split())[:300], "asked": [a.id for a in read.report.asked],
            "symptoms": list(read.understood.symptoms),
            "maybe": list(read.understood.maybe), "values": read.understood.values,
            "language": read.understood.language,
            "caution": read.caution or next(iter(read.suspected), ""),
            "cause": first.id if first and read.kind not in ("unplaced", "answer", "off") else "",
            "probability": first.probability if first else 0.0,
            "remedy": read.option.remedy if read.option else "", "asks_first": not fair(read),
            "house": [h.place for h in read.report.house]}


def _file(letter: str, kind: str) -> str:
    return f"{RANK[kind]}-{kind}-{letter}.md"


def write(path: Path, text: str) -> None:
    """Write a file whole; what the letter has that is no text becomes a question mark."""
    atomic.write(path, text.encode("utf-8", "replace"), durable=False)
