"""`diagnose calc SUBJECT`: the trade's arithmetic on its own, in plain words or JSON."""

from __future__ import annotations

import argparse
import json
import os
from datetime import datetime
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING

from diagnose.commands.late import late

if TYPE_CHECKING:
    from diagnose.calc.form import Given, Results, Subject

SUBJECTS = {
    "shot": "ratio, flow, strength and extraction; age of the beans",
    "grinder": "how far to turn it, what to throw away, the timer's setting",
    "milk": "steam, dilution, volume, time on the wand, air for the cup",
    "boiler": "gauge and temperature, boiling by altitude, the cooling flush",
    "water": "hardness, scale and its time, corrosion, probes, blending",
    "upkeep": "what is due by the use so far",
}


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("calc", help="work out a number: " + ", ".join(SUBJECTS))
    inner = top.add_subparsers(dest="subject", metavar="SUBJECT", required=True,
                               parser_class=late(top))
    for name, about in SUBJECTS.items():
        one = inner.add_parser(name, help=about, description=f"{about[0].upper()}{about[1:]}. Numbers "
                               "carry their unit, as in 18g, 19s, 1.1bar, 10dH.")
        one.stated = partial(_options, name)
        one.add_argument("--json", action="store_true", help="one JSON object")
        one.add_argument("--data", metavar="DIR", help="the data folder with the notebook")
        one.set_defaults(run=_run, name=name)


def _load(name: str) -> Subject:
    subject: Subject = import_module(f"diagnose.calc.{name}").SUBJECT
    return subject


def _options(name: str, parser: argparse.ArgumentParser) -> None:
    for field in _load(name).takes:
        parser.add_argument(field.option, dest=f"given_{field.name}", metavar="N"
                            if field.kind == "quantity" else "TEXT", help=field.ask.replace("%", "%%"),
                            action="append" if field.kind == "several" else "store")


def _run(args: argparse.Namespace) -> int:
    from diagnose.calc import form
    from diagnose.storage import paths

    if args.data:
        os.environ[paths.DATA] = args.data
    subject = _load(args.name)
    typed = {f.name: getattr(args, f"given_{f.name}") for f in subject.takes}
    given = form.read(subject, typed, datetime.now().astimezone())
    answer = form.run(subject, given)
    print(json.dumps(_data(subject, given, answer)) if args.json else _page(answer))
    return 0


def _data(subject: Subject, given: Given, answer: Results) -> dict[str, object]:
    values = {n: v for n, v in given.values.items() if v not in (None, [])}
    return {"subject": subject.name, "given": values, "results": [r.data() for r in answer.results],
            "remarks": list(answer.remarks)}


def _page(answer: Results) -> str:
    lines = []
    for result in answer.results:
        lines.append(f"{result.label}: {result.text()}")
        if result.source:
            lines.append(f"    {result.source}")
    if answer.plot:
        from diagnose.notebook.plot import draw

        lines += ["", draw(answer.plot)]
    return "\n".join([*lines, *(f"\n{remark}" for remark in answer.remarks)])
