"""Whatever a file holds and whatever is typed: no traceback, nothing over two seconds, nothing that steers.

    CAMPAIGN=10 python -m pytest tests/campaigns/test_fuzz.py -m campaign -n 0

Files are sound ones with pieces cut out, doubled and put in; lines are drawn from what consults say
and from what nobody would. Every reader of files and every prompt is run through the command itself,
over the small book. Seconds are those of this process, so that others' work does not count.
"""

from __future__ import annotations

import contextlib
import io
import json
import sqlite3
import sys
import tempfile
import time
import unicodedata
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnose.cli import main
from diagnose.storage import paths
from diagnose.ui.shown import shown
from tests.campaigns.conftest import times
from tests.case.small import book_folder

EXAMPLES = times(15)
MOST_SECONDS = 2.0
trying = settings(max_examples=EXAMPLES, deadline=None, derandomize=True, database=None,
                  suppress_health_check=list(HealthCheck))

NASTY = [
    b"\0", b"\x1b[2J", b"\xff\xfe", b"\xe2\x80\xae", b"\xef\xbb\xbf", b"&a", b"*a", b"!!python/object:os.x",
    b"{", b"}", b"[" * 400, b"9" * 5000, b"1e999", b"-", b"nan", b'"', b"'", b": ", b"\t", b"\r\n", b"\n\n",
    b"\xed\xa0\x80", b"%s%n", b",,,,", b"\x85", b"a" * 20_000, b"- " * 300, b"<<: ", b"yes", b"~"]
SAID = [
    "", "1", "2", "9", "b", "d", "?", "!", "back", "why", "how", "help", "save", "quit", "what if beans",
    "gush", "it only drips", "19 s", "-4 s", "1e999 s", "18 g in, 36 g out", "burning", "frost", "same",
    "worse", "solved", "restart", "next", "can I leave it on all day?", "2026-02-30", "yesterday", "yes",
    "no"]
HOUSE = """\
schema: 1
chapter: ours
title: Ours
rules:
  own: {when: {shot_time: "< 20 s"}, weigh: {grind_coarse: strong for}, source: house}
cautions:
  own_caution:
    {signal: NOTICE, text: Slow work here., avoid: Take time., when: {shot_time: "> 40 s"}, source: house}
"""
CASE = """\
complaint: it gushes
today: 2026-03-31
answers: {shot_time: 19 s, last_change: grind}
tried: {finer: same}
"""
SHOTS = """\
at,dose_g,yield_g,shot_time_s,taste
2026-03-31T08:00:00+00:00,18,36,28,fine
2026-03-31T08:05:00+00:00,18,40,19,
"""
AT = "2026-03-31T08:00:00+00:00"
JOURNAL = "\n".join(json.dumps(line) for line in (
    {"schema": 1, "case": "a"},
    {"at": AT, "event": {"type": "complained", "text": "gush", "symptoms": ["too_fast"]}},
    {"at": AT, "event": {"type": "answered", "name": "last_change", "value": "grind"}},
    {"taken_back": 1}, {"closed": "put_by"})) + "\n"


@st.composite
def spoilt(draw: st.DrawFn, sound: bytes) -> bytes:
    """A sound file with a few pieces cut out, doubled or put in."""
    data = sound
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(data)))
        end = min(len(data), at + draw(st.integers(0, 40)))
        put = draw(st.one_of(st.just(b""), st.sampled_from(NASTY), st.binary(max_size=6),
                             st.just(data[at:end] * 2)))
        data = data[:at] + put + data[end:]
    return data


lines = st.lists(st.one_of(st.sampled_from(SAID), st.text(max_size=30), st.sampled_from(NASTY).map(
    lambda raw: raw.decode("utf-8", "replace"))), max_size=12)


