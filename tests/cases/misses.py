"""The list of known misses: what each case that fails falls short in, held against what it does now.

The list is one mechanism for two ends: nobody forgets what the book can't do yet, and no case is
lost unseen. So it is checked both ways: a miss that is not listed fails, and so does a listed one
that is mended. A few cases move with nearly every change to the book; `slack` says how many
causes and fixes may have moved, each way, before the list must be written anew. No new miss is
let pass for cautions and stops.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from tests.cases.judge import Verdict, Worked

FILE = Path(__file__).with_name("misses.yaml")
COMMAND = "python -m tests.cases.table --misses"
HEAD = f"""\
# Cases that do not come out as they should: what each misses, and why as far as that can be told
# from outside. Written by `{COMMAND}`; `note:` and `slack:` are kept.
# slack: causes and fixes that may be missed beside these, and entries that may be mended, before
# the list must be written anew; a caution or stop that is newly missed never passes.
"""
SLACK = 12
LOOSE = ("cause", "fix")
"""What the slack counts for."""

Missed = dict[str, frozenset[str]]
"""Case to what it misses: cause, fix, stop, or `caution NAME`."""


@dataclass(frozen=True)
class Listed:
    """The list as its file holds it."""

    slack: int
    missed: Missed
    notes: dict[str, str]
    """What a person found out about a miss."""


def missed(verdict: Verdict) -> frozenset[str]:
    """What a case falls short in."""
    short = {f"caution {name}" for name in verdict.missing}
    short |= {"cause"} if not verdict.causes else set()
    short |= {"fix"} if verdict.fix is False else set()
    short |= {"stop"} if not verdict.stops else set()
    return frozenset(short)


def why(verdict: Verdict) -> str:
    """Why a cause is missed, as far as the outside shows it; empty where it is not."""
    if verdict.causes:
        return ""
    case, wanted = verdict.case, {c for fault in verdict.expected for c in fault}
    if not case.complaints:
        return "no symptom is read from the words"
    shows = {s for cause in wanted if cause in case.book.causes for s in case.book.causes[cause].shows}
    if shows.isdisjoint(case.complaints):
        return "read as symptoms that the cause does not show"
    return "read, but another cause outweighs it"


def read(path: Path = FILE) -> Listed:
    """The list; an empty one where there is none yet."""
    data = yaml.safe_load(path.read_text()) if path.exists() else {}
    cases = data.get("cases") or {}
    return Listed(int(data.get("slack", SLACK)),
                  {name: frozenset(one["missed"]) for name, one in cases.items()},
                  {name: one["note"] for name, one in cases.items() if "note" in one})


def written(verdicts: Mapping[str, Verdict], old: Listed) -> str:
    """The list as it should stand, in the order of the cases."""
    cases = {}
    for name, verdict in verdicts.items():
        if short := missed(verdict):
            told = {"missed": sorted(short), "why": why(verdict), "note": old.notes.get(name, "")}
            cases[name] = {key: value for key, value in told.items() if value}
    body = yaml.safe_dump({"slack": old.slack, "cases": cases}, sort_keys=False, width=100,
                          allow_unicode=True, default_flow_style=None)
    return HEAD + totals(verdicts.values()) + body


def totals(verdicts: Iterable[Verdict]) -> str:
    """How many miss what, as comment lines."""
    all_of = list(verdicts)
    short = [missed(v) for v in all_of]
    counts = {what: sum(any(m.startswith(what) for m in one) for one in short)
              for what in ("cause", "fix", "caution", "stop")}
    return (f"# {len(all_of)} cases, {sum(map(bool, short))} of them miss something: "
            + ", ".join(f"{what} {count}" for what, count in counts.items()) + "\n")


@dataclass(frozen=True)
class Held:
    """Where the list and the cases differ, each as (case, what)."""

    new: tuple[tuple[str, str], ...]
    """Missed and not listed."""
    mended: tuple[tuple[str, str], ...]
    """Listed and missed no longer."""
    slack: int

    @property
    def too_many(self) -> tuple[tuple[str, str], ...]:
        """The differences that are not let pass."""
        grave = tuple(one for one in self.new if one[1] not in LOOSE)
        loose = tuple(one for one in self.new if one[1] in LOOSE)
        return (*grave, *(loose if len(loose) > self.slack else ()),
                *(self.mended if len(self.mended) > self.slack else ()))


def held(listed: Listed, now: Missed) -> Held:
    """The list against what is missed now."""
    old = {(name, what) for name, short in listed.missed.items() for what in short}
    new = {(name, what) for name, short in now.items() for what in short}
    return Held(tuple(sorted(new - old)), tuple(sorted(old - new)), listed.slack)


def worth_a_trace(difference: Held, cases: Iterable[Worked], most: int = 5) -> list[Worked]:
    """The first few cases that newly miss something which is not let pass."""
    new = {name for name, what in difference.too_many if (name, what) in difference.new}
    return [one for one in cases if one.id in new][:most]
