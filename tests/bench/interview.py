"""Interviews of simulated persons: our choice of questions against three others.

    python tests/bench/interview.py --people 300 --seed 1

Each person has a fault of the book (one in five has two), complains and answers by the
book's own likelihoods, one answer in twenty wrong, one question in five not to be answered,
and is cured by remedies with the chances the book gives them. Chance is the same for the same
person under every strategy. Minutes are those of questions, tries and giving up, as the
planner counts them. With `--homes` the faults are as common as the book says; else every
cause comes before any comes twice, and most are rare ones. Simulated persons prove the
strategy, not the knowledge.
"""

from __future__ import annotations

import argparse
import gc
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from diagnose.book.with_house import load
from diagnose.case.case import Ask, Case, Done, Fix, Recheck, Stop
from diagnose.reason.plan import CALL_MINUTES, GIVE_UP_MINUTES
from diagnose.reason.questions.ask import State
from diagnose.reason.system import System
from tests.bench import calibration
from tests.bench.people import TODAY, Person, people
from tests.bench.strategies import AtRandom, Chosen, GreedyEntropy, Questionnaire

MOST_STEPS = 200
"""So many that a questionnaire of the whole list can be put, and its fixes tried."""
WARMING = 300
"""Cases after which all engines are made and the caches are full."""
ASKED_TOO = 0.1
CLEARING_MINUTES = 10.0
"""Dealing with a hazard as its caution asks."""


@dataclass
class Outcome:
    """How one interview went."""

    minutes: float = 0.0
    questions: int = 0
    fixes: int = 0
    ended: str = ""
    first: bool = False
    """One of the person's faults stood first when the first fix was suggested."""
    seconds: list[float] = field(default_factory=list)
    """What each next step took to choose."""


def interview(system: System, person: Person) -> Outcome:
    """Ask and fix until it is solved, stopped or given up."""
    case, outcome = Case(system, today=TODAY), Outcome()
    case.complain("", person.complaints)
    while not outcome.ended:
        if isinstance(system, Chosen):
            system.put = outcome.questions
        begun = time.perf_counter()
        step = case.step()
        outcome.seconds.append(time.perf_counter() - begun)
        _take(case, step, person, outcome)
        if outcome.questions + outcome.fixes > MOST_STEPS:
            _give_up(outcome, "endless")
    return outcome


def _take(case: Case, step: object, person: Person, outcome: Outcome) -> None:
    match step:
        case Ask(question):
            outcome.questions += 1
            _answer(case, person, question.observation, outcome)
        case Recheck(conflict):
            outcome.questions += 1
            for name in conflict.observations[:1]:
                _answer(case, person, name, outcome, look_again=True)
            case.let_stand(conflict)
        case Stop("hazard", caution) if case.book.cautions[caution].go_on:
            outcome.minutes += CLEARING_MINUTES
            case.clear(caution)
        case Stop("hazard"):
            outcome.minutes += CALL_MINUTES
            outcome.ended = "stopped by a hazard"
        case Fix(option):
            _try(case, person, option.remedy, outcome)
        case Stop("handover", option=option):
            assert option is not None
            _try(case, person, option.remedy, outcome)
            if not outcome.ended:               # the technician has come for the wrong thing
                outcome.minutes += GIVE_UP_MINUTES - CALL_MINUTES
                outcome.ended = "handed over"
        case Done():
            _give_up(outcome, "not in this book")


def _answer(case: Case, person: Person, name: str, outcome: Outcome,
            look_again: bool = False) -> None:
    outcome.minutes += person.minutes(name)
    value = person.answer(name, look_again)
    if value is None:
        case.dont_know(name)
    else:
        case.answer(name, value)


def _try(case: Case, person: Person, remedy: str, outcome: Outcome) -> None:
    if not outcome.fixes:
        outcome.first = case.ranked[0].cause in person.faults
    outcome.fixes += 1
    outcome.minutes += case.system.planner.cost[remedy]
    came_of_it = person.cured_by(remedy)
    if came_of_it == "solved":
        outcome.ended = "solved"
    else:
        case.tried(remedy, came_of_it, gone=person.over(case.complaints))  # type: ignore[arg-type]  # an Outcome


def _give_up(outcome: Outcome, reason: str) -> None:
    outcome.minutes += GIVE_UP_MINUTES
    outcome.ended = reason


Row = tuple[str, list[Outcome]]


def compare(system: System, count: int, seed: int, asked: Iterable[int], in_homes: bool = False,
            say: Callable[[str], None] = lambda text: None) -> list[Row]:
    """Every strategy on the same persons; of the questionnaires, each length in `asked`."""
    ways: list[tuple[str, System]] = [("expected saving (ours)", system),
                                      ("fixed order, whole list", Questionnaire(system, None))]
    ways += [(f"fixed order, best {n}", Questionnaire(system, n)) for n in asked]
    ways += [("random, 8 questions", AtRandom(system, seed)),
             ("greedy entropy", GreedyEntropy(system))]
    rows = []
    for name, way in ways:
        homes = people(system, count, seed, in_homes=in_homes)
        found = [interview(way, person) for person in homes]
        rows.append((name, found))
        say(row(name, found))
    return rows


