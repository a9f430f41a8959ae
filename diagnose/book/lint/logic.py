"""Checks of logic: conditions that contradict, repeat or circle, and answers that count twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import combinations, islice, product
from typing import TypeVar

from diagnose.book.conditions import Alternative, Literal
from diagnose.book.lint.issue import ADVICE, ERROR, Violation, check
from diagnose.book.lint.survey import Stated, Survey, WeighingCondition, all_imply
from diagnose.book.lint.world import World
from diagnose.book.model import Finding
from diagnose.book.overlay.support import Fact
from diagnose.book.yaml.source import KeyPath

Vertex = TypeVar("Vertex", str, Fact)
MOST_TRIED = 40
"""Pairs of alternatives tried for each pair of values, and worlds for each pair of these."""


def _single(survey: Survey) -> frozenset[str]:
    return frozenset(survey.answers)


def _where(survey: Survey, path: tuple[str, ...]) -> str:
    place = survey.book.place(*path)
    return f"{place.file}:{place.line}"


@check(ERROR)
def rules_contradict(survey: Survey) -> Iterator[Violation]:
    """Two conditions, one implied by the other, that conclude or weigh the contrary."""
    single = _single(survey)
    for name, finding in survey.book.findings.items():
        for one, other in combinations(finding.values, 2):
            for a, b in product(survey.concludes.get((name, one), ()),
                                survey.concludes.get((name, other), ())):
                if all_imply(a.alternatives, b.alternatives, single) or all_imply(
                        b.alternatives, a.alternatives, single):
                    yield Violation(b.path, f"whenever one of them holds, {name} is both {one} "
                                    f"({_where(survey, a.path)}) and {other}; let one exclude the other")
    for cause, weighs in survey.weighs.items():
        for first, second in combinations(weighs, 2):
            if first.sign != second.sign and _same(first, second, single):
                yield Violation(second.path, f"the same condition counts {first.grade} {cause} "
                                f"({_where(survey, first.path)}) and {second.grade}; keep one")


def _same(a: WeighingCondition, b: WeighingCondition, single: frozenset[str]) -> bool:
    return all_imply(a.alternatives, b.alternatives, single) and all_imply(
        b.alternatives, a.alternatives, single)


@check(ERROR)
def rules_subsume(survey: Survey) -> Iterator[Violation]:
    """A condition that another one, concluding the same, already covers."""
    single = _single(survey)
    for (name, value), stated in survey.concludes.items():
        yield from _covered(survey, stated, f"{name}: {value}", single)
    raised: dict[str, list[Stated]] = defaultdict(list)
    for name, caution in survey.book.cautions.items():
        if caution.when is not None:
            raised[name].append(_stated(survey, ("cautions", name, "when")))
    for name, rule in survey.book.rules.items():
        if rule.caution:
            raised[rule.caution].append(_stated(survey, ("rules", name, "when")))
    for name, stated in raised.items():
        yield from _covered(survey, stated, name, single)


def _stated(survey: Survey, path: tuple[str, ...]) -> Stated:
    return Stated(path, survey.holds[path])


def _covered(survey: Survey, stated: Iterable[Stated], what: str,
             single: frozenset[str]) -> Iterator[Violation]:
    for a, b in combinations(stated, 2):
        for narrow, wide in ((b, a), (a, b)):
            if all_imply(narrow.alternatives, wide.alternatives, single):
                yield Violation(narrow.path, f"{what} follows already from the condition at "
                                f"{_where(survey, wide.path)}; drop this one")
                break


@check(ERROR)
def evidence_counts_twice(survey: Survey) -> Iterator[Violation]:
    """Evidence of one cause, on the same side, that one single answer meets twice without a group."""
    for cause, pairs in _twice(survey).items():
        for (a, b), answer in pairs.items():
            mend = ("put both into one `group:`, or make one finding of them" if b[0] == "causes"
                    else f"give this weight as evidence of {cause}, in one `group:` with the other")
            yield Violation(b, f"the one answer `{answer}` counts twice for {cause}, here and at "
                            f"{_where(survey, a)}; {mend}", (("causes", cause),))


def _twice(survey: Survey) -> dict[str, dict[tuple[tuple[str, ...], ...], str]]:
    by_leaf: dict[str, list[WeighingCondition]] = defaultdict(list)
    for weighs in survey.weighs.values():
        for weigh in weighs:
            path = weigh.path if weigh.path in survey.holds else (*weigh.path[:-1], "when")
            for leaf in survey.rests_on(path):
                by_leaf[leaf].append(weigh)
    found: dict[str, dict[tuple[tuple[str, ...], ...], str]] = defaultdict(dict)
    nothing = World(survey, {})
    for name, weighs in by_leaf.items():
        weighs = [w for w in weighs if not nothing.any_holds(w.alternatives)]
        for value in survey.answers.get(name, ()):
            world = World(survey, {name: value})
            met = [w for w in weighs if world.any_holds(w.alternatives)]
            for a, b in _ungrouped(met):
                found[a.cause].setdefault((a.path, b.path), f"{name}: {survey.said(name, value)}")
    return found


def _ungrouped(met: list[WeighingCondition]) -> Iterator[tuple[WeighingCondition, WeighingCondition]]:
    sides: dict[tuple[str, str], list[WeighingCondition]] = defaultdict(list)
    for weigh in met:
        if weigh.group != "requires":       # it all but rules the cause out, whatever else counts
            sides[weigh.cause, weigh.sign].append(weigh)
    for side in sides.values():
        for a, b in combinations(side, 2):
            if not a.group or a.group != b.group:
                yield a, b


@check(ADVICE)
def values_overlap(survey: Survey) -> Iterator[Violation]:
    """Values of a finding that can hold together on one set of answers."""
    for name, finding in survey.book.findings.items():
        for one, other in _exclusive(finding):
            answers = _together(survey, name, one, other)
            if answers is not None and len(answers) > 1:
                said = ", ".join(f"{n}: {survey.said(n, v)}" for n, v in sorted(answers.items()))
                yield Violation(("findings", name, "values", other), f"{name} is both {one} and {other} "
                                f"on the answers {said}; let one exclude the other")


@check(ERROR)
def answer_in_two_values(survey: Survey) -> Iterator[Violation]:
    """Values of a finding that one single answer brings about together."""
    for name, finding in survey.book.findings.items():
        for one, other in _exclusive(finding):
            answers = _together(survey, name, one, other)
            if answers is not None and len(answers) <= 1:
                said = ", ".join(f"{n}: {survey.said(n, v)}" for n, v in answers.items())
                yield Violation(("findings", name, "values", other), f"{name} is both {one} and {other} "
                                f"on the one answer {said or '(none at all)'}; let one exclude the other")


def _exclusive(finding: Finding) -> Iterator[tuple[str, str]]:
    """The pairs of values that can't both be so; of a finding of several, those with what is normal."""
    for one, other in combinations(finding.values, 2):
        if finding.several == "no" or "no" in (finding.values[one].abnormal, finding.values[other].abnormal):
            yield one, other


