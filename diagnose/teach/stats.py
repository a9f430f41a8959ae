"""What the records come to: what is complained of most, what advice worked, what to teach next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from diagnose.book.book import Book
from diagnose.compute import units
from diagnose.teach.records import CASE_FILE, CONSULT, LETTER, TroubleRecord

MOST = 10
"""Lines of a list in the text; the data has all."""
TAUGHT = 3
OUTCOMES = {"solved": "solved it", "better": "made it better", "same": "changed nothing",
            "worse": "made it worse"}
FEW = 2
"""Times tried from which advice that mostly fails is worth a lesson."""
EXPECTED = ("very common", "common")
"""How common a cause is in homes that is named in the text where it never came up."""

NOTHING = ("Nothing is on record yet: a consult is, once something was said in it. Letters and case files "
           "count where you name them.")


def data(book: Book, told: Sequence[TroubleRecord], shot_times: Sequence[float], unread: Sequence[str]
         ) -> dict[str, Any]:
    """The figures as plain data; `shot_times` are those of the notebook, in seconds."""
    advice, complaints = _advice(book, told), _complaints(book, told)
    return {
        "sources": {source.replace(" ", "_") + "s": sum(t.source == source for t in told)
                    for source in (CONSULT, LETTER, CASE_FILE)},
        "closed": dict(Counter(t.closed or "open" for t in told if t.source == CONSULT)),
        "complaints": complaints,
        "causes": [{"cause": c, "name": book.causes[c].name, "count": n}
                   for c, n in Counter(t.cause for t in told).most_common() if c in book.causes],
        "advice": advice,
        "asked": [{"practice": q, "name": book.practice[q].asks, "count": n}
                  for q, n in Counter(q for t in told for q in t.asked).most_common() if q in book.practice],
        "shots": _shots(book, shot_times),
        "never": [{"cause": c, "name": stated.name, "common": stated.common}
                  for c, stated in book.causes.items() if c not in {t.cause for t in told}],
        "teach_next": _next(complaints, advice),
        "unread": list(unread),
    }


def _complaints(book: Book, told: Iterable[TroubleRecord]) -> list[dict[str, Any]]:
    counts: Counter[str] = Counter()
    solved: Counter[str] = Counter()
    for one in told:
        counts.update(one.symptoms)
        solved.update(one.symptoms if one.solved else ())
    return [{"symptom": s, "name": book.symptoms[s].name, "count": n, "solved": solved[s]}
            for s, n in counts.most_common() if s in book.symptoms]


def _advice(book: Book, told: Iterable[TroubleRecord]) -> list[dict[str, Any]]:
    """What was tried with what came of it, the most tried first."""
    tried = Counter(pair for one in told for pair in one.tried)
    times: Counter[str] = Counter()
    for (remedy, _), count in tried.items():
        times[remedy] += count
    return [{"remedy": r, "name": book.remedies[r].name, "tried": n, **{o: tried[r, o] for o in OUTCOMES}}
            for r, n in times.most_common() if r in book.remedies]


def _shots(book: Book, times: Sequence[float]) -> dict[str, Any]:
    """How many shots there are, and how many ran outside the house's time."""
    aim = book.targets.get("shot_time")
    if aim is None or aim.low is None or aim.high is None:
        return {"count": len(times)}
    return {"count": len(times), "too_fast": sum(t < aim.low for t in times),
            "too_slow": sum(t > aim.high for t in times), "from_s": aim.low, "to_s": aim.high}


def _next(complaints: Sequence[dict[str, Any]], advice: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The complaints most often left unsolved, then the advice that mostly did not help."""
    left = sorted(complaints, key=lambda c: (c["solved"] - c["count"], -c["count"]))[:TAUGHT]
    failed = [a for a in advice if a["tried"] >= FEW and 2 * (a["same"] + a["worse"]) >= a["tried"]]
    return ([{"symptom": c["symptom"], "name": c["name"], "unsolved": c["count"] - c["solved"]} for c in left]
            + [{"remedy": a["remedy"], "name": a["name"], "failed": a["same"] + a["worse"],
                "tried": a["tried"]} for a in failed[:TAUGHT]])


def page(found: dict[str, Any]) -> str:
    """The figures as text."""
    parts = [_sources(found)]
    common = sorted((n for n in found["never"] if n["common"] in EXPECTED and any(found["sources"].values())),
                    key=lambda n: EXPECTED.index(n["common"]))
    for title, lines in (
            ("Complained of most", map(_complaint, found["complaints"])),
            ("What it most often was", (f"{c['count']}  {c['name']}" for c in found["causes"])),
            ("What was tried, and what came of it", map(_tried, found["advice"])),
            ("Asked most", (f"{q['count']}  {q['name']}" for q in found["asked"])),
            (_never_title(found), (n["name"] for n in common)),
            ("To teach next", map(_lesson, found["teach_next"]))):
        parts += _part(title, list(lines))
    return "\n".join(parts)


def _sources(found: dict[str, Any]) -> str:
    counts = [_count(n, source.replace("_", " ")) for source, n in found["sources"].items()]
    ends = [f"{n} {how.replace('_', ' ')}" for how, n in found["closed"].items()]
    lines = [f"On record: {', '.join(counts)}." + (f" The consults: {', '.join(ends)}." if ends else "")]
    if found["shots"].get("count") and "from_s" in found["shots"]:
        lines.append("Of {count} shots in the notebook {too_fast} ran faster and {too_slow} slower than "
                     "the house's {window}.".format(**found["shots"], window=units.span(
                         found["shots"]["from_s"], found["shots"]["to_s"], "s")))
    if not any(found["sources"].values()):
        lines.append(NOTHING)
    return "\n".join(lines)


def _count(number: int, many: str) -> str:
    return f"{number} {many if number != 1 else many.removesuffix('s')}"


def _part(title: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield f"\n{title}"
        yield from (f"  {line}" for line in lines[:MOST])
        if len(lines) > MOST:
            yield f"  and {len(lines) - MOST} more, with --json"


def _complaint(one: dict[str, Any]) -> str:
    solved = f", {one['solved']} of them solved" if one["solved"] else ""
    return f"{one['count']}  {one['name']}{solved}  [{one['symptom']}]"


def _tried(one: dict[str, Any]) -> str:
    came = ", ".join(f"{one[o]} {said}" for o, said in OUTCOMES.items() if one[o])
    return f"{one['tried']}  {one['name']}: {came}"


def _never_title(found: dict[str, Any]) -> str:
    return f"Never came up: {len(found['never'])} causes; of those common in homes"


def _lesson(one: dict[str, Any]) -> str:
    if "symptom" in one:
        return f"{one['name']} ({one['unsolved']} unsolved): diagnose handout {one['symptom']}"
    return f"{one['name']}: it failed {one['failed']} times of {one['tried']}; show it by hand"
