"""Shot time, yield and ratio as they went, shot by shot: plots, and the same as a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from diagnose.compute.robust import median
from diagnose.notebook import memory
from diagnose.notebook.fields import KINDS
from diagnose.notebook.plot import Plot
from diagnose.notebook.store import Notebook, Row

SERIES: tuple[tuple[str, str, str, Callable[[Row], float]], ...] = (
    ("Shot time", "s", "{:.3g} s", lambda r: float(r["shot_time_s"])),
    ("Yield", "g", "{:.3g} g", lambda r: float(r["yield_g"])),
    ("Ratio", "g of drink to 1 g of coffee", "1:{:.3g}", lambda r: float(r["yield_g"] / r["dose_g"])))
"""What is drawn: its name, its unit, how a number is said, and the number of a shot."""
NONE = "No shot is logged yet; try `diagnose notebook add shot --dose 18g --yield 36g --time 28s`."


def rows(notebook: Notebook) -> list[Row]:
    """The shots, the oldest first."""
    return sorted(notebook.rows("shots"), key=lambda r: memory.instant(r["at"]))


def plots(shots: Sequence[Row]) -> list[Plot]:
    """A plot for each series; none where there is no shot."""
    if not shots:
        return []
    first = memory.instant(shots[0]["at"])
    days = [(memory.instant(r["at"]) - first).total_seconds() / memory.DAY_S for r in shots]
    return [Plot(_sentence(name, said, values), f"days since {first:%Y-%m-%d}", unit,
                 list(zip(days, values, strict=True)))
            for name, unit, said, number in SERIES for values in [list(map(number, shots))]]


def _sentence(name: str, said: str, values: Sequence[float]) -> str:
    low, high, middle, last = map(said.format, (min(values), max(values), median(values), values[-1]))
    if len(values) == 1:
        return f"{name}: {last}, one shot."
    return f"{name}: {low} to {high} over {len(values)} shots, the middle one {middle}, the last {last}."


def table(shots: Sequence[Row]) -> list[list[str]]:
    """The same in words, its head first: what a screen reader can read out."""
    stated = {f.name: f for f in KINDS["shots"]}
    return [["when", "grinder", "mark", "time", "yield", "ratio"], *(
        [r["at"][:16].replace("T", " "), r["grinder"] or "", stated["mark"].show(r["mark"]),
         stated["shot_time_s"].show(r["shot_time_s"]), stated["yield_g"].show(r["yield_g"]),
         f"1:{r['yield_g'] / r['dose_g']:.2g}"] for r in shots)]


def lined_up(table_: Sequence[Sequence[str]]) -> str:
    """A table as lines, its columns one under the other."""
    widths = [max(map(len, column)) for column in zip(*table_, strict=True)]
    return "\n".join("  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip()
                     for line in table_)