def _together(survey: Survey, name: str, one: str, other: str) -> dict[str, str] | None:
    """The fewest answers, among those tried, on which a finding has both values."""
    pairs = product(_alternatives(survey, (name, one)), _alternatives(survey, (name, other)))
    best: dict[str, str] | None = None
    for a, b in islice(pairs, MOST_TRIED):
        for answers in islice(_worlds(survey, {}, (*a, *b), 0), MOST_TRIED):
            if ((best is None or len(answers) < len(best)) and not _mixed(survey, answers)
                    and {one, other} <= World(survey, answers).values(name)):
                best = answers
    return best


def _mixed(survey: Survey, answers: dict[str, str]) -> bool:
    """Does it hold a measure beside what that is worked out from? The two may not fit together."""
    return any(survey.inputs(name) & answers.keys() for name in answers
               if name in survey.book.measures)


def _alternatives(survey: Survey, fact: Fact) -> list[Alternative]:
    return [a for stated in survey.concludes.get(fact, ()) for a in stated.alternatives]


def _worlds(survey: Survey, answers: dict[str, str], todo: tuple[Literal, ...], depth: int
            ) -> Iterator[dict[str, str]]:
    """Answers on which literals may hold: those of findings followed down to what concludes them."""
    if not todo:
        yield answers
        return
    (name, values, holds), rest = todo[0], todo[1:]
    if not holds or depth > 12:
        yield from _worlds(survey, answers, rest, depth)
    elif name in survey.book.findings:
        for value in sorted(values or survey.book.findings[name].values):
            for alternative in _alternatives(survey, (name, value)):
                yield from _worlds(survey, answers, (*alternative, *rest), depth + 1)
    elif name in answers:
        if values is None or answers[name] in values:
            yield from _worlds(survey, answers, rest, depth)
    else:
        for value in _some(survey, name, values):
            yield from _worlds(survey, {**answers, name: value}, rest, depth)


