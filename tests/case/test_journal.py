"""Cases on file: nothing given is lost, whatever interrupts the writing."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from diagnose.case.case import Case
from diagnose.case.events import Answered, Complained, Entry, Tried
from diagnose.case.journal import Guarded, Store
from diagnose.dialogue.session import Session
from diagnose.errors import UserError
from tests.case.small import FakeLookup, small_system

WORDS = Entry("2026-03-31T10:00:00+02:00", Complained("it gushes", ("too_fast",)))
GRIND = Entry("2026-03-31T10:00:05+02:00", Answered("last_change", "grind", "grind"))
FIX = Entry("2026-03-31T10:09:00+02:00", Tried("finer", "same"))


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "cases")


def keep(store: Store, id: str, *entries: Entry) -> None:
    keeper = store.journal(id)
    keeper(list(entries))
    keeper.release()


def undone(entry: Entry) -> Entry:
    return Entry(entry.at, entry.event, undone=True)


def test_what_is_kept_is_what_is_loaded(store):
    keep(store, "a", WORDS, GRIND, FIX)
    assert store.load("a") == [WORDS, GRIND, FIX]


def test_what_was_taken_back_is_kept_as_taken_back(store):
    keeper = store.journal("a")
    for entries in ([WORDS], [WORDS, GRIND], [WORDS, undone(GRIND)], [WORDS, undone(GRIND), FIX]):
        keeper(entries)
        assert store.load("a") == entries
    keeper.release()


def test_a_case_gone_on_with_is_appended_to(store):
    keep(store, "a", WORDS, GRIND)
    keep(store, "a", WORDS, undone(GRIND), FIX)
    assert store.load("a") == [WORDS, undone(GRIND), FIX]


@pytest.mark.parametrize("cut", range(1, 40, 3))
def test_a_torn_last_line_costs_that_line_only(store, cut):
    keep(store, "a", WORDS, GRIND)
    path = store.folder / "a.jsonl"
    path.write_bytes(path.read_bytes()[:-cut])
    assert store.load("a") == [WORDS]
    keep(store, "a", WORDS, FIX)
    assert store.load("a") == [WORDS, FIX]


def test_nothing_is_on_file_before_something_was_said(store, tmp_path):
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), store)
    session.screen()
    session.leave()
    assert not store.folder.exists()


def test_open_cases_are_listed_latest_first_and_closed_ones_are_not(store):
    for id in ("20260101-080000", "20260102-080000", "20260103-080000"):
        keep(store, id, WORDS)
    keeper = store.journal("20260103-080000")
    keeper.close("solved")
    keeper.release()
    assert [k.id for k in store.open_cases()] == ["20260102-080000", "20260101-080000"]
    assert store.closed("20260103-080000") == "solved"


def test_a_case_put_by_is_open_again_once_it_goes_on(store):
    keep(store, "a", WORDS)
    keeper = store.journal("a")
    keeper.close("put_by")
    assert store.open_cases() == []
    keeper([WORDS, GRIND])
    keeper.release()
    assert [k.id for k in store.open_cases()] == ["a"]


def test_a_case_open_elsewhere_is_neither_offered_nor_written_to(store):
    keeper = store.journal("a")
    keeper([WORDS])
    assert store.open_cases() == []
    with pytest.raises(UserError, match="open in another window"):
        store.journal("a")([WORDS, FIX])
    keeper.release()
    assert [k.id for k in store.open_cases()] == ["a"]


@pytest.mark.parametrize(("raw", "says"), [
    (b"", "no case file"), (b"\x00\xff\n", "no case file"), (b"[]\n", "no case file"),
    (b'{"schema": 99, "case": "a"}\n', "another version"),
])
def test_a_file_that_is_no_case_is_named_in_one_line_and_left_alone(store, raw, says):
    store.folder.mkdir()
    path = store.folder / "a.jsonl"
    path.write_bytes(raw)
    with pytest.raises(UserError, match=says) as error:
        store.load("a")
    assert "\n" not in str(error.value) and "a.jsonl" in str(error.value)
    assert store.cases() == [] and path.read_bytes() == raw


@pytest.mark.parametrize("id", ["../a", "", "A", "a/b", "a" * 50])
def test_an_id_that_is_none_is_refused(store, id):
    with pytest.raises(UserError, match="no case"):
        store.load(id)


def test_two_consults_begun_in_one_second_are_two_cases(store):
    at = datetime(2026, 3, 31, 10, 0, 0)
    first, second = store.new_journal(at), store.new_journal(at)
    first([WORDS])
    second([WORDS, GRIND])
    first([WORDS, FIX])
    for keeper in (first, second):
        keeper.release()
    assert first.id != second.id
    assert store.load(first.id) == [WORDS, FIX] and store.load(second.id) == [WORDS, GRIND]


OTHER = Entry("2026-03-31T10:00:07+02:00", Answered("weather", "dry", "dry"))


@pytest.mark.parametrize("damage", [b"{", b"\xff" * 9, b"[" * 100_000, b"\0", b'{"event":{"type":"told"}}'],
                         ids=["cut", "no text", "deep", "nought", "unknown"])
def test_a_damaged_line_costs_that_line_only_and_the_file_as_it_was_is_kept(store, damage):
    keep(store, "a", WORDS, GRIND, OTHER, FIX)
    path = store.folder / "a.jsonl"
    lines = path.read_bytes().split(b"\n")
    lines[2] = damage
    path.write_bytes(raw := b"\n".join(lines))
    assert store.load("a") == [WORDS, OTHER, FIX]
    keep(store, "a", WORDS, OTHER, undone(FIX), GRIND)
    assert store.load("a") == [WORDS, OTHER, undone(FIX), GRIND]
    assert [p.read_bytes() for p in store.folder.glob("*.damaged")] == [raw]
    told = []
    assert [kept.id for kept, _ in store.cases(told.append)] == ["a"]
    assert len(told) == 1 and "a.jsonl: 1 line can't be read" in told[0]


def test_a_damaged_mark_of_what_was_taken_back_shifts_nothing(store):
    keep(store, "a", WORDS, GRIND)
    keep(store, "a", WORDS, undone(GRIND))
    path = store.folder / "a.jsonl"
    path.write_bytes(path.read_bytes().replace(b'{"taken_back":1}', b'{"taken_back":1!'))
    keep(store, "a", WORDS, GRIND, OTHER, FIX)
    keep(store, "a", WORDS, GRIND, undone(OTHER), FIX)
    assert store.load("a") == [WORDS, GRIND, undone(OTHER), FIX]


def test_going_on_with_a_damaged_case_says_where_it_is_kept_as_it_was(store, tmp_path):
    keep(store, "a", WORDS, GRIND, FIX)
    path = store.folder / "a.jsonl"
    lines = path.read_bytes().split(b"\n")
    path.write_bytes(b"\n".join([*lines[:2], b"\xff", *lines[3:]]))
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), store)
    session.resume("a")
    assert [n.code for n in session.screen().notes] == ["case_damaged", "resumed"]
    session.close()


def test_a_case_gone_on_with_is_held_from_the_start(store, tmp_path):
    keep(store, "a", WORDS)
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), store)
    session.resume("a")
    with pytest.raises(UserError, match="open in another window"):
        Session(system, FakeLookup(system.book), store).resume("a")
    session.take("grind")
    session.close()
    assert len(store.load("a")) == 2


def test_nobody_else_can_read_what_is_kept(store):
    keep(store, "a", WORDS)
    assert (store.folder / "a.jsonl").stat().st_mode & 0o077 == 0
    assert store.folder.stat().st_mode & 0o077 == 0


def test_a_full_disk_is_said_and_what_was_given_is_kept_once_there_is_room(store):
    """A file on a full device stands in for the disk: every write to it fails."""
    keeper = store.journal("a")
    guarded = Guarded(keeper)
    guarded([WORDS])
    real, keeper._file = keeper._file, _Full(keeper._file)
    guarded([WORDS, GRIND])
    assert "No space left" in guarded.problem and store.load("a") == [WORDS]
    keeper._file = real
    guarded([WORDS, GRIND, FIX])
    assert guarded.problem == "" and store.load("a") == [WORDS, GRIND, FIX]
    keeper.release()


class _Full:
    """A file that takes three bytes of a line and no more."""

    def __init__(self, file) -> None:
        self.file = file

    def __getattr__(self, name):
        return getattr(self.file, name)

    def write(self, data: bytes) -> int:
        self.file.write(data[:3])
        raise OSError(28, "No space left on device")


def test_the_consult_goes_on_where_answers_can_t_be_kept_and_says_so(tmp_path):
    blocked = tmp_path / "file-not-folder"
    blocked.write_text("in the way")
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), Store(blocked / "cases"))
    for line in ("gush", "1", "", "grind"):
        session.take(line)
    assert session.case.values == {"last_change": "grind"}
    assert session.screen().unkept == "Not a directory"
    session.close()


def test_an_answer_that_no_longer_fits_the_book_is_taken_back_and_said(store, tmp_path):
    gone = Entry(WORDS.at, Answered("last_change", "weather", "weather"))
    keep(store, "a", WORDS, gone, Entry(WORDS.at, Answered("no_such_thing", "1", "1")))
    system = small_system(tmp_path)
    session = Session(system, FakeLookup(system.book), store)
    session.resume("a")
    assert session.case.values == {}
    assert [n.code for n in session.screen().notes] == ["book_changed", "resumed"]
    session.close()


WRITER = """
import sys, itertools
from pathlib import Path
from diagnose.case.events import Answered, Complained, Entry
from diagnose.case.journal import Store
keeper = Store(Path(sys.argv[1])).journal("a")
entries = [Entry("t", Complained("x", ("y",)))]
for i in itertools.count():
    keeper(entries)
    print(i, flush=True)
    entries.append(Entry("t", Answered("n", str(i), "x" * 200)))
