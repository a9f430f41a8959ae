"""`diagnose notebook`: keep shots, weighings, waters, cleanings and equipment, and look at them."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from diagnose.commands.late import late
from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.notebook.exchange import Taken
    from diagnose.notebook.fields import Field
    from diagnose.notebook.store import Notebook, Row

ADDABLE = ("shot", "weighing", "water", "cleaning", "equipment")
TABLES = ("shots", "weighings", "waters", "cleanings", "equipment")
TRENDS = ("shots", "time", "dose", "rest", "scale")
LAST = 20


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("notebook", help="keep and look at shots, weighings, waters, cleanings "
                              "and equipment")
    inner = top.add_subparsers(dest="what", metavar="WHAT", required=True,
                               parser_class=type(top))
    _adding(inner)
    for table in TABLES:
        one = _one(inner, table, f"list {table}", _list)
        one.add_argument("--last", type=int, default=LAST, metavar="N", help="how many, the latest")
        one.add_argument("--json", action="store_true", help="one JSON object, everything in it")
        one.set_defaults(table=table, all=False)
        if table == "equipment":
            one.add_argument("--all", action="store_true", help="everything the book can remember")
    cases = _one(inner, "cases", "list the consults and what came of them", _cases)
    cases.add_argument("--json", action="store_true", help="one JSON object")
    due = _one(inner, "due", "upkeep that is due by the use logged", _due)
    due.add_argument("--json", action="store_true", help="one JSON object")
    plot = _one(inner, "plot", "what the numbers show, as a sentence and a text plot", _plot)
    plot.add_argument("trend", choices=TRENDS, help="shots: time, yield and ratio as they went; time: shot "
                      "time against mark; dose: drift of the timed dose; rest: days since the roast; scale: "
                      "forecast")
    plot.add_argument("--table", action="store_true", help="the numbers in lines, as a screen reader reads "
                      "them, instead of the picture")
    page = _one(inner, "page", "write the notebook as one HTML page, with its plots", _page)
    page.add_argument("-o", "--output", default="notebook.html", metavar="FILE",
                      help="notebook.html if not given")
    page.add_argument("--replace", action="store_true", help="write over a page that is there")
    _carrying(inner)


def _one(inner: Any, name: str, about: str, run: Callable[..., int]) -> Any:
    one = inner.add_parser(name, help=about, description=about)
    one.add_argument("--data", metavar="DIR", help="the data folder, where it is not the usual one")
    one.set_defaults(run=_in_folder, do=run)
    return one


def _adding(inner: Any) -> None:
    top = inner.add_parser("add", help="keep one entry: by options, or asked line by line")
    kinds = top.add_subparsers(dest="kind", metavar="KIND", required=True, parser_class=late(top))
    for kind in ADDABLE:
        _one(kinds, kind, f"keep one {kind}", _add).stated = partial(_options, kind)


def _options(kind: str, parser: argparse.ArgumentParser) -> None:
    from diagnose.notebook.fields import KINDS, SINGULAR

    positional = {"equipment": ("name", "value"), "cleaning": ("what",)}.get(kind, ())
    for field in KINDS[SINGULAR[kind]]:
        if field.option in positional:
            parser.add_argument(f"given_{field.option}", nargs="?", default="",
                                metavar=field.option.upper(), help=field.ask)
        else:
            parser.add_argument(f"--{field.option}", dest=f"given_{field.option}", default="",
                                metavar="TEXT", help=f"{field.ask} ({_hint(field)})")


def _hint(field: Field) -> str:
    hint = field.example()
    return (hint + (", needed" if field.required else "")).replace("%", "%%")


def _carrying(inner: Any) -> None:
    out = _one(inner, "export", "write entries to a CSV or JSON file", _export)
    out.add_argument("file", metavar="FILE", help="its name ends in .csv (one table) or .json (all)")
    out.add_argument("--what", choices=TABLES, help="only this table; for CSV, shots if not given")
    out.add_argument("--replace", action="store_true", help="write over a file that is there")
    back = _one(inner, "import", "take in entries from a CSV or JSON file: all of them or none",
                _import)
    back.add_argument("file", metavar="FILE", help="a file as export writes it, or a table of your own "
                      "saved as CSV; how its columns are read is shown first")
    back.add_argument("--column", action="append", default=[], metavar="HEADING=FIELD",
                      help="what a column is, where it is not read right; FIELD left empty leaves it out")
    back.add_argument("--yes", action="store_true", help="take the columns as they are read")
    back.add_argument("--what", choices=TABLES, help="the table, where it is not told by the columns")
    back.add_argument("--new-only", action="store_true", help="skip entries that are known already")


def _in_folder(args: argparse.Namespace) -> int:
    from diagnose.notebook.store import Notebook
    from diagnose.storage import paths

    if args.data:
        os.environ[paths.DATA] = args.data
    return int(args.do(args, Notebook(), datetime.now().astimezone().replace(microsecond=0)))


# Adding.

def _add(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.notebook import fields

    kind = fields.SINGULAR[args.kind]
    typed = {f.option: getattr(args, f"given_{f.option}") for f in fields.KINDS[kind]}
    row = fields.read(kind, typed, now) if any(typed.values()) else _asked(kind, now)
    if kind == "equipment":
        row = _equipment(row)
    notebook.add(kind, row)
    print(f"Kept in the notebook: {_line(kind, row)}")
    return 0


def _asked(kind: str, now: datetime) -> Row:
    """An entry asked for line by line; a value that can't be is asked for again."""
    from diagnose.notebook import fields

    print("Enter leaves out what is not needed; q stops and keeps nothing.", file=sys.stderr)
    while True:
        typed: dict[str, str] = {}
        for field in fields.KINDS[kind]:
            typed[field.option] = _answer(field, now)
        try:
            return fields.read(kind, typed, now)
        except fields.FieldError as error:
            print(f"{error}. Once more, then.", file=sys.stderr)


