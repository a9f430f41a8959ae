"""Do the entries of a book fit together: every name that one entry says must exist in another."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator

from diagnose.book.book import Book
from diagnose.book.conditions import ConditionError
from diagnose.book.model import Practice
from diagnose.book.problems import Problem, nearest
from diagnose.compute import units
from diagnose.compute.registry import CATALOGUE

PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
LEVELS = ("low", "usual", "high")
"""Where a quantity lies against what is usual."""
YES_NO = ("yes", "no")
HISTORY = ("history.shots", "history.weighings", "history.use")
_Found = Iterator[tuple[tuple[str, ...], str]]


def check(book: Book) -> list[Problem]:
    """Every reference that leads nowhere and every number that can't be, with place and mend."""
    return [Problem(book.place(*path), text)
            for part in _PARTS for path, text in part(book)]


def _missing(path: tuple[str, ...], what: str, name: str, known: Collection[str]) -> _Found:
    if name not in known:
        yield path, f"{what} {name!r} is not in the book{nearest(name, known)}"


def _answers(book: Book, question: str) -> Collection[str]:
    """What a question can be answered with, a quantity by where it lies."""
    stated = book.observations.get(question)
    if stated is None:
        return ()
    return stated.answers or (YES_NO if stated.kind == "yes_no" else LEVELS)


def _one_space(book: Book) -> _Found:
    seen: dict[str, str] = {}
    for kind in ("observations", "measures", "findings"):
        for name in getattr(book, kind):
            if name in seen:
                yield (kind, name), f"{name} is already one of the {seen[name]}; take another id"
            seen[name] = kind


def _targets(book: Book) -> _Found:
    for name, target in book.targets.items():
        path = ("targets", name)
        if not units.known(target.unit):
            yield path, f"unit {target.unit!r} is not known{nearest(target.unit, units.names())}"
        given = [v for v in (target.low, target.value, target.high) if v is not None]
        if not given:
            yield path, "states no number; give `value:`, `low:` or `high:`"
        if given != sorted(given):
            yield path, "low, value and high are not in order"


def _observations(book: Book) -> _Found:
    for name, o in book.observations.items():
        path = ("observations", name)
        if (o.kind == "choice") != (len(o.answers) >= 2):
            yield path, "a choice needs two answers or more, and no other kind has any"
        if (o.kind == "quantity") != bool(o.unit):
            yield path, "a quantity states its `unit:`, and no other kind does"
        if o.unit and not units.known(o.unit):
            yield path, f"unit {o.unit!r} is not known{nearest(o.unit, units.names())}"
        if o.kind == "quantity" and o.range is None:
            yield path, "a quantity states its plausible `range: [low, high]`"
        for ends in (o.range, o.usual):
            if ends and not ends[0] < ends[1]:
                yield path, f"{list(ends)} is no range from low to high"
        if o.kind == "choice" and sum(a.share or 0 for a in o.answers.values()) > 1.0001:
            yield path, "the shares of the answers add up to more than 1"
        if o.several == "yes" and o.kind != "choice":
            yield path, "only a choice takes `several:` answers"
        if o.several == "no" and any(a.alone == "yes" for a in o.answers.values()):
            yield path, "`alone:` says nothing where one answer is taken; add `several: yes`"
        for caution in o.cautions:
            yield from _missing(path, "caution", caution, book.cautions)


def _measures(book: Book) -> _Found:
    sources = {*book.observations, *book.measures, *HISTORY}
    for name, m in book.measures.items():
        path = ("measures", name)
        function = CATALOGUE.get(m.compute)
        if function is None:
            yield path, f"no function {m.compute!r}{nearest(m.compute, CATALOGUE)}"
            continue
        for parameter in m.given.keys() - function.given.keys():
            yield path, (f"{m.compute} takes no {parameter!r}"
                         f"{nearest(parameter, function.given)}")
        for parameter in sorted(function.needs - m.given.keys()):
            yield path, f"{m.compute} needs `{parameter}:` under `given:`"
        for parameter, source in m.given.items():
            if parameter in function.given:
                yield from _source(book, path, source, function.given[parameter], sources)
        if _circular(book, name):
            yield path, "is worked out from itself"


def _source(book: Book, path: tuple[str, ...], source: str, unit: str,
            sources: Collection[str]) -> _Found:
    if source.startswith("target."):
        try:
            book.names.target(source)
        except ConditionError as error:
            yield path, str(error)
    elif source[:1].isdigit() or source[:1] == "-":
        try:
            units.read(source, unit)
        except units.UnitError as error:
            yield path, str(error)
    elif source not in sources:
        yield path, f"no observation or measure {source!r}{nearest(source, sources)}"
    elif unit in units.names() and source in book.names.units:
        own = book.names.units[source]
        if own != "text" and units.kind(own) != units.kind(unit):
            yield path, f"{source} is in {own}, but {unit} is wanted"


