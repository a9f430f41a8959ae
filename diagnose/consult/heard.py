"""What someone's own words say: things to be confirmed one by one before any is believed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace
from rapidfuzz import fuzz, utils

from diagnose.consult.answers import CLEAR, NO, YES, AnswerError, shown
from diagnose.consult.screens import Choice
from diagnose.errors import UserError
from diagnose.kb.model import Observation
from diagnose.kb.problems import KnowledgeError

if TYPE_CHECKING:
    from diagnose.consult.session import Session

MOST_SYMPTOMS = 3
FEW_OTHERS, MOST_OTHERS = 3, 5
"""Symptoms in doubt that are offered: beside plain ones, and where nothing was plain."""
SHORT = 3
"""Words up to which an answer that is only like one of the book's is taken without asking back."""
_WORD = re.compile(r"[^\W\d_]{2,}")
_NOT = re.compile(r"\b(?:not?|never|none|without|nor)\b|n['’]t\b", re.I)
_HEAD = re.compile(r"\s*[,.;:!]\s+|\s+(?:and|but|because|since)\s+", re.I)


@dataclass(frozen=True)
class Item:
    """One thing read out of someone's words: a symptom, or an answer with its text."""

    name: str
    value: str = ""
    brings: tuple[tuple[str, str], ...] = field(default=(), compare=False)
    """Answers that say nothing else than the symptom does, kept or dropped with it."""

    @property
    def id(self) -> str:
        """What stands for it on a screen."""
        return f"{self.name}={self.value}" if self.value else self.name


@dataclass(frozen=True)
class Heard:
    """What was read out of someone's words."""

    text: str
    sure: tuple[Item, ...] = ()
    maybe: tuple[Item, ...] = ()
    remarks: tuple[str, ...] = ()

    def after(self, earlier: Heard, kept: Iterable[Item]) -> Heard:
        """This, with what was read plainly before and is not decided yet, less what is kept."""
        have = set(kept)
        answered = {i.name for i in (*self.sure, *have) if i.value}
        sure = tuple(i for i in self.sure if i not in have)
        rest = dict.fromkeys(i for i in (*earlier.sure, *self.maybe) if i not in have
                             and i not in sure and not (i.value and i.name in answered))
        most = max(len(earlier.sure), MOST_OTHERS)
        return Heard(self.text, sure, tuple(rest)[:most], self.remarks)


def complaint(s: Session, line: str) -> Heard:
    """A complaint as read; what else it could mean, the hazardous first."""
    read = _understood(s, line)
    sure = _sure(s, read, read.values)
    others = [*_near_danger(s, line), *_in_doubt(s, read),
              *_symptoms(s, (h.id for h in s.lookup.search(line)))]
    few = MOST_OTHERS if not any(not i.value for i in sure) else FEW_OTHERS
    return _heard(s, line, sure, others, few, read.notes)


def words(s: Session, line: str, asked: str = "") -> Heard:
    """Free words in the middle of a case, where a question may stand: what they say that is new."""
    read = _understood(s, line)
    given, perhaps = _asked(s, asked, line) if asked and asked not in read.values else ({}, {})
    sure = _sure(s, read, {**given, **read.values})
    others = [*_answers(s, perhaps), *_near_danger(s, line), *_in_doubt(s, read)]
    return _heard(s, line, sure, others, FEW_OTHERS, read.notes)


def _understood(s: Session, line: str) -> Any:
    """What the lookup reads; nothing, and a note, where its own words can't be opened."""
    try:
        return s.lookup.understand(line)
    except (UserError, KnowledgeError) as error:
        s.say("no_reading", why=str(error).splitlines()[0])
        return _Nothing()


class _Nothing:
    """Nothing understood."""

    symptoms: tuple[str, ...] = ()
    values: Mapping[str, str] = MappingProxyType({})
    notes: tuple[str, ...] = ()


def _heard(s: Session, line: str, sure: list[Item], others: list[Item], few: int,
           remarks: Iterable[str]) -> Heard:
    known = s.case.complaints
    new = [i for i in dict.fromkeys(sure) if i.value or i.name not in known]
    doubt = [i for i in dict.fromkeys(others) if i not in new and (i.value or i.name not in known)]
    return Heard(line, tuple(_gravest_first(s, new)), tuple(_gravest_first(s, doubt[:few])),
                 tuple(remarks))


def _sure(s: Session, read: Any, values: Mapping[str, str]) -> list[Item]:
    """The symptoms claimed, each with the answers that say the same, and the other answers."""
    answers = {i.name: i.value for i in _answers(s, values)}
    symptoms = []
    for one in _symptoms(s, read.symptoms)[:MOST_SYMPTOMS]:
        same = {n: answers[n] for n, v in _means(s, one.name).items() if answers.get(n) == v}
        symptoms.append(Item(one.name, brings=tuple(same.items())))
        answers = {n: v for n, v in answers.items() if n not in same}
    return [*symptoms, *(Item(n, v) for n, v in answers.items())]


