"""The written summary for a technician (or for the person's own records), as Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from diagnose.case.case import Case, Stop
from diagnose.case.events import COMPLAINT, NOTEBOOK, Tried, Unknown
from diagnose.present import cautions, stopping
from diagnose.reason.explain import explain
from diagnose.reason.explain.say import Words, percent

OUTCOMES = {"solved": "solved it", "better": "made it better", "same": "changed nothing",
            "worse": "made it worse"}
MOST_CAUSES = 6
BLANKS = ("Machine (make and type)", "Bought, or how old", "Serial number", "Grinder", "Name and telephone")
"""What a technician asks first and no consult knows: to be filled in by hand."""
BLANK = "." * 40
DANGER, CAUTIONS = "Danger first", "Cautions"
"""Titles of what a reply says above the summary already."""


def summary(case: Case, today: date) -> str:
    """Complaint, machine, answers, findings, causes considered, what was tried, cautions."""
    parts = [f"# An espresso machine's trouble, {today.isoformat()}", "",
             *(f"- {name}: {BLANK}" for name in BLANKS), "",
             *_section(DANGER, _stop(case)),
             *_section("Complaint", _complaint(case)),
             *_section("What it most likely needs", _work(case)),
             *_section("Machine and grinder", _answers(case, equipment=True)),
             *_section("What was observed", _answers(case, equipment=False)),
             *_section("Could not be told", _unknown(case)),
             *_section("What follows from it", _findings(case)),
             *_section("What was tried", tried(case)),
             *_section("Causes considered", _causes(case)),
             *_section("Spoken against by the answers",
                       [explain.name(case.book, r.cause) for r in case.ruled_out]),
             *_section(CAUTIONS, _cautions(case)),
             stopping.closing(case), ""]
    return "\n".join(parts)


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    found = [line for line in lines if line]
    if found:
        yield from (f"## {title}", "", *(f"- {_plain(line[0].upper() + line[1:])}" for line in found), "")


def _plain(text: str) -> str:
    """One line, signs that Markdown would take for its own made harmless."""
    return "".join(f"\\{c}" if c in "\\`*_<>[]#|" else c for c in " ".join(text.split()))


def _complaint(case: Case) -> list[str]:
    said = [f'In the owner\'s words: "{case.complaint}"'] if case.complaint else []
    return said + [case.book.symptoms[n].name for n in case.complaints]


def _stop(case: Case) -> list[str]:
    """The signs of danger told and what stops, before all else."""
    step = case.step()
    if isinstance(step, Stop) and step.caution:
        return [line.text for line in stopping.lines(stopping.hazard(case, step.caution))
                if line.code not in ("title", "end", "go_on")]
    return [line.text for line in stopping.told(stopping.signs(case))] + [stopping.may_use(case.use.text)]


def _work(case: Case) -> list[str]:
    step = case.step()
    if not isinstance(step, Stop) or step.option is None:
        return []
    return [f"Work for a technician: {case.book.remedies[step.option.remedy].name} "
            f"(chance that it cures: {percent(step.option.chance)})"]


def _answers(case: Case, equipment: bool) -> list[str]:
    words = Words(case.inference, case.values)
    return [f"{case.book.observations[n].ask} {words.answer(n, v)}{_from(case, n)}"
            for n, v in case.values.items()
            if (case.book.observations[n].equipment == "yes") == equipment]


def _from(case: Case, name: str) -> str:
    return {COMPLAINT: " (read from the owner's words)", NOTEBOOK: " (from the notebook)"}.get(
        case.given(name), "")


def _unknown(case: Case) -> list[str]:
    names = dict.fromkeys(e.name for e in case.events if isinstance(e, Unknown))
    return [case.book.observations[n].ask for n in names if n in case.unknown]


def _findings(case: Case) -> list[str]:
    book = case.book
    return [book.findings[n].values[v].says + "."
            for n, values in case.inference.findings.items() for v in values
            if book.findings[n].values[v].abnormal == "yes"]


def _causes(case: Case) -> list[str]:
    return [f"{explain.name(case.book, r.cause)}: {percent(r.probability)}"
            for r in case.ranked[:MOST_CAUSES] if r.probability >= 0.01]


def tried(case: Case) -> list[str]:
    """The fixes tried, with what came of each."""
    return [f"{case.book.remedies[e.remedy].name}: {OUTCOMES[e.outcome]}{_gone(case, e)}"
            for e in case.fixes if e.remedy in case.book.remedies]


def _gone(case: Case, tried: Tried) -> str:
    names = [case.book.symptoms[s].name for s in tried.gone if s in case.book.symptoms]
    return f" (gone since: {'; '.join(names)})" if names else ""


def _cautions(case: Case) -> list[str]:
    option = getattr(case.step(), "option", None) if isinstance(case.step(), Stop) else None
    found = cautions.of_remedy(case, option.remedy) if option else cautions.several(
        case.book, [c for c in case.cautions if c != case.hazard])
    return list(map(cautions.one_line, found))