def row(name: str, found: list[Outcome]) -> str:
    """A line of the table."""
    minutes = [o.minutes for o in found]
    error = statistics.stdev(minutes) / len(minutes) ** 0.5 if len(minutes) > 1 else 0.0
    return (f"{name:28} {statistics.mean(minutes):7.1f} ±{error:4.1f} {statistics.median(minutes):7.1f} "
            f"{statistics.mean(o.questions for o in found):7.1f} "
            f"{statistics.mean(o.fixes for o in found):6.1f} "
            f"{share(o.first for o in found):8.0f} % "
            f"{share(o.ended == 'solved' for o in found):7.0f} %")


def share(held: Iterable[bool]) -> float:
    """Percentage of those that hold."""
    taken = list(held)
    return 100 * sum(taken) / len(taken)


HEAD = (f"{'strategy':28} {'minutes':>7} {'':>5} {'median':>7} {'asked':>7} {'tried':>6} "
        f"{'top-1':>10} {'solved':>9}")


def latency(outcomes: Iterable[Outcome]) -> str:
    """Median and 95th percentile of the time to the next step, over all states."""
    taken = sorted(s * 1e3 for o in outcomes for s in o.seconds)
    return (f"{len(taken)} states: median {taken[len(taken) // 2]:.1f} ms, "
            f"95 % {taken[int(len(taken) * 0.95)]:.1f} ms, worst {taken[-1]:.1f} ms")


COLD = """
import sys, time
sys.path.insert(0, {root!r})
from diagnose.case.case import Case
from diagnose.book.with_house import load
from diagnose.reason.system import System
system = System(load([]).book)
system.reasoner, system.asker
case = Case(system)
case.complain("", ({symptom!r},))
begun = time.perf_counter()
case.step()
print(time.perf_counter() - begun)
"""


def cold(system: System, count: int = 12) -> str:
    """The first question of a fresh process, engines of evidence not yet made."""
    names = sorted(system.book.symptoms)
    taken = []
    for symptom in names[::max(1, len(names) // count)][:count]:
        code = COLD.format(root=str(Path(__file__).parents[2]), symptom=symptom)
        done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True,
                              text=True)
        taken.append(float(done.stdout) * 1e3)
    taken.sort()
    return f"median {taken[len(taken) // 2]:.0f} ms, worst {taken[-1]:.0f} ms of {len(taken)}"


def memory(system: System, runs: int) -> str:
    """Growth of resident memory over many inferences of different cases, engines all made."""
    from tests.bench.engine_bench import resident_mb

    rnd = random.Random(7)
    for _ in range(WARMING):
        _infer(system, rnd)
    gc.collect()
    before = resident_mb()
    for _ in range(runs):
        _infer(system, rnd)
    gc.collect()
    return f"{resident_mb() - before:.1f} MB over {runs} inferences"


def _infer(system: System, rnd: random.Random) -> None:
    """A case with any complaint and any answers to a dozen questions, and what to ask next."""
    book, asker = system.book, system.asker
    values = {name: rnd.choice(asker.answers(name))[0]
              for name in rnd.sample(sorted(book.observations), 12) if asker.answers(name)}
    complaints = (rnd.choice(sorted(book.symptoms)),)
    system.reasoner.infer(values, complaints)
    if rnd.random() < ASKED_TOO:
        asker.best(State(values, complaints, frozenset(values)))


def known_from_the_start(system: System, args: argparse.Namespace) -> str:
    """The floor: what it would take if the fault were known."""
    homes = people(system, args.people, args.seed, in_homes=args.homes)
    least = statistics.mean(sum(system.planner.expected_minutes({f: 1.0}) for f in person.faults)
                            for person in homes)
    return f"if the fault were known from the start: {least:.1f} minutes\n"


def main() -> None:
    """Print the table, the latencies and the calibration."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--people", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--asked", type=int, nargs="+", default=[4, 8, 12],
                        help="lengths of the fixed-order questionnaire")
    parser.add_argument("--homes", action="store_true", help="faults as common as the book says")
    parser.add_argument("--cases", type=Path, help="folder of case files to judge calibration by")
    parser.add_argument("--runs", type=int, default=10_000, help="inferences for the memory figure")
    args = parser.parse_args()
    system = System(load([]).book)
    book = system.book
    print(f"{len(book.causes)} causes, {len(book.observations)} observations, {args.people} persons")
    print("Simulated persons prove the strategy, not the knowledge.\n")
    print(known_from_the_start(system, args))
    print(HEAD)
    rows = compare(system, args.people, args.seed, args.asked, args.homes, print)
    print(f"\nnext step, {latency(rows[0][1])}")
    print(f"first step of a fresh process: {cold(system)}")
    print(f"memory: {memory(system, args.runs)}")
    print(f"\n{calibration.table(system, args.cases)}" if args.cases else "")


if __name__ == "__main__":
    main()
