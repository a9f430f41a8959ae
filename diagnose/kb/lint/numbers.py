"""Checks of numbers: bands with a gap or an overlap, and hazards that hang on what a house may move."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from diagnose.kb import condition
from diagnose.kb.condition import Literal
from diagnose.kb.lint.issue import ADVICE, ERROR, Found, check
from diagnose.kb.lint.survey import Fact, Survey
from diagnose.kb.overlay import GRAVE

Banded = dict[str, frozenset[str]]
"""Finding value to the bands of a number that bring it about by themselves."""


def _banded(survey: Survey) -> Iterator[tuple[str, str, Banded]]:
    """Every finding and number where two or more of its values are told by the number alone."""
    for name, finding in survey.book.findings.items():
        by_number: dict[str, Banded] = defaultdict(dict)
        for value in finding.values:
            for stated in survey.concludes.get((name, value), ()):
                for alternative in stated.alternatives:
                    if len(alternative) == 1:
                        (literal,) = alternative
                        if literal.holds and literal.values and literal.name in survey.book.bands:
                            old = by_number[literal.name].get(value, frozenset())
                            by_number[literal.name][value] = old | literal.values
        for number, banded in by_number.items():
            if len(banded) > 1:
                yield name, number, banded


@check(ERROR)
def bands_overlap(survey: Survey) -> Iterator[Found]:
    """A number that brings about two values of one finding."""
    for name, number, banded in _banded(survey):
        for word in survey.answers[number]:
            values = [v for v, words in banded.items() if word in words]
            if len(values) > 1:
                yield Found(("findings", name, "values", values[1]), f"{number} "
                            f"{survey.said(number, word)} makes {name} both {values[0]} and "
                            f"{values[1]}; let one end where the other begins (`<` and `>=`)")


@check(ERROR)
def bands_gap(survey: Survey) -> Iterator[Found]:
    """A number between two bands of a finding that belongs to none of them."""
    for name, number, banded in _banded(survey):
        words = survey.book.bands[number].words
        covered = sorted(words.index(w) for ws in banded.values() for w in ws)
        for i in sorted(set(range(covered[0], covered[-1])) - set(covered)):
            yield Found(("findings", name), f"{number} {survey.said(number, words[i])} lies "
                        f"between the values of {name} and makes none of them; close the gap")


@check(ADVICE)
def bands_open(survey: Survey) -> Iterator[Found]:
    """A number at the end of its range that belongs to no value of a finding."""
    for name, number, banded in _banded(survey):
        words = survey.book.bands[number].words
        covered = [words.index(w) for ws in banded.values() for w in ws]
        for word in survey.answers[number]:
            if not min(covered) <= words.index(word) <= max(covered):
                yield Found(("findings", name), f"{number} {survey.said(number, word)} makes "
                            f"no value of {name}; let the outermost values go on to the end")


@check(ERROR)
def grave_on_target(survey: Survey) -> Iterator[Found]:
    """A DANGER or WARNING whose condition hangs on a target that a house may move."""
    moved = _moved(survey)
    for name, caution in survey.book.cautions.items():
        if caution.signal in GRAVE and caution.when is not None:
            yield from _hangs(survey, ("cautions", name, "when"), caution.signal, moved)
    for name, rule in survey.book.rules.items():
        stated = survey.book.cautions.get(rule.caution)
        if stated is not None and stated.signal in GRAVE:
            yield from _hangs(survey, ("rules", name, "when"), stated.signal, moved)


def _moved(survey: Survey) -> dict[Fact, set[str]]:
    """Finding value to the targets that its conditions compare with, followed all the way down."""
    own: dict[Fact, set[str]] = {}
    below: dict[Fact, set[Fact]] = defaultdict(set)
    for fact, stated in survey.concludes.items():
        own[fact] = set().union(*(_targets(survey.book.conditions[s.path]) for s in stated))
        for literal in (lit for s in stated for a in s.alternatives for lit in a):
            below[fact] |= _facts(survey, literal)
    changed = True
    while changed:
        changed = False
        for fact, facts in below.items():
            more = set().union(*(own[f] for f in facts if f in own)) - own[fact]
            own[fact] |= more
            changed |= bool(more)
    return own


def _facts(survey: Survey, literal: Literal) -> set[Fact]:
    if literal.name not in survey.book.findings:
        return set()
    wanted = literal.values or survey.book.findings[literal.name].values
    return {(literal.name, value) for value in wanted}


def _targets(node: condition.Node) -> set[str]:
    return {text for test in condition.tests(node) if isinstance(test, condition.Test)
            for _, text in test.bounds if text.startswith("target.")}


def _hangs(survey: Survey, path: tuple[str, ...], signal: str, moved: dict[Fact, set[str]]
           ) -> Iterator[Found]:
    through = {"itself": _targets(survey.book.conditions[path])}
    for literal in (lit for a in survey.holds[path] for lit in a):
        for name, value in _facts(survey, literal):
            through[f"{name}: {value}"] = moved.get((name, value), set())
    for name, targets in sorted(through.items()):
        if targets:
            yield Found(path, f"this {signal} hangs on {', '.join(sorted(targets))}, by way of {name}; "
                        "a house may move that, so compare with a fixed number or an answer instead")


CHECKS = (bands_overlap, bands_gap, bands_open, grave_on_target)
