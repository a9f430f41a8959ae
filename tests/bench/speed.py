"""Every speed and memory figure of the program in one table, with the targets beside it.

    python -m tests.bench.speed [--starts 5] [--cases 200] [--people 40]

A cold start is a process of its own, byte code and what the program keeps between starts made
before. `told` cases are those of the book with their answers given; the engines are warmed with
other cases than those timed. Wall time: run it while nothing else runs.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.casefile import build
from diagnose.cli import LITTLE_GARBAGE
from diagnose.engine import Engine, Fact
from diagnose.reading.complaint import understand
from diagnose.reason.infer.rules import COMPLAINT
from diagnose.reason.system import System
from tests.bench.interview import interview
from tests.bench.people import people
from tests.cases.judge import Worked, collection
from tests.engine.clips_book import ClipsBook

ROOT = Path(__file__).parents[2]
COMPLAINT_SAID = "the shot gushes out and tastes sour"
GUSHING = "demo/01-gushing.yaml"
LETTERS = 12
MOST_SCREENS = 12
SEED = 1


class Row(NamedTuple):
    """A line of the table."""

    name: str
    figure: float
    unit: str
    target: float | None = None
    least: bool = False
    """The target is the least allowed, not the most."""

    def __str__(self) -> str:
        return f"{self.name:52} {self.figure:9.3g} {self.unit:9} {self._held()}"

    def _held(self) -> str:
        if self.target is None:
            return ""
        held = self.figure >= self.target if self.least else self.figure <= self.target
        return f"{'>=' if self.least else '<='} {self.target:g}  {'held' if held else 'MISSED'}"


def middle(figures: Iterable[float], share: float = 0.5) -> float:
    """The figure that this share of the figures does not pass."""
    order = sorted(figures)
    return order[min(len(order) - 1, int(len(order) * share))]


# Cold starts.

class Start(NamedTuple):
    """What one process took."""

    seconds: float
    mb: float


def environment(data: Path) -> dict[str, str]:
    """As a person's, with a data folder of its own."""
    return {**{k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"},
            "DIAGNOSE_DATA": str(data), "PYTHONPATH": str(ROOT)}


def start(data: Path, *arguments: str) -> Start:
    """Run a command of the program to its end."""
    begun = time.perf_counter()
    child = subprocess.Popen([sys.executable, "-m", "diagnose", *arguments], cwd=ROOT, env=environment(data),
                             stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise SystemExit(f"diagnose {' '.join(arguments)} failed ({child.returncode})")
    return Start(time.perf_counter() - begun, used.ru_maxrss / 1e3)


def first_question(data: Path) -> float:
    """Seconds from the command to the first question, a complaint said and confirmed on the way."""
    begun = time.perf_counter()
    with subprocess.Popen([sys.executable, "-m", "diagnose", "--json", "--new"], cwd=ROOT, text=True,
                          env=environment(data), stdin=subprocess.PIPE, stdout=subprocess.PIPE) as child:
        assert child.stdin and child.stdout
        for _ in range(MOST_SCREENS):
            screen = json.loads(child.stdout.readline())["screen"]
            if screen["kind"] == "question":
                taken = time.perf_counter() - begun
                child.kill()
                return taken
            said = COMPLAINT_SAID if screen["kind"] == "complaint" else "1" if screen["choices"] else ""
            print(json.dumps({"say": said}), file=child.stdin, flush=True)
    raise SystemExit("no question came")


def cold(data: Path, starts: int) -> Iterator[Row]:
    """The start of each command, and what a `case` and a pile of letters hold."""
    def of(*arguments: str) -> list[Start]:
        return [start(data, *arguments) for _ in range(starts + 1)][1:]

    yield Row("lookup, cold", middle(s.seconds for s in of("lookup", "sour")), "s", 0.2)
    first_question(data)
    yield Row("first question, cold", middle(first_question(data) for _ in range(starts)), "s", 0.4)
    case = of("case", GUSHING)
    yield Row("case, cold", middle(s.seconds for s in case), "s", 0.4)
    yield Row("case, memory", max(s.mb for s in case), "MB", 90)
    for arguments in (("book", "list", "causes"), ("notebook", "shots"), ("house", "list")):
        yield Row(f"{' '.join(arguments)}, cold", middle(s.seconds for s in of(*arguments)), "s")
    yield Row(f"mail of {LETTERS} letters, memory", pile(data), "MB")


def pile(data: Path) -> float:
    """What the process of a pile of letters holds at most, in MB."""
    letters = data / "letters.txt"
    letters.write_text("\n\n".join(one.file.complaint for one in collection()[:LETTERS]), "utf-8")
    return start(data, "mail", str(letters), "--jobs", "1").mb


# Warm.

def drawn(count: int) -> tuple[list[Worked], list[Worked]]:
    """Cases to warm with, and as many others to time."""
    found = [one for one in collection() if one.file.answers]
    random.Random(SEED).shuffle(found)
    count = min(count, len(found) // 2)
    return found[:count], found[count:2 * count]


def timed(work: Callable[[], object]) -> float:
    """Seconds that something takes."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def told(system: System, count: int) -> Iterator[Row]:
    """Cases a second, all answers given."""
    warming, timing = drawn(count)
    for one in warming:
        build(system, one.file, one.tree).step()
    cases = [build(system, one.file, one.tree) for one in timing]
    ranked, steps = zip(*((timed(lambda case=case: case.ranked), timed(case.step))  # type: ignore[misc]
                          for case in cases), strict=True)   # one after the other, as a person goes
    yield Row("cases told to ranked causes", len(cases) / sum(ranked), "a second", 200, True)
    yield Row("cases told to the next step", len(cases) / (sum(ranked) + sum(steps)), "a second", 40, True)


def asked(system: System, count: int) -> Iterator[Row]:
    """The next question, over all states of simulated interviews."""
    taken = [1e3 * s for person in people(system, count, SEED) for s in interview(system, person).seconds]
    yield Row(f"next question, median of {len(taken)}", middle(taken), "ms")
    yield Row("next question, 95 %", middle(taken, 0.95), "ms", 50)


def read(system: System, count: int) -> Iterator[Row]:
    """Reading a complaint."""
    said = [one.file.complaint for part in drawn(count) for one in part]
    understand(system.book, said[0])
    taken = [1e3 * timed(lambda text=text: understand(system.book, text)) for text in said]  # type: ignore[misc]
    yield Row(f"reading a complaint, median of {len(said)}", middle(taken), "ms")
    yield Row("reading a complaint, 95 %", middle(taken, 0.95), "ms")


# Beside CLIPS.

def beside_clips(system: System, count: int) -> Iterator[Row]:
    """The book's rules for findings, on the facts of cases, in the engine and in CLIPS."""
    rules = system.reasoner.rulebook.findings
    made: dict[str, Engine | ClipsBook] = {}
    facts = [_given(system, build(system, one.file, one.tree)) for one in drawn(count)[1]]
    for name, kind in (("engine", Engine), ("CLIPS", ClipsBook)):
        yield Row(f"{len(rules)} rules compiled, {name}",
                  1e3 * timed(lambda name=name, kind=kind: made.update({name: kind(rules)})), "ms")  # type: ignore[misc]
        yield Row(f"one run over them, median, {name}",
                  middle(1e3 * timed(lambda f=f, by=made[name]: by.run(f)) for f in facts), "ms")  # type: ignore[misc]
    engine, clips = made["engine"], made["CLIPS"]
    assert isinstance(engine, Engine) and isinstance(clips, ClipsBook)
    yield Row(f"runs in which they differ, of {len(facts)}",
              sum(engine.run(f).facts != clips.run(f)[0] for f in facts), "", 0)


def _given(system: System, case: Case) -> Sequence[Fact]:
    measured = system.reasoner.measurer.measure(case.values, case.today)
    facts = system.reasoner.facts(case.values, measured, case.complaints)
    assert any(name == COMPLAINT for name, _ in facts) or not case.complaints
    return sorted(facts)


def rows(starts: int, cases: int, homes: int) -> Iterator[Row]:
    """The whole table."""
    with tempfile.TemporaryDirectory() as folder:
        yield from cold(Path(folder), starts)
    gc.set_threshold(LITTLE_GARBAGE)                         # as the command does
    system = System(load([]).book)
    yield from told(system, cases)
    yield from asked(system, homes)
    yield from read(system, cases)
    yield from beside_clips(system, cases)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--starts", type=int, default=5, help="cold starts of each command")
    parser.add_argument("--cases", type=int, default=200, help="cases timed")
    parser.add_argument("--people", type=int, default=40, help="interviews")
    given = parser.parse_args()
    for line in rows(given.starts, given.cases, given.people):
        print(line, flush=True)


if __name__ == "__main__":
    main()