def _answer(field: Field, now: datetime) -> str:
    from diagnose.notebook.fields import FieldError

    while True:
        print(f"{field.ask} ", end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not sys.stdin.isatty():
            print(file=sys.stderr)
        if not line or line.strip().lower() in ("q", "quit"):
            raise UserError("stopped before the entry was complete; nothing was kept")
        try:
            field.read(line, now)
        except FieldError as error:
            print(f"{error}.", file=sys.stderr)
        else:
            return line


def _equipment(row: Row) -> Row:
    """The entry with its answer as the book reads it; UserError for what the book does not ask."""
    from diagnose.book.answers import AnswerError, parse
    from diagnose.book.problems import nearest
    from diagnose.book.with_house import load
    from diagnose.notebook.fields import bare_number
    from diagnose.notebook.wire import kept

    book = load().book
    lasting = {n: o for n, o in book.observations.items() if o.equipment == "yes"}
    name = row["name"].lower().replace(" ", "_")
    if name not in lasting:
        raise UserError(f"no equipment {row['name']!r} in the book{nearest(name, lasting)}; "
                        "`diagnose notebook equipment --all` names what it asks for")
    stated = lasting[name]
    if stated.kind == "quantity" and stated.unit != "count" and bare_number(row["value"]):
        raise UserError(f'{name} reads "{row["value"]}" without a unit; write it like '
                        f'"{row["value"]} {stated.unit}"')
    try:
        return {**row, "name": name, "value": kept(stated, parse(stated, row["value"]))}
    except AnswerError as error:
        raise UserError(f"{name}: {error}") from None


# Looking.

def _list(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    if args.all:
        return _can_be_known()
    rows = notebook.rows(args.table)
    if args.json:
        print(json.dumps({args.table: rows}))
        return 0
    if args.last < 1:
        raise UserError(f"--last {args.last} is less than 1")
    shown = rows[-args.last:]
    if not rows:
        print(f"No {args.table} in the notebook yet.")
    for row in shown:
        print(_line(args.table, row))
    if len(shown) < len(rows):
        print(f"The last {len(shown)} of {len(rows)}; --last {len(rows)} shows all.")
    return 0


def _can_be_known() -> int:
    from diagnose.book.with_house import load

    for name, stated in load().book.observations.items():
        if stated.equipment == "yes":
            answers = ", ".join(stated.answers) or stated.unit or "yes, no"
            print(f"{name}: {stated.ask} ({answers})")
    return 0


def _line(kind: str, row: Row) -> str:
    from diagnose.notebook.fields import KINDS

    said = {f.name: f.show(row[f.name]) for f in KINDS[kind]}
    at = said.pop("at")[:16].replace("T", " ")
    if kind == "equipment":
        return f"{row['name']}: {_value(row['value'])}  (since {at[:10]})"
    named = {"mark": "mark {}", "dose_g": "{} in", "yield_g": "{} out", "timer_s": "timer {}",
             "roast_date": "roasted {}", "hardness_mg_l": "hardness {}", "ph": "pH {}",
             "alkalinity_mg_l": "alkalinity {}"}
    return "  ".join([at, *(named.get(n, "{}").format(text) for n, text in said.items() if text)])


def _value(text: str) -> str:
    number, _, unit = text.partition(" ")
    try:
        return f"{float(number):g}" + (f" {unit}" if unit != "count" else "")
    except ValueError:
        return text.replace("_", " ")


def _cases(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.case.events import Tried
    from diagnose.case.journal import Store
    from diagnose.storage import paths

    store = Store(paths.data() / "cases")
    try:
        found = store.cases(lambda why: print(f"diagnose: {why}", file=sys.stderr))
        tried = {kept.id: [(e.event.remedy, e.event.outcome) for e in store.load(kept.id)
                           if isinstance(e.event, Tried) and not e.undone] for kept, _ in found}
    except OSError as error:
        raise UserError(f"{store.folder}: {error.strerror}; mend its permissions") from None
    if args.json:
        print(json.dumps({"cases": [
            {"id": k.id, "at": k.at, "complaint": k.complaint, "answers": k.answers,
             "closed": closed, "tried": [{"remedy": r, "outcome": o} for r, o in tried[k.id]]}
            for k, closed in found]}))
        return 0
    for kept, closed in found:
        print(f"{kept.at[:16].replace('T', ' ')}  {closed.replace('_', ' ') or 'open'}  {kept.complaint}")
        for remedy, outcome in tried[kept.id]:
            print(f"    tried {remedy.replace('_', ' ')}: {outcome}")
    if not found:
        print("No consults on file yet.")
    return 0


def _due(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.compute import jobs
    from diagnose.notebook import memory

    use = memory.use(notebook, now)
    rows = jobs.due(use) if use else []
    if args.json:
        print(json.dumps({"due": [
            {"job": r.name, "name": jobs.NAMES[r.name], "used": r.used, "by": r.by,
             "days_left": r.days_left, "basis": r.basis} for r in rows]}))
        return 0
    if not rows:
        print("Nothing is logged yet, so nothing can be said to be due; begin with "
              "`diagnose notebook add shot`.")
        return 0
    for row in rows:
        print(f"{jobs.when(row)}: {jobs.NAMES[row.name]} ({row.basis})")
    print("Descaling goes by the maker's word and the water: see `diagnose notebook plot scale`.\n"
          "The maker's instructions win over these lives, which are common practice.")
    return 0


def _plot(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.notebook import over_time, trends
    from diagnose.notebook.plot import draw, listed

    if args.trend != "shots":
        plot = trends.TRENDS[args.trend](notebook, now)
        print(listed(plot) if args.table else draw(plot))
        return 0
    shots = over_time.rows(notebook)
    if args.table and shots:
        print(over_time.lined_up(over_time.table(shots)))
    else:
        print("\n\n".join(draw(plot, height=8) for plot in over_time.plots(shots)) or over_time.NONE)
    return 0


def _page(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.notebook.exchange import save
    from diagnose.report import log
    from diagnose.report.markup import can_be_saved

    path = Path(args.output)
    can_be_saved(path)
    if path.exists() and not args.replace:
        raise UserError(f"{path} is there already; name another file with -o, or add --replace")
    save(path, log.html(notebook, now))
    print(f"Written: {path}")
    return 0


# Carrying.

def _export(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.notebook import exchange

    count = exchange.write(notebook, Path(args.file), args.what, args.replace)
    print(f"Written: {args.file}, {count} {'entry' if count == 1 else 'entries'}")
    return 0


def _import(args: argparse.Namespace, notebook: Notebook, now: datetime) -> int:
    from diagnose.notebook import exchange
    from diagnose.notebook.store import add_all

    named = dict(_column(text) for text in args.column)
    found = exchange.taken(Path(args.file), args.what, now, named)
    if found.columns and not _agreed(args, found):
        print("Nothing was taken in.")
        return 0
    added, known = add_all(notebook, found.entries, args.new_only)
    print(f"Taken in: {added} {'entry' if added == 1 else 'entries'}"
          + (f"; {known} known already" if known else ""))
    return 0


def _column(text: str) -> tuple[str, str]:
    head, equals, name = text.rpartition("=")
    if not equals or not head.strip():
        raise UserError(f"--column {text!r} is not HEADING=FIELD")
    return head.strip(), name.strip()


def _agreed(args: argparse.Namespace, found: Taken) -> bool:
    """Are the columns read right? Asked at a terminal; elsewhere it must be said by an option."""
    print(f"{args.file}, {len(found.entries)} {found.kind}; I read its columns so:")
    print("\n".join(f"  {column.said(found.kind)}" for column in found.columns))
    if args.yes:
        return True
    if not sys.stdin.isatty():
        raise UserError("nothing was taken in; if the columns are read right, add --yes, else say what one "
                        "is with `--column HEADING=FIELD`")
    print("Is that right? (yes or no) ", end="", flush=True)
    return sys.stdin.readline().strip().lower() in ("y", "yes")