def _some(survey: Survey, name: str, values: frozenset[str] | None) -> list[str]:
    return [v for v in survey.answers.get(name, ()) if values is None or v in values]


@check(ERROR)
def negation_cycle(survey: Survey) -> Iterator[Violation]:
    """A finding value that hangs, in a circle, on something that must be absent."""
    edges, absent = _edges(survey)
    for ring in rings(edges):
        inside = [(user, made, path) for user, made, path in absent if {user, made} <= ring]
        if inside:
            user, made, path = min(inside, key=lambda edge: edge[2])
            yield Violation(path, f"{user[0]}: {user[1]} is concluded while {made[0]}: {made[1]} is "
                            "absent, and that hangs on it in turn; break the circle")


def _edges(survey: Survey) -> tuple[dict[Fact, set[Fact]], list[tuple[Fact, Fact, KeyPath]]]:
    edges: dict[Fact, set[Fact]] = defaultdict(set)
    absent = []
    for fact, stated in survey.concludes.items():
        for one in stated:
            for name, values, holds in (lit for a in one.alternatives for lit in a):
                if name in survey.book.findings:
                    wanted = values or survey.book.findings[name].values
                    edges[fact] |= {(name, value) for value in wanted}
                    if not holds:
                        absent += [(fact, (name, value), one.path) for value in wanted]
    return edges, absent


def rings(edges: Mapping[Vertex, Collection[Vertex]]) -> list[set[Vertex]]:
    """The nodes that hang on one another: strongly connected parts (Tarjan 1972, from memory).

    Without recursion, so that a long chain of findings is no trouble.
    """
    index: dict[Vertex, int] = {}
    low: dict[Vertex, int] = {}
    waiting: list[Vertex] = []
    found: list[set[Vertex]] = []
    stack: list[tuple[Vertex, Iterator[Vertex]]] = []

    def enter(node: Vertex) -> None:
        index[node] = low[node] = len(index)
        waiting.append(node)
        stack.append((node, iter(sorted(edges.get(node, ())))))

    for start in list(edges):
        if start not in index:
            enter(start)
        while stack:
            at, below = stack[-1]
            new = next((to for to in below if _new(to, at, index, low, waiting)), None)
            if new is not None:
                enter(new)
                continue
            stack.pop()
            if stack:
                low[stack[-1][0]] = min(low[stack[-1][0]], low[at])
            if low[at] == index[at]:
                found.append(set(waiting[waiting.index(at):]))
                del waiting[waiting.index(at):]
    return found


def _new(to: Vertex, at: Vertex, index: Mapping[Vertex, int], low: dict[Vertex, int],
         waiting: Collection[Vertex]) -> bool:
    """Is a node not yet entered? If it waits already, `at` reaches back to it."""
    if to in index and to in waiting:
        low[at] = min(low[at], index[to])
    return to not in index


CHECKS = (rules_contradict, rules_subsume, evidence_counts_twice, values_overlap,
          answer_in_two_values, negation_cycle)