"""


@pytest.mark.parametrize("after", [1, 20, 75])
def test_every_acknowledged_answer_survives_a_kill(store, after):
    with subprocess.Popen([sys.executable, "-c", WRITER, str(store.folder)], text=True,
                          stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        for _ in range(after):
            acknowledged = int(writer.stdout.readline())
        writer.kill()
        for line in writer.stdout:
            acknowledged = int(line) if line.endswith("\n") else acknowledged
    assert len(store.load("a")) >= acknowledged + 1


def test_a_case_resumed_stands_exactly_where_it_was_left(store, tmp_path):
    system = small_system(tmp_path)
    first = Session(system, FakeLookup(system.book), store)
    for line in ("gush", "1", "", "grind", "back", "beans"):
        first.take(line)
    before = first.screen()
    first.leave()
    again = Session(system, FakeLookup(system.book), store)
    again.resume(first.id)
    again.notes = []
    assert again.screen() == before and again.case.entries == first.case.entries
    again.close()


def test_a_journal_sees_every_event_before_the_next_step(store, tmp_path):
    case = Case(small_system(tmp_path), journal=store.journal("a"))
    case.complain("gush", ["too_fast"])
    assert store.load("a") == case.entries
    case.answer("last_change", "grind")
    assert store.load("a") == case.entries
    case.back()
    assert store.load("a") == case.entries
    case.journal.release()


def test_an_unreadable_folder_is_an_error_to_be_said(store, monkeypatch):
    keep(store, "a", WORDS)

    def closed(folder):
        raise PermissionError(13, "Permission denied", str(folder))

    monkeypatch.setattr(os, "scandir", closed)
    with pytest.raises(OSError, match="Permission denied"):
        store.open_cases()
