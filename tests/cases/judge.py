"""What a worked case should come to, held against what it does come to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from diagnose.book.yaml.source import Tree
from diagnose.case.case import Case
from diagnose.case.casefile import CaseFile, Expected, build, read
from diagnose.reason.explain import explain
from diagnose.reason.system import System
from diagnose.storage import paths

ASIDE = "aside"
"""Files whose name begins so were kept aside while the book was tuned."""


@dataclass(frozen=True)
class Worked:
    """One case of a file."""

    id: str
    chapter: str
    """The file's name, without its ending."""
    file: CaseFile
    tree: Tree

    @property
    def expect(self) -> Expected:
        """What it should come to."""
        assert self.file.expect is not None, f"{self.id} expects nothing"
        return self.file.expect


@dataclass(frozen=True)
class Verdict:
    """How a case came out."""

    case: Case
    expected: tuple[tuple[str, ...], ...]
    """The faults; each with the causes any of which will do."""
    first: bool
    """The (chief) fault stands first."""
    near: bool
    """Every fault is among the first three or the companions."""
    fix: bool | None
    """The first fix is a right one; None where the case names none or a hazard stops it."""
    missing: tuple[str, ...]
    """Cautions that do not appear."""
    stops: bool
    """It stops where it should and only there."""

    @property
    def causes(self) -> bool:
        """Is the fault found, or are both of a case with two?"""
        return self.near if len(self.expected) > 1 else self.first

    @property
    def passed(self) -> bool:
        """Is all as it should be?"""
        return self.causes and self.fix is not False and not self.missing and self.stops


def worked(path: Path) -> list[Worked]:
    """The cases of a file, in its order."""
    return [Worked(f"{path.stem}/{found.title or at}", path.stem, found, tree)
            for at, (found, tree) in enumerate(read(path), 1)]


def collection(files: Iterable[Path] = ()) -> list[Worked]:
    """The cases of these files; where none are named, all of the book's but those kept aside."""
    return [one for path in files or _open_files() for one in worked(path)]


def _open_files() -> list[Path]:
    return [p for p in paths.chapters(paths.shipped() / "cases") if not p.stem.startswith(ASIDE)]


def judge(system: System, one: Worked) -> Verdict:
    """Work a case out from all its answers and hold it against what is expected of it."""
    return verdict(build(system, one.file, one.tree), one)


def verdict(case: Case, one: Worked, shown: Iterable[str] = (), stopped: bool = False) -> Verdict:
    """Hold a case as it stands against what is expected of it.

    `shown`: cautions shown on the way; `stopped`: a hazard stopped it that is dealt with by now.
    """
    expect = one.expect
    faults = tuple(tuple(fault.split("|")) for fault in expect.causes)
    order = [r.cause for r in case.ranked]
    seen = {*order[:3], *(c.cause for c in case.companions)}
    right = None if not expect.fix or expect.stopped == "hazard" else first_fix(case) in expect.fix
    cautions = _cautions(case).union(shown)
    return Verdict(case, faults, not faults or order[0] in faults[0],
                   all(seen.intersection(fault) for fault in faults), right,
                   tuple(c for c in expect.cautions if c not in cautions),
                   (bool(case.hazard) or stopped) == (expect.stopped == "hazard") and
                   (expect.stopped != "handover" or _handed_over(case)))


def first_fix(case: Case) -> str:
    """The remedy suggested first, or empty."""
    return case.options[0].remedy if case.options else ""


def _handed_over(case: Case) -> bool:
    return bool(case.options) and case.options[0].who in case.refused


def _cautions(case: Case) -> set[str]:
    """What is shown by the time of the first fix."""
    shown = set(case.cautions)
    for option in case.options[:1]:
        shown.update(case.book.remedies[option.remedy].cautions)
    return shown


def trace(one: Worked, verdict: Verdict) -> Iterator[str]:
    """What was concluded and why, for the person who mends the book."""
    case, expect = verdict.case, one.expect
    yield f"{one.tree.place(())}: {one.file.complaint}"
    yield f"complaints: {', '.join(case.complaints) or 'none understood'}"
    yield "findings: " + ", ".join(f"{n}: {'/'.join(v)}" for n, v in case.inference.findings.items())
    wanted = [c for fault in verdict.expected for c in fault]
    shown = [r for i, r in enumerate(case.ranked) if i < 4 or r.cause in wanted]
    for ranked in shown:
        mark = "expected " if ranked.cause in wanted else ""
        yield f"{mark}{ranked.cause or 'not in this book'} {ranked.probability:.3f}"
        yield from (f"    {line}" for line in explain.why(case.inference, ranked, case.values))
    yield "companions: " + ", ".join(c.cause for c in case.companions)
    yield f"first fix: {first_fix(case)}; expected one of: {', '.join(expect.fix)}"
    yield f"cautions missing: {', '.join(verdict.missing) or 'none'}; hazard: {case.hazard or 'none'}"
