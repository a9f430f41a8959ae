"""Which cautions are shown with what comes next, in which order, as data for every rendering."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.book.book import Book
from diagnose.book.model import SIGNALS, Signal
from diagnose.case.case import Ask, Case, Done, Recheck, Step
from diagnose.present.parts import CautionData

HOUSE_CAUTION = "Added by the house rules in {house}: {text}"


def shown(case: Case, step: Step) -> list[CautionData]:
    """All that belong to a step: those that the case calls for and those of what is asked or advised."""
    names = [*case.cautions]
    if isinstance(step, Ask):
        names += case.book.observations[step.question.observation].cautions
    fix = case.fix() if isinstance(step, Ask | Recheck) else step
    option = None if isinstance(fix, Ask | Recheck | Done) else fix.option
    return of_remedy(case, option.remedy, names) if option else several(case.book, names)


def of_remedy(case: Case, remedy: str, before: Iterable[str] = ()) -> list[CautionData]:
    """Those to show with a remedy: its own, and those that the case calls for."""
    return several(case.book, (*before, *case.cautions, *case.book.remedies[remedy].cautions))


def several(book: Book, names: Iterable[str]) -> list[CautionData]:
    """Cautions as data, each once: the book's, the gravest first, then those that a house adds."""
    return [one(book, n) for n in sorted(dict.fromkeys(names), key=lambda n: book.caution_rank(n)[:2])]


def one_line(caution: CautionData) -> str:
    """A caution in one line, led by its signal word."""
    return " ".join(filter(None, (f"{caution.signal}:", caution.text, caution.avoid)))


def gravest(found: Iterable[CautionData]) -> Signal:
    """The gravest signal word among cautions."""
    return min((c.signal for c in found), key=SIGNALS.index)


def one(book: Book, name: str) -> CautionData:
    """A caution as data; one that a house adds says so."""
    stated, house = book.cautions[name], book.added_by("cautions", name)
    text = HOUSE_CAUTION.format(house=house, text=stated.text) if house else stated.text
    return CautionData(name, stated.signal, text, stated.avoid)
