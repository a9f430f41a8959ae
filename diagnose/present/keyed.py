"""Parts of a case as JSON holds them, read by key: what letters are written from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from diagnose.book.book import Book
from diagnose.case.case import Case
from diagnose.present import case_data, cautions, worked_answer
from diagnose.present.parts import CautionData, plain
from diagnose.reason.plan import Option

Keyed = dict[str, Any]


def question_data(case: Case, name: str) -> Keyed:
    """A question with its answers."""
    made: Keyed = plain(case_data.question_stated(case, name))
    return made | {"answers": plain(case_data.offered(case, name))}


def remedy_data(case: Case, option: Option) -> Keyed:
    """A fix in full."""
    made: Keyed = plain(case_data.fix_data(case, option))
    return made


def of_remedy(case: Case, remedy: str) -> list[dict[str, str]]:
    """The cautions of a fix, and those that the case calls for."""
    return [plain(one) for one in cautions.of_remedy(case, remedy)]


def several(book: Book, names: Iterable[str]) -> list[dict[str, str]]:
    """Cautions, each once, the gravest first."""
    return [plain(one) for one in cautions.several(book, names)]


def one(book: Book, name: str) -> dict[str, str]:
    """A caution."""
    made: dict[str, str] = plain(cautions.one(book, name))
    return made


def brief(caution: Mapping[str, str]) -> dict[str, str]:
    """A caution as it stands beside an answer."""
    made: dict[str, str] = plain(worked_answer.brief(msgspec.convert(caution, CautionData)))
    return made