@pytest.fixture(scope="module", autouse=True)
def small_book(tmp_path_factory: pytest.TempPathFactory):
    """The small book in the shipped one's place."""
    folder = book_folder(tmp_path_factory.mktemp("small"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(paths, "shipped", lambda: folder)
        yield folder


def run(arguments: list[str], typed: str = "") -> str:
    """One command with what is typed to it; fails for a traceback, for too long, for what would steer."""
    out, before = io.StringIO(), sys.stdin
    raw = io.BytesIO(typed.encode("utf-8", "surrogateescape"))
    sys.stdin = io.TextIOWrapper(raw, "utf-8", errors="replace")
    begun = time.process_time()
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
            status = main(arguments)
    except SystemExit as left:
        status = left.code
    finally:
        sys.stdin = before
    took, said = time.process_time() - begun, out.getvalue()
    assert status in (0, 1, 2), said
    assert took <= MOST_SECONDS, f"{took:.1f} s"
    assert shown(said) == said
    assert not any(unicodedata.category(sign) == "Cc" for sign in said if sign not in "\n\t")
    return said


@contextlib.contextmanager
def folder():
    """A folder, and a data folder in it, for one trial."""
    with tempfile.TemporaryDirectory() as name, pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAGNOSE_DATA", f"{name}/data")
        yield Path(name)


def written(place: Path, data: bytes) -> str:
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(data)
    return str(place)


# Files.

LETTERS = "it gushes\n\nit only drips\n\nburning smell"
CSV = "id,complaint\n1,it gushes\n2,it drips\n"
LINES = '{"complaint": "it gushes", "id": "1"}\n{"complaint": "drip"}\n'
FILES: dict[str, tuple[str, str, list[str]]] = {
    "case": ("case.yaml", CASE, ["case", "{file}"]),
    "case-json": ("case.yaml", CASE, ["case", "--json", "--places", "{file}"]),
    "case-report": ("case.yaml", CASE, ["case", "--report", "{at}/page.html", "{file}"]),
    "house-check": ("ours/ours.yaml", HOUSE, ["house", "check", "--house", "{at}/ours"]),
    "house-list": ("ours/ours.yaml", HOUSE, ["house", "list", "--house", "{at}/ours"]),
    "house-lookup": ("ours/ours.yaml", HOUSE, ["lookup", "--house", "{at}/ours", "gush"]),
    "book-check": ("ours/ours.yaml", HOUSE, ["book", "check", "--house", "{at}/ours"]),
    "import-csv": ("shots.csv", SHOTS, ["notebook", "import", "{file}"]),
    "mail-text": ("bag.txt", LETTERS, ["mail", "{file}", "--jobs", "1"]),
    "mail-csv": ("bag.csv", CSV, ["mail", "{file}", "--jobs", "1"]),
    "mail-jsonl": ("bag.jsonl", LINES, ["mail", "{file}", "--jobs", "1"]),
    "journal-list": ("data/cases/a.jsonl", JOURNAL, ["consult", "--list"]),
    "journal-resume": ("data/cases/a.jsonl", JOURNAL, ["consult", "--plain", "--resume", "a"]),
    "journal-notebook": ("data/cases/a.jsonl", JOURNAL, ["notebook", "cases"]),
}


@pytest.mark.parametrize("name", FILES)
def test_file(name):
    where, sound, command = FILES[name]

    @trying
    @given(spoilt(sound.encode()))
    def trial(data: bytes) -> None:
        with folder() as at:
            file = written(at / where, data)
            run([part.format(at=at, file=file) for part in command])

    trial()


def test_exchange_json_and_a_spoilt_notebook():
    with folder() as at:
        written(at / "s.csv", SHOTS.encode())
        run(["notebook", "import", str(at / "s.csv")])
        run(["notebook", "export", str(at / "all.json")])
        table, kept = (at / "all.json").read_bytes(), next((at / "data").glob("*.sqlite*"), None)
        assert kept, list((at / "data").iterdir())
        with sqlite3.connect(kept) as db:
            db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        raw, name = kept.read_bytes(), kept.name

    @trying
    @given(spoilt(table), spoilt(raw))
    def trial(table: bytes, raw: bytes) -> None:
        with folder() as at:
            run(["notebook", "import", written(at / "all.json", table)])
        with folder() as at:
            written(at / "data" / name, raw)
            for what in ("shots", "due", "equipment"):
                run(["notebook", what])
            run(["notebook", "add", "shot", "--dose", "18 g", "--yield", "36 g", "--time", "28 s"])

    trial()


@trying
@given(spoilt(b'{"pile": "x"}\n{"id": "bag-00001", "key": "k", "file": "f", "kind": "found"}\n'))
def test_spoilt_mail_journal(data):
    with folder() as at:
        bag = written(at / "bag.txt", b"it gushes")
        written(at / "bag-replies" / "replies.jsonl", data)
        run(["mail", bag, "--jobs", "1"])


# Prompts.

PROMPTS = {
    "consult-plain": ["consult", "--plain", "--new"],
    **{f"house-add-{kind}": ["house", "add", kind]
       for kind in ("rule", "target", "cause", "question", "caution", "answer")},
    **{f"notebook-add-{kind}": ["notebook", "add", kind]
       for kind in ("shot", "weighing", "water", "cleaning", "equipment")},
}


@pytest.mark.parametrize("name", PROMPTS)
def test_prompt(name):
    @trying
    @given(lines)
    def trial(said: list[str]) -> None:
        with folder():
            run(PROMPTS[name], "\n".join(said) + "\n")

    trial()


@trying
@given(lines, st.binary(max_size=60))
def test_json_lines(said, raw):
    with folder():
        last = raw.decode("utf-8", "surrogateescape")
        typed = "\n".join([*(json.dumps({"say": line}) for line in said), last])
        run(["consult", "--json", "--new"], typed + "\n")


WORDS = st.one_of(st.text(min_size=1, max_size=60), st.sampled_from(SAID), st.sampled_from(NASTY).map(
    lambda raw: raw.decode("utf-8", "replace"))).filter(
    lambda text: text.strip("./") and not text.startswith("-") and "\0" not in text)


@trying
@given(WORDS, st.sampled_from([["lookup"], ["book", "show"], ["house", "show"], ["case"], ["mail"],
                               ["notebook", "add", "cleaning"], ["notebook", "import"], ["house", "retire"]]))
def test_words_of_an_argument(text, command):
    with folder():
        run([*command, text])


OPTIONS = {"shot": ["--dose", "--yield", "--time"], "milk": ["--milk"], "water": ["--hardness"],
           "boiler": ["--gauge"], "grinder": ["--time"], "upkeep": []}


@pytest.mark.parametrize("subject", OPTIONS)
def test_calculation(subject):
    from importlib import import_module

    taken = import_module(f"diagnose.calc.{subject}").SUBJECT.takes
    values = st.one_of(WORDS, st.sampled_from(["18 g", "0 g", "-3 s", "1e308 g", "93 C", "1.1 bar", "10 dH"]))

    @trying
    @given(st.lists(st.tuples(st.sampled_from([f.option for f in taken] or ["--json"]), values), max_size=4))
    def trial(typed: list[tuple[str, str]]) -> None:
        with folder():
            run(["calc", subject, *(part for option, value in typed for part in (option, value))])

    trial()
