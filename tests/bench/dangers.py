"""How many dangers that people tell of are held up, and how many harmless words are.

    python -m tests.bench.dangers FILE...

FILEs hold `hazards:` and `harmless:`, lists of complaints with a `text:` each. The mailbag must put a
letter before a person; a case file must stop, name a hazard or be remarked upon; a consult must claim
or offer the danger.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

import yaml

from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.casefile import CaseFile, complain
from diagnose.case.hazards import Alarms
from diagnose.mail.reading import Desk
from diagnose.reading import danger
from diagnose.reading.complaint import understand
from diagnose.reason.system import System
from tests.bench.reading import TODAY, share


def doors(system: System) -> dict[str, Callable[[str], bool]]:
    """Each door's name, and whether it holds a text up."""
    book, desk, alarms = system.book, Desk(system, TODAY), Alarms(system, TODAY)

    def letter(text: str) -> bool:
        return desk.read(text).kind in ("hazard", "look")

    def file(text: str) -> bool:
        case = Case(system, today=TODAY)
        remarks = complain(case, CaseFile(complaint=text))
        return bool(case.hazard or case.signs or any("danger" in r.lower() for r in remarks))

    def consult(text: str) -> bool:
        read = understand(book, text, TODAY)
        return bool(danger.heard(book, text)) or any(map(alarms.symptom, (*read.symptoms, *read.maybe)))

    return {"mailbag": letter, "case file": file, "consult": consult}


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("files", type=Path, nargs="+", metavar="FILE")
    texts: dict[str, list[str]] = {"hazards": [], "harmless": []}
    for file in parser.parse_args().files:
        for kind, rows in yaml.safe_load(file.read_text("utf-8")).items():
            texts[kind] += [row["text"] for row in rows]
    for door, held in doors(System(load([]).book)).items():
        for kind, given in texts.items():
            print(f"{door}: {kind:10} held up {share(sum(map(held, given)), len(given))}")


if __name__ == "__main__":
    main()