def _circular(book: Book, name: str) -> bool:
    stack, seen = list(book.measures[name].given.values()), set()
    while stack:
        source = stack.pop()
        if source == name:
            return True
        if source in book.measures and source not in seen:
            seen.add(source)
            stack += book.measures[source].given.values()
    return False


def _symptoms(book: Book) -> _Found:
    for name, symptom in book.symptoms.items():
        path = ("symptoms", name)
        if len(symptom.finding) != 1:
            yield path, "`finding:` names one finding and one value"
        for finding, value in symptom.finding.items():
            yield from _missing(path, "finding", finding, book.findings)
            if finding in book.findings:
                yield from _missing(path, f"value of {finding},", value,
                                    book.findings[finding].values)
        for other in symptom.unless_known:
            yield from _missing(path, "name", other, list(book.names.all()))


def _causes(book: Book) -> _Found:
    for name, cause in book.causes.items():
        path = ("causes", name)
        for symptom in cause.shows:
            yield from _missing((*path, "shows", symptom), "symptom", symptom, book.symptoms)
        for question, told in cause.tells.items():
            here = (*path, "tells", question)
            yield from _missing(here, "question", question, book.observations)
            for answer in told:
                yield from _missing(here, "answer", answer, _answers(book, question))
        for i, other in enumerate(cause.look_alikes):
            here = (*path, "look_alikes", str(i))
            yield from _missing(here, "cause", other.cause, book.causes)
            for ask in other.ask:
                yield from _missing(here, "name", ask, list(book.names.all()))
        for i, use in enumerate(cause.remedies):
            yield from _missing((*path, "remedies", str(i)), "remedy", use.remedy, book.remedies)
        if not cause.remedies:
            yield path, "has no remedy; where nothing is to be done, say so in a remedy"


def _remedies(book: Book) -> _Found:
    for name, remedy in book.remedies.items():
        path = ("remedies", name)
        for caution in remedy.cautions:
            yield from _missing(path, "caution", caution, book.cautions)
        for cause in remedy.harmful_under.causes if remedy.harmful_under else ():
            yield from _missing((*path, "harmful_under"), "cause", cause, book.causes)
        for changed in remedy.changes:
            yield from _missing(path, "observation", changed, book.observations)
        for text in (*remedy.steps, remedy.should, remedy.undo, remedy.before, remedy.stop,
                     remedy.again):
            for word in PLACEHOLDER.findall(text):
                yield from _placeholder(book, path, word)


def _hazards(book: Book) -> _Found:
    for name, hazard in book.hazards.items():
        path = ("hazards", name)
        yield from _missing(path, "symptom", hazard.symptom, book.symptoms)
        yield from _missing(path, "caution", hazard.caution, book.cautions)
        if hazard.use == "yes" or (hazard.stop == "yes") != hazard.use.startswith("no"):
            yield path, "`stop: yes` goes with `use: no, until ...`, `stop: no` with `use: yes, but ...`"


def _placeholder(book: Book, path: tuple[str, ...], word: str) -> _Found:
    if word.startswith("target."):
        try:
            book.names.target(word)
        except ConditionError as error:
            if word.count(".") > 1 or word.split(".")[1] not in book.targets:
                yield path, str(error)
    elif word in book.measures:
        if not book.measures[word].default:
            yield path, f"{{{word}}} is put into a step: its measure needs `default:` words"
    else:
        yield from _missing(path, f"{{{word}}}: no measure or target;", word, book.measures)


def _rules(book: Book) -> _Found:
    for name, rule in book.rules.items():
        path = ("rules", name)
        if not (rule.then or rule.weigh or rule.caution):
            yield path, "does nothing; give `then:`, `weigh:` or `caution:`"
        for finding, value in rule.then.items():
            yield from _missing(path, "finding", finding, book.findings)
            if finding in book.findings:
                yield from _missing(path, f"value of {finding},", value,
                                    book.findings[finding].values)
        for cause in rule.weigh:
            yield from _missing(path, "cause", cause, book.causes)
        if rule.caution:
            yield from _missing(path, "caution", rule.caution, book.cautions)


def _practice(book: Book) -> _Found:
    for name, practice in book.practice.items():
        path = ("practice", name)
        for caution in practice.cautions:
            yield from _missing(path, "caution", caution, book.cautions)
        for measure in practice.worked:
            yield from _missing(path, "measure", measure, book.measures)
        for text in said(practice):
            for word in PLACEHOLDER.findall(text):
                yield from _placeholder(book, path, word)


def said(practice: Practice) -> tuple[str, ...]:
    """The texts of an answer, into which numbers may be put."""
    return (practice.answer, practice.numbers, practice.depends, practice.ask_back, practice.now,
            practice.maker)


_PARTS: tuple[Callable[[Book], _Found], ...] = (
    _one_space, _targets, _observations, _measures, _symptoms, _causes, _remedies, _hazards, _rules,
    _practice)