def _means(s: Session, symptom: str) -> dict[str, Any]:
    """The answers that alone make a symptom's finding."""
    found: dict[str, Any] = {}
    for finding, value in s.book.symptoms[symptom].finding.items():
        when = s.book.findings[finding].values[value].when or {}
        if len(when) == 1:
            found |= when
    return found


def _symptoms(s: Session, names: Iterable[str]) -> list[Item]:
    return [Item(n) for n in names if n in s.book.symptoms]


def _answers(s: Session, values: Mapping[str, str]) -> list[Item]:
    """The values that the book asks for, that can be read, and that were not given already."""
    found = []
    for name, text in values.items():
        try:
            value = s.read(name, text) if name in s.book.observations else None
        except AnswerError:
            continue
        if value is not None and s.case.values.get(name) != value:
            found.append(Item(name, str(text)))
    return found


def _in_doubt(s: Session, read: Any) -> list[Item]:
    return _symptoms(s, getattr(read, "maybe", ()))


def _near_danger(s: Session, line: str) -> list[Item]:
    return _symptoms(s, s.lookup.near_danger(line, lambda name: bool(s.alarms.symptom(name))))


def _gravest_first(s: Session, items: list[Item]) -> list[Item]:
    return sorted(items, key=lambda i: not stops(s, i))


def stops(s: Session, item: Item) -> tuple[str, ...]:
    """The cautions that by themselves stop a consult in which this is true."""
    if item.value:
        return s.alarms.answer(item.name, s.read(item.name, item.value))
    return s.alarms.symptom(item.name)


def choice(s: Session, item: Item) -> Choice:
    """An item as something to choose: a symptom's name, or a question with its answer."""
    if not item.value:
        return Choice(item.name, s.book.symptoms[item.name].name,
                      "danger" if stops(s, item) else "")
    stated = s.book.observations[item.name]
    return Choice(item.id, f"{stated.ask} {shown(stated, s.read(item.name, item.value))}")


def in_short(s: Session, item: Item) -> str:
    """An item in a few words, to recall it: of a choice made, no question."""
    if item.value and s.book.observations[item.name].kind == "choice":
        return shown(s.book.observations[item.name], s.read(item.name, item.value))
    return choice(s, item).text


def _asked(s: Session, name: str, line: str) -> tuple[dict[str, str], dict[str, str]]:
    """The answer to the question that stands, given among other words: plainly, or perhaps."""
    stated = s.book.observations[name]
    for text in (_HEAD.split(line.strip(), maxsplit=1)[0], line):
        if word := _first_word(stated, text):
            return {name: word}, {}
        try:
            value = s.read(name, text)
        except AnswerError:
            continue
        if plain(s, name, text) or _spelt_out(stated, value, text):
            return {name: str(value)}, {}
        return {}, {name: str(value)}
    return {}, {}


def _spelt_out(stated: Observation, answer: str, line: str) -> bool:
    """Do the words of an answer all stand in the line, and no "not" with them?"""
    said = set(utils.default_process(line).split())
    own = replace(stated, answers={answer: stated.answers[answer]})
    return not _NOT.search(line) and any(said.issuperset(text.split()) for text in _texts(own))


def _first_word(stated: Observation, text: str) -> str:
    """The yes or no that words begin with, where one is asked for."""
    first = (_WORD.match(text.strip()) or [""])[0].lower()
    return {True: "yes", first in NO: "no"}.get(first in YES or first in NO, "") \
        if stated.kind == "yes_no" else ""


def plain(s: Session, name: str, line: str) -> bool:
    """Is the line, which can be read as an answer, plainly that and nothing more?"""
    stated = s.book.observations[name]
    if stated.kind != "choice" or line.isdigit():
        return True
    said = utils.default_process(line)
    if any(text.startswith(said) or fuzz.ratio(text, said) >= CLEAR for text in _texts(stated)):
        return True
    return len(said.split()) <= SHORT and not _NOT.search(line)


def _texts(stated: Observation) -> Iterator[str]:
    for answer, said in stated.answers.items():
        for text in (answer.replace("_", " "), said.says, *said.lay):
            yield utils.default_process(text)


def is_words(line: str) -> bool:
    """Could a line be words of the person's own, rather than a mistyped number or letter?"""
    found = _WORD.findall(line)
    return len(found) >= (SHORT if any(c.isdigit() for c in line) else 1)
