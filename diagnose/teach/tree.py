"""The engine's own questions on one complaint as a small tree: answers, and where they lead.

Every way through it is a case of its own, worked out as a consult would; answers that come to the
same in every way share one branch.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from diagnose.book.book import Book
from diagnose.case.case import FAIR_CAUSE, Ask, Case, Stop
from diagnose.case.events import Answered
from diagnose.case.hypothetical import shadow
from diagnose.compute import units
from diagnose.reason.infer.prior import OTHER

EVEN = 0.5
"""The part of the leading cause's chance from which the next one is named beside it."""
MOST_NAMED = 3
Ends = list[tuple[float, float]]


@dataclass(frozen=True)
class Leaf:
    """Where answers lead: a stop at a caution, or the likeliest causes."""

    causes: tuple[str, ...]
    sure: bool = True
    stop: str = ""


@dataclass(frozen=True)
class AnswerWords:
    """Answers that lead to the same, as words."""

    answers: tuple[str, ...]
    to: TreeNode


@dataclass(frozen=True)
class Fork:
    """A question and its branches."""

    observation: str
    branches: tuple[AnswerWords, ...]


TreeNode = Leaf | Fork


@dataclass(frozen=True)
class QuestionTree:
    """The questions from their root, and all cautions that ways through it call for."""

    root: TreeNode
    cautions: tuple[str, ...]


def tree(case: Case, depth: int) -> QuestionTree:
    """The tree of a case, so many questions deep."""
    cautions: dict[str, None] = {}
    return QuestionTree(_node(case, depth, cautions), tuple(cautions))


def causes(node: TreeNode) -> Iterator[str]:
    """The causes that its leaves name, the likeliest of each leaf first."""
    if isinstance(node, Leaf):
        yield from node.causes
    else:
        for branch in node.branches:
            yield from causes(branch.to)


def _node(case: Case, depth: int, cautions: dict[str, None]) -> TreeNode:
    cautions |= dict.fromkeys(case.cautions)
    if isinstance(case.step(), Stop) and case.hazard:
        return Leaf((), stop=case.hazard)
    asked = _question(case) if depth else ""
    if not asked:
        return _leaf(case)
    cautions |= dict.fromkeys(case.book.observations[asked].cautions)
    ways = [(value, _node(_answered(case, asked, value), depth - 1, cautions))
            for value, _ in case.system.asker.answers(asked)]
    branches = _merged(case.book, asked, ways)
    return Fork(asked, branches) if len(branches) > 1 else branches[0].to  # all lead to the same


def _question(case: Case) -> str:
    """What is asked next, where its answers can be stated beforehand."""
    step = case.step()
    name = step.question.observation if isinstance(step, Ask) else ""
    return name if name and case.system.asker.answers(name) else ""


def _answered(case: Case, name: str, value: Any) -> Case:
    text = f"{value:.6g} {case.book.observations[name].unit}" if isinstance(value, float) else str(value)
    return shadow(case, [Answered(name, text)])


def _leaf(case: Case) -> Leaf:
    found = [r for r in case.ranked if r.cause != OTHER]
    first = found[0].probability
    near = [r.cause for r in found[:MOST_NAMED] if r.probability >= EVEN * first]
    return Leaf(tuple(near), first >= FAIR_CAUSE)


def _merged(book: Book, name: str, ways: list[tuple[Any, TreeNode]]) -> tuple[AnswerWords, ...]:
    """The ways with those that lead to the same as one."""
    alike: dict[TreeNode, list[Any]] = {}
    for value, to in ways:
        alike.setdefault(to, []).append(value)
    return tuple(AnswerWords(tuple(_said(book, name, values)), to) for to, values in alike.items())


def _said(book: Book, name: str, values: list[Any]) -> Iterator[str]:
    stated = book.observations[name]
    if stated.kind == "quantity":
        yield from (_span(ends, stated.unit) for ends in _joined(book, name, values))
    elif stated.kind == "choice":
        yield from (stated.answers[value].says for value in values)
    else:
        yield from values


def _joined(book: Book, name: str, values: list[float]) -> Ends:
    """The bands of these numbers, neighbours as one."""
    bands = book.bands[name]
    found: Ends = []
    for low, high in (bands.limits(bands.of(value)) for value in values):
        if found and found[-1][1] == low:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def _span(ends: tuple[float, float], unit: str) -> str:
    low, high = ends
    if low == -math.inf and high == math.inf:
        return "any"
    if low == -math.inf:
        return f"under {units.show(high, unit)}"
    return f"over {units.show(low, unit)}" if high == math.inf else units.span(low, high, unit)
