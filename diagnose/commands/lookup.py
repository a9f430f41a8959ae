"""`diagnose lookup WORDS...`: lay words to symptoms, causes, findings or remedies."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from diagnose.errors import UserError

if TYPE_CHECKING:
    from diagnose.present.parts import PracticeAnswer
    from diagnose.reason.likeliest import Causes
    from diagnose.search.documents import Catalogue
    from diagnose.search.index import Hit

KINDS = ("symptoms", "causes", "findings", "remedies")
LONGEST = 2_000
MOST = 50
WIDTH = 78


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """State the command's arguments."""
    top = commands.add_parser("lookup", help="find a symptom, cause, finding or remedy by lay words")
    top.add_argument("words", nargs="*", metavar="WORDS", help="the trouble, in your own words")
    top.add_argument("--kind", choices=KINDS, default="symptoms", help="what to search")
    top.add_argument("--limit", type=int, default=5, metavar="N", help=f"how many, up to {MOST}")
    top.add_argument("--list", action="store_true", help="everything of the kind, by area")
    top.add_argument("--json", action="store_true", help="one JSON object")
    top.add_argument("--house", action="append", metavar="DIR", help="house folder laid over")
    top.set_defaults(run=_run)


def _run(args: argparse.Namespace) -> int:
    text = " ".join(args.words).strip()
    if not text and not args.list:
        raise UserError('say what is wrong, as in `diagnose lookup "dry foam"`, or see everything '
                        "with `diagnose lookup --list`")
    if not 1 <= args.limit <= MOST:
        raise UserError(f"--limit {args.limit} is not from 1 to {MOST}")
    from diagnose.search.documents import of_files

    catalogue, broken = of_files(args.house)
    for problem in broken:
        print(f"diagnose: left out: {problem}", file=sys.stderr)
    if args.list:
        return _list(catalogue, args)
    from diagnose.search.index import Index

    hits = Index(catalogue).search(text[:LONGEST], (args.kind,), args.limit)
    told = _answers(text[:LONGEST], args) if args.kind == "symptoms" else []
    causes = _causes(hits, args) if args.kind == "symptoms" else {}
    if args.json:
        from diagnose.present.parts import plain

        print(json.dumps({"query": text, "kind": args.kind, "asked": plain(told),
                          "hits": [_data(hit, causes.get(hit.id, ())) for hit in hits]}))
    else:
        found = _page(text, args.kind, hits, causes) if hits or not told else ""
        print(_both(told, found) if told else found)
    return 0 if hits or told else 1


def _both(told: list[PracticeAnswer], found: str) -> str:
    """The answers, then the troubles that the words are like."""
    from diagnose.ui import words
    from diagnose.ui.answers import told as parts
    from diagnose.ui.layout import plain

    return "\n\n".join((plain(parts(told), WIDTH), *([f"{words.LIKE_TROUBLES}\n{found}"] if found else ())))


def _answers(text: str, args: argparse.Namespace) -> list[PracticeAnswer]:
    """The answers to what the words ask; the book is wanted only where they ask something."""
    from diagnose.reading.questions import asked, asks

    if not asks(text):
        return []
    from diagnose.book.with_house import load
    from diagnose.present.worked_answer import answers

    book = load(args.house).book
    return answers(book, text, asked(book, text))


def _causes(hits: Iterable[Hit], args: argparse.Namespace) -> Mapping[str, Causes]:
    """The likeliest causes of the symptoms found."""
    from diagnose.reason.likeliest import of_files

    return of_files(args.house, [hit.id for hit in hits])


def _data(hit: Hit, causes: Causes) -> dict[str, Any]:
    return {"kind": hit.kind, "id": hit.id, "name": hit.name, "score": round(hit.score, 3),
            "matched": hit.matched, "causes": [{"id": i, "name": n} for i, n in causes]}


def _page(text: str, kind: str, hits: Iterable[Hit], causes: Mapping[str, Causes]) -> str:
    lines = []
    for number, hit in enumerate(hits, 1):
        lines.append(f"{number}. {hit.name}  [{hit.id}]")
        if hit.matched != hit.name:
            lines.append(f"   as in: {hit.matched}")
        if named := causes.get(hit.id):
            lines.append("   often: " + "; ".join(name for _, name in named))
    if lines:
        return "\n".join(lines)
    tail = "" if kind == "symptoms" else f" --kind {kind}"
    shown = text if len(text) <= 60 else text[:57] + "..."
    return (f"Nothing in the book fits \"{shown}\". Try other words, or see everything with "
            f"`diagnose lookup --list{tail}`.")


def _list(catalogue: Catalogue, args: argparse.Namespace) -> int:
    items = catalogue.items(args.kind)
    if args.json:
        print(json.dumps({"kind": args.kind, "entries": [
            {"id": i.id, "name": i.name, "area": i.area} for i in items]}))
        return 0
    area = ""
    for item in sorted(items, key=lambda i: i.area):
        if item.area != area:
            area = item.area
            print(f"{area}:")
        print(f"  {item.name}  [{item.id}]")
    return 0
