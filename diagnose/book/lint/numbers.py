"""Checks of numbers: bands with a gap or an overlap, and hazards that hang on what a house may move."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from diagnose.book.lint.issue import ADVICE, ERROR, Violation, check
from diagnose.book.lint.survey import Survey
from diagnose.book.overlay.guard import GRAVE
from diagnose.book.overlay.support import Support

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
def bands_overlap(survey: Survey) -> Iterator[Violation]:
    """A number that brings about two values of one finding."""
    for name, number, banded in _banded(survey):
        for word in survey.answers[number]:
            values = [v for v, words in banded.items() if word in words]
            if len(values) > 1:
                yield Violation(("findings", name, "values", values[1]), f"{number} "
                                f"{survey.said(number, word)} makes {name} both {values[0]} and "
                                f"{values[1]}; let one end where the other begins (`<` and `>=`)")


@check(ERROR)
def bands_gap(survey: Survey) -> Iterator[Violation]:
    """A number between two bands of a finding that belongs to none of them."""
    for name, number, banded in _banded(survey):
        words = survey.book.bands[number].words
        covered = sorted(words.index(w) for ws in banded.values() for w in ws)
        for i in sorted(set(range(covered[0], covered[-1])) - set(covered)):
            yield Violation(("findings", name), f"{number} {survey.said(number, words[i])} lies "
                            f"between the values of {name} and makes none of them; close the gap")


@check(ADVICE)
def bands_open(survey: Survey) -> Iterator[Violation]:
    """A number at the end of its range that belongs to no value of a finding."""
    for name, number, banded in _banded(survey):
        words = survey.book.bands[number].words
        covered = [words.index(w) for ws in banded.values() for w in ws]
        for word in survey.answers[number]:
            if not min(covered) <= words.index(word) <= max(covered):
                yield Violation(("findings", name), f"{number} {survey.said(number, word)} makes "
                                f"no value of {name}; let the outermost values go on to the end")


@check(ERROR)
def grave_on_target(survey: Survey) -> Iterator[Violation]:
    """A DANGER or WARNING whose condition hangs on a target that a house may move."""
    book = survey.book
    for name, caution in book.cautions.items():
        if caution.signal in GRAVE and caution.when is not None:
            yield from _hangs(survey, ("cautions", name, "when"), caution.signal, caution.when)
    for name, rule in book.rules.items():
        stated = book.cautions.get(rule.caution)
        if stated is not None and stated.signal in GRAVE:
            yield from _hangs(survey, ("rules", name, "when"), stated.signal, rule.when)


def _hangs(survey: Survey, path: tuple[str, ...], signal: str, when: object) -> Iterator[Violation]:
    support = Support(survey.book.layers.entries, [(path[1], when)])
    for target in support.targets:
        by = support.by_way_of[target]
        yield Violation(path, f"{path[1]}: this {signal} hangs on the target {target}"
                        + (f" by way of {by}" if by else "")
                        + "; a house may move that, so compare with a fixed number or an answer instead")


CHECKS = (bands_overlap, bands_gap, bands_open, grave_on_target)
