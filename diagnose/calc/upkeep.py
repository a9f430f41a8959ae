"""What upkeep is due by the use so far."""

from __future__ import annotations

from diagnose.calc.form import Given, Result, Results, Subject, option, several
from diagnose.compute import jobs, units
from diagnose.compute.errors import ComputeError
from diagnose.compute.upkeep import UseCounts
from diagnose.notebook import memory
from diagnose.notebook.store import Notebook

_COUNTS = {"shots": "count", "litres": "l", "kg": "kg", "days": "days"}


def _work(given: Given) -> Results:
    use = _use(given)
    if use is None:
        given.has("shots", "days", "litres", "coffee")
        return Results(())
    rows = jobs.due(use, cartridge_l=given.cartridge)
    return Results([Result(r.name, jobs.NAMES[r.name].capitalize(), jobs.when(r), basis=r.basis)
                    for r in rows],
                   remarks=["The maker's instructions win over these lives, which are common practice."])


def _use(given: Given) -> UseCounts | None:
    """The use as given, else the notebook's."""
    if given.days is None and given.shots is None:
        return memory.use(Notebook(), given.now)
    if not given.has("days", "shots"):
        return None
    coffee = None if given.coffee is None else given.coffee / 1000
    return UseCounts(given.shots, given.days, given.litres, coffee, dict(map(_done, given.done)))


def _done(text: str) -> tuple[str, dict[str, float]]:
    """"detergent / 300 shots / 40 days": a job and the counts when it was last done."""
    job, *parts = (p.strip() for p in text.split("/"))
    example = 'write it like "detergent / 300 shots / 40 days"'
    if job not in jobs.NAMES:
        raise ComputeError(f"--done names {job!r}, which is no job; it is one of {', '.join(jobs.NAMES)}.")
    if not parts:
        raise ComputeError(f'--done "{text}" gives no count; {example}.')
    return job, dict(_count(part, example) for part in parts)


def _count(text: str, example: str) -> tuple[str, float]:
    """A count by its own unit: shots, litres, kg or days."""
    for name, unit in _COUNTS.items():
        if text.split()[-1:] == [name] or (name != "shots" and text.endswith(unit)):
            return name, units.read(text, unit)
    raise ComputeError(f'"{text}" is no count of shots, litres, kg or days; {example}.')


SUBJECT = Subject("upkeep", "what is due by the use so far", (
    option("shots", "count", "shots pulled in all", high=1e6, bare=True),
    option("days", "days", "over how long", low=0.01, high=36525),
    option("litres", "l", "water used in all", high=1e6),
    option("coffee", "g", "coffee ground in all", high=1e8),
    option("cartridge", "l", "litres a water cartridge lasts", low=0.1, high=100000),
    several("done", 'a job last done at, as "detergent / 300 shots / 40 days"; more than once'),
), _work, notebook=True)
