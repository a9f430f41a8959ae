"""What of the book can be named in a house rule, with the words that people have for it."""

from __future__ import annotations

from diagnose.book.book import Book
from diagnose.book.names import YES_NO
from diagnose.errors import UserError
from diagnose.house import make
from diagnose.house.finding import Finder

CALLED = {
    "ratio": ("yield", "yield of the drink", "how much drink", "drink weight", "beverage weight"),
    "dose": ("grams of coffee", "how much coffee", "basket dose"),
    "shot_time": ("seconds", "extraction time", "how long a shot runs", "time of the shot"),
    "brew_temperature": ("heat of the water", "degrees", "brew heat"),
    "brew_pressure": ("bar", "nine bar"),
    "milk_temperature": ("how hot the milk", "milk heat"),
    "rest": ("days off roast", "resting of beans", "degassing"),
    "freshness": ("how old beans may be", "age of the beans", "shelf life"),
    "warm_up": ("heating up", "time to heat"),
    "hardness": ("lime", "hard water"),
}
"""How people call the targets, beside their labels."""
TOLD = " = "
"""Stands between a name and its value, as a condition has them."""


def targets(book: Book) -> Finder:
    """The numbers aimed at."""
    return Finder({n: f"{t.label}: {make.window(t)}" for n, t in book.targets.items()}, CALLED)


def target(book: Book, said: str) -> str:
    """The target that is meant; UserError, with those it may be, where that is in doubt."""
    if said in book.targets:
        return said
    finder = targets(book)
    if name := finder.sure(said):
        return name
    close = ", ".join(f"{n} ({book.targets[n].label})" for n in finder.found(said)[:3])
    raise UserError(f"no target {said!r}" + (f"; did you mean one of: {close}?" if close else
                                             f"; they are {', '.join(book.targets)}"))


def causes(book: Book) -> Finder:
    """The causes."""
    return Finder({n: c.name for n, c in book.causes.items()}, {n: (c.what,) for n, c in book.causes.items()})


def troubles(book: Book) -> Finder:
    """The complaints, by all the words there are for them."""
    return Finder({n: s.name for n, s in book.symptoms.items()}, {n: s.lay for n, s in book.symptoms.items()})


def questions(book: Book) -> Finder:
    """The questions of practice."""
    return Finder({n: p.asks for n, p in book.practice.items()}, {n: p.lay for n, p in book.practice.items()})


def remedies(book: Book) -> Finder:
    """The fixes."""
    return Finder({n: r.name for n, r in book.remedies.items()},
                  {n: (r.should,) for n, r in book.remedies.items()})


def cautions(book: Book) -> Finder:
    """The warnings."""
    return Finder({n: c.text for n, c in book.cautions.items()},
                  {n: (c.avoid,) for n, c in book.cautions.items()})


def facts(book: Book) -> Finder:
    """All that can be seen, tasted, measured or done: each answer of each question, each finding, and
    each number, which is yet to be compared."""
    options: dict[str, str] = {}
    more: dict[str, tuple[str, ...]] = {}
    for name, stated in book.observations.items():
        if stated.kind in ("quantity", "date"):
            continue
        for value in stated.answers or YES_NO:
            answer = stated.answers.get(value)
            key = f"{name}{TOLD}{value}"
            options[key] = f"{stated.ask} {answer.says if answer else value}"
            more[key] = (answer.says, *answer.lay) if answer else ()
    numbers = {n: o.ask for n, o in book.observations.items() if o.kind == "quantity"}
    numbers |= {n: m.label for n, m in book.measures.items() if n in book.names.units}
    options |= {n: f"a number: {said}" for n, said in numbers.items()}
    return Finder(options, more) + findings(book)


def findings(book: Book) -> Finder:
    """Each value of each finding."""
    said = {f"{name}{TOLD}{value}": (finding.label, stated.says)
            for name, finding in book.findings.items() for value, stated in finding.values.items()}
    return Finder({key: f"{label}: {says}" for key, (label, says) in said.items()},
                  {key: (says,) for key, (_, says) in said.items()})
