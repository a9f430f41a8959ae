"""Any entry of the book as a page to read: what it says, why, and what it hangs together with."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

from diagnose.book.book import Book
from diagnose.book.conditions import Test
from diagnose.book.model import (
    Cause,
    Caution,
    Finding,
    Hazard,
    Measure,
    Observation,
    Practice,
    Remedy,
    Rule,
    Symptom,
    Target,
)
from diagnose.book.pages import wording
from diagnose.compute import units


class Paragraph(NamedTuple):
    """A piece of a page: its text, what leads it, whether it is a heading."""

    text: str
    lead: str = ""
    heading: bool = False


Page = Iterator[Paragraph]


def page(book: Book, kind: str, name: str) -> list[Paragraph]:
    """The page of one entry."""
    entry = getattr(book, kind)[name]
    found = [Paragraph(f"{title(kind, entry)}  [{name}]", heading=True)]
    found += [p for p in _PAGES[kind](book, name, entry) if p.text]
    return [*found, *_foot(book, kind, name, entry)]


def title(kind: str, entry: Any) -> str:
    """What an entry is called."""
    for field in ("name", "label", "ask", "asks"):
        if text := getattr(entry, field, ""):
            return text
    return f"{entry.signal}: {entry.text}" if isinstance(entry, Caution) else "a rule"


def _section(heading: str, texts: Iterable[str], numbered: bool = False) -> Page:
    for i, text in enumerate(texts, 1):
        if i == 1:
            yield Paragraph(heading, heading=True)
        yield Paragraph(text, f"{i}. " if numbered else "- ")


def _foot(book: Book, kind: str, name: str, entry: Any) -> Page:
    yield Paragraph("Where it comes from", heading=True)
    yield Paragraph(f"Source: {entry.source or 'none stated'}")
    if entry.note:
        yield Paragraph(f"Note: {entry.note}")
    house = book.house(kind, name)
    yield Paragraph(f"Stands in {book.place(kind, name)}" + (f", house {house}" if house else ""))
    if change := book.layers.changes.get((kind, name)):
        yield Paragraph(f"It {change.what} the entry that stood there before, at {change.place}")
    for check, reason in entry.allow.items():
        yield Paragraph(f"The check {check} is let pass: {reason}")


def _target(book: Book, name: str, entry: Target) -> Page:
    for side in ("low", "value", "high"):
        if (number := getattr(entry, side)) is not None:
            yield Paragraph(f"{side}: {units.show(number, entry.unit)}", "- ")
    yield from _section("Used by", dict.fromkeys(_of(book, user) for user in _users(book, name)))


def _users(book: Book, target: str) -> Iterator[tuple[str, str]]:
    used: dict[tuple[str, str], None] = {}
    for path, data in book.stated_conditions():
        if f"target.{target}" in str(data).replace("'", " ").replace(".low", " ").split():
            used[path[0], path[1]] = None
    yield from used


def _observation(book: Book, name: str, entry: Observation) -> Page:
    yield Paragraph(entry.how)
    if entry.kind == "quantity" and entry.range:
        low, high = (units.show(end, entry.unit) for end in entry.range)
        yield Paragraph(f"A number in {entry.unit}, from {low} to {high}.")
    yield from _section("Answers", (f"{a.says}  [{n}]" for n, a in entry.answers.items()))
    yield Paragraph(f"It takes {_minutes(entry.minutes)} to find out.")
    yield from _cautions(book, entry.cautions)
    yield from _requires(book, "observations", name, "Asked unless it is known that not")
    yield from _bearing(book, name)


def _minutes(count: float) -> str:
    return "less than a minute" if count < 1 else "a minute" if count == 1 else f"{count:g} minutes"


def _bearing(book: Book, name: str) -> Page:
    """What each value speaks for by itself, and what it bears on together with others."""
    alone: dict[str, list[str]] = {}
    others: dict[str, None] = {}
    for path, node in book.conditions.items():
        if name not in wording.names(node):
            continue
        if isinstance(node, Test):
            alone.setdefault(_tested(book, node), []).append(_borne(book, path))
        else:
            others[_of(book, path)] = None
    yield from _section("By itself it speaks so", (f"{value}: {'; '.join(dict.fromkeys(said))}"
                                                   for value, said in alone.items()))
    yield from _section("Together with other answers it bears on", others)


def _tested(book: Book, node: Test) -> str:
    """The test of a name without the name: its answers, or how it compares."""
    said, label = wording.said(book, node), wording.label(book, node.name)
    return said.removeprefix(label).strip().removeprefix("is ")


def _borne(book: Book, path: tuple[str, ...]) -> str:
    """What comes of a condition, in words."""
    kind, name = path[:2]
    if kind == "findings":
        return book.findings[name].values[path[3]].says
    if kind == "causes" and path[2] == "evidence":
        return f"{book.causes[name].name} ({book.causes[name].evidence[int(path[3])].weight})"
    if kind == "rules":
        rule = book.rules[name]
        return "; ".join([*(wording.value(book, f, v) for f, v in rule.then.items()),
                          *(f"{book.causes[c].name} ({grade})" for c, grade in rule.weigh.items()),
                          *([_of(book, ("cautions", rule.caution))] if rule.caution else [])])
    return _of(book, path)


def _of(book: Book, path: tuple[str, ...]) -> str:
    """The entry that a condition stands in, as a page names it."""
    kind, name = path[:2]
    singular = {"observations": "question", "remedies": "remedy"}.get(kind, kind.removesuffix("s"))
    said = title(kind, getattr(book, kind)[name]) if kind not in ("cautions", "rules") else ""
    return f"{singular}: {said or name}"


def _measure(book: Book, name: str, entry: Measure) -> Page:
    yield Paragraph(f"Worked out by {entry.compute} from:")
    yield from (Paragraph(f"{p}: {source}", "- ") for p, source in entry.given.items())
    if entry.default:
        yield Paragraph(f"Where it can't be worked out: {entry.default}")
    yield from _bearing(book, name)


def _finding(book: Book, name: str, entry: Finding) -> Page:
    for value, stated in entry.values.items():
        yield Paragraph(f"{value}: {stated.says}" + (" (not as it should be)"
                        if stated.abnormal == "yes" else ""), heading=True)
        path = ("findings", name, "values", value, "when")
        if path in book.conditions:
            yield Paragraph(f"when {wording.when(book, path)}", "- ")
        for rule, own in book.rules.items():
            if own.then.get(name) == value:
                yield Paragraph(f"by the rule {rule}, when {wording.when(book, ('rules', rule, 'when'))}",
                                "- ")
        for symptom in book.symptoms.values():
            if symptom.finding.get(name) == value:
                yield Paragraph(f"when the complaint is: {symptom.name}", "- ")
    yield from _bearing(book, name)


def _symptom(book: Book, name: str, entry: Symptom) -> Page:
    for finding, value in entry.finding.items():
        yield Paragraph(f"Claims that {wording.value(book, finding, value)}.")
    yield from _section("People say", entry.lay)
    yield from _section("The words give way once this is known",
                        (wording.label(book, other) for other in entry.unless_known))
    order = {"always": 0, "often": 1, "sometimes": 2, "seldom": 3}
    causes = [(order[c.shows[name]], c) for c in book.causes.values() if name in c.shows]
    yield from _section("Causes", (f"{c.name} ({c.shows[name]}; {c.common} in homes)"
                                   for _, c in sorted(causes, key=lambda pair: pair[0])))


def _cause(book: Book, name: str, entry: Cause) -> Page:
    yield Paragraph(entry.what)
    yield Paragraph(f"Part: {entry.part}. In homes: {entry.common}."
                    + (" Nothing is wrong." if entry.normal == "yes" else ""))
    yield from _section("Shows as", (f"{book.symptoms[s].name} ({often})"
                                     for s, often in entry.shows.items()))
    yield from _requires(book, "causes", name, "All but ruled out unless this holds")
    yield from _section("Evidence", _evidence(book, name, entry))
    yield from _section("Look-alikes", (
        f"{book.causes[o.cause].name}: {o.tell} Ask: "
        + "; ".join(wording.label(book, ask).strip('"') for ask in o.ask) for o in entry.look_alikes))
    yield Paragraph("To make sure", heading=True)
    yield Paragraph(entry.confirm)
    yield from _section("Remedies", (
        f"{book.remedies[use.remedy].name} ({use.cures} cures; {book.remedies[use.remedy].who})"
        f"  [{use.remedy}]" for use in entry.remedies), numbered=True)
    yield Paragraph(f"Stop: {entry.stop}" if entry.stop else "")


def _evidence(book: Book, name: str, entry: Cause) -> Iterator[str]:
    for i, item in enumerate(entry.evidence):
        text = f"{item.weight}: {wording.when(book, ('causes', name, 'evidence', str(i), 'when'))}"
        text += f"; where that is known not to be so, {item.otherwise}" if item.otherwise else ""
        text += f"; of all on {item.group.replace('_', ' ')} only the weightiest counts" if item.group else ""
        yield text + (f". {item.note}" if item.note else "")
    for question, told in entry.tells.items():
        for answer, grade in told.items():
            yield f"{grade}: {wording.value(book, question, answer)}"
    for rule, own in book.rules.items():
        if name in own.weigh:
            yield f"{own.weigh[name]} (rule {rule}): {wording.when(book, ('rules', rule, 'when'))}"


def _remedy(book: Book, name: str, entry: Remedy) -> Page:
    yield from _cautions(book, entry.cautions)
    yield Paragraph(f"Before: {entry.before}" if entry.before else "")
    yield from _section("Steps", entry.steps, numbered=True)
    yield Paragraph(f"What it should change: {entry.should}")
    yield Paragraph(f"While it helps: {entry.again}" if entry.again else "")
    yield Paragraph(f"To undo: {entry.undo}" if entry.undo else "")
    yield Paragraph(f"Stop: {entry.stop}" if entry.stop else "")
    yield Paragraph(f"For: {entry.who}. Minutes: {entry.minutes:g}. Shots: {entry.shots}. "
                    f"Money: {entry.money}. Can be undone: {entry.reversible}."
                    + (f" Tools: {entry.tools}." if entry.tools else ""))
    yield from _requires(book, "remedies", name, "Offered unless it is known that not")
    yield from _harm(book, name, entry)
    yield from _section("Cures", (f"{c.name} ({use.cures})" for c in book.causes.values()
                                  for use in c.remedies if use.remedy == name))


def _harm(book: Book, name: str, entry: Remedy) -> Page:
    """Where it would do harm, and where the answers say that it was tried."""
    if harm := entry.harmful_under:
        yield from _section(f"Not first while one of these is likely. {harm.why}",
                            (book.causes[c].name for c in harm.causes))
    for path, lead in ((("remedies", name, "harmful_under", "when"), "Not offered, as it does harm, when"),
                       (("remedies", name, "tried_when"), "Tried already when")):
        if path in book.conditions:
            yield Paragraph(f"{lead} {wording.when(book, path)}.")


def _caution(book: Book, name: str, entry: Caution) -> Page:
    yield Paragraph(entry.avoid)
    if entry.stop == "yes":
        yield Paragraph("It stops the consult" + (f" until: {entry.go_on}" if entry.go_on else "."))
    if entry.when is not None:
        yield Paragraph(f"Shown by itself when {wording.when(book, ('cautions', name, 'when'))}.")
    yield from _section("Shown by rules", (r for r, own in book.rules.items() if own.caution == name))
    yield from _section("Shown with", (title(kind, e) for kind in ("remedies", "observations", "practice")
                                       for e in getattr(book, kind).values() if name in e.cautions))


def _hazard(book: Book, name: str, entry: Hazard) -> Page:
    yield Paragraph(entry.means)
    yield Paragraph(f"First: {entry.first}")
    yield Paragraph(f"First aid: {entry.first_aid}" if entry.first_aid else "")
    yield Paragraph(f"May one go on using it? {entry.use[0].upper()}{entry.use[1:]}.")
    other = f", or when {wording.when(book, ('hazards', name, 'when'))}" if entry.when else ""
    yield Paragraph(f"Told by the complaint: {book.symptoms[entry.symptom].name}{other}.")
    yield from _cautions(book, (entry.caution,))


def _rule(book: Book, name: str, entry: Rule) -> Page:
    yield Paragraph(f"When {wording.when(book, ('rules', name, 'when'))}")
    yield from _section("then", (
        *(wording.value(book, f, v) for f, v in entry.then.items()),
        *(f"{book.causes[c].name}: {grade}" for c, grade in entry.weigh.items()),
        *([f"the caution {entry.caution} is shown"] if entry.caution else [])))


def _practice(book: Book, name: str, entry: Practice) -> Page:
    yield Paragraph(entry.answer)
    for lead, text in (("Numbers: ", entry.numbers), ("It depends: ", entry.depends),
                       ("To ask back: ", entry.ask_back), ("Now: ", entry.now),
                       ("The maker: ", entry.maker)):
        yield Paragraph(text and f"{lead}{text}")
    yield from _section("From figures in the question", (book.measures[m].label for m in entry.worked))
    yield from _cautions(book, entry.cautions)
    yield from _section("People ask", entry.lay)


def _cautions(book: Book, names: Iterable[str]) -> Page:
    for name in names:
        stated = book.cautions[name]
        house = book.added_by("cautions", name)
        yield Paragraph(f"{stated.text} {stated.avoid}",
                        f"{stated.signal} (added by house {house}): " if house else f"{stated.signal}: ")


def _requires(book: Book, kind: str, name: str, lead: str) -> Page:
    path = (kind, name, "requires")
    if path in book.conditions:
        yield Paragraph(f"{lead}: {wording.when(book, path)}.")


_PAGES: dict[str, Callable[[Book, str, Any], Page]] = {
    "targets": _target, "observations": _observation, "measures": _measure, "findings": _finding,
    "symptoms": _symptom, "causes": _cause, "remedies": _remedy, "cautions": _caution,
    "hazards": _hazard, "rules": _rule, "practice": _practice,
}
