"""Conditions in plain words, as a page of the book says them."""

from __future__ import annotations

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.book.conditions import Every, Known, Node, Not, Some, Test

_COMPARED = {"<": "under", "<=": "at most", ">": "over", ">=": "at least"}


def when(book: Book, path: tuple[str, ...]) -> str:
    """The condition standing at `path`, in words."""
    return said(book, book.conditions[path])


def said(book: Book, node: Node, inside: bool = False) -> str:
    """A condition in words; `inside` another one, what has parts stands in brackets."""
    match node:
        case Test(words=(_, _, *_)) if inside:
            return f"({_test(book, node)})"
        case Test():
            return _test(book, node)
        case Known(name):
            return f"{label(book, name)} is known"
        case Not(Known(name)):
            return f"{label(book, name)} is not known"
        case Not(part):
            return f"not ({said(book, part)})"
        case Every(parts) | Some(parts):
            joined = (" and " if isinstance(node, Every) else " or ").join(
                said(book, part, True) for part in parts)
            return f"({joined})" if inside else joined
    raise TypeError(node)


def _test(book: Book, test: Test) -> str:
    if test.bounds:
        if len(test.bounds) == 2:
            (_, low), (_, high) = test.bounds
            return f"{label(book, test.name)} is from {_limit(low)} to {_limit(high)}"
        ((operator, text),) = test.bounds
        return f"{label(book, test.name)} is {_COMPARED[operator]} {_limit(text)}"
    if test.name in book.findings:
        return " or ".join(value(book, test.name, word) for word in test.words)
    return f"{label(book, test.name)} {' or '.join(answer(book, test.name, w) for w in test.words)}"


def _limit(text: str) -> str:
    if not text.startswith("target."):
        return text
    parts = text.split(".")
    side = {"low": "the low end of ", "high": "the high end of "}.get(parts[-1], "")
    return f"{side}the target {parts[1].replace('_', ' ')}"


def label(book: Book, name: str) -> str:
    """What a name stands for: a label, or the question that it answers."""
    if name in book.findings:
        return book.findings[name].label
    if name in book.measures:
        return book.measures[name].label
    return f'"{book.observations[name].ask}"' if name in book.observations else name


def value(book: Book, name: str, word: str) -> str:
    """One value of a name, in words."""
    if name in book.findings:
        return book.findings[name].values[word].says
    return f"{label(book, name)} {answer(book, name, word)}"


def answer(book: Book, name: str, word: str) -> str:
    """One answer to a question, in words."""
    stated = book.observations[name]
    return stated.answers[word].says if word in stated.answers else word


def names(node: Node) -> tuple[str, ...]:
    """The names in a condition, in the order they are said."""
    return tuple(dict.fromkeys(test.name for test in conditions.tests(node)))
