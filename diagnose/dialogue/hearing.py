"""What someone's own words say: things to be confirmed one by one before any is believed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from diagnose.book.answers import AnswerError
from diagnose.dialogue import replies
from diagnose.dialogue.mention_choices import stops
from diagnose.dialogue.mentions import MOST_OTHERS, Heard, Item
from diagnose.dialogue.outside import Interpretation
from diagnose.dialogue.sitting import Sitting
from diagnose.errors import UserError
from diagnose.reason.questions import told

MOST_SYMPTOMS = 3
FEW_OTHERS = 3
"""Things in doubt that are offered beside plain ones."""


def complaint(s: Sitting, line: str, before: str = "") -> Heard:
    """A complaint as read; what else it could mean, the hazardous first."""
    read = _understood(s, line)
    sure = _sure(s, read, {**_figure(s, line, before), **read.values})
    others = [*_near_danger(s, line), *_in_doubt(s, read),
              *_symptoms(s, (h.id for h in s.lookup.search(line)))]
    few = FEW_OTHERS if any(i.kind == "symptom" for i in sure) else MOST_OTHERS
    return _heard(s, line, sure, others, few, read.notes)


def words(s: Sitting, line: str, asked: str = "", before: str = "") -> Heard:
    """Free words in the middle of a case, where a question may stand: what they say that is new."""
    read = _understood(s, line)
    figure = _figure(s, line, before or s.case.complaint)
    given, perhaps = replies.among(s, asked, line) if asked and asked not in read.values else ({}, {})
    sure = _sure(s, read, {**figure, **given, **read.values})
    others = [*_answers(s, perhaps), *_near_danger(s, line), *_in_doubt(s, read)]
    return _heard(s, line, sure, others, FEW_OTHERS, read.notes)


def _figure(s: Sitting, line: str, before: str) -> dict[str, str]:
    """What a figure by itself says after other words: "15 seconds", of a shot that was told of."""
    if not before or not replies.is_figure(line):
        return {}
    values: Mapping[str, str] = _understood(s, f"{before.rstrip(' .,;!')}, {line}").values
    known = _understood(s, before).values
    return {n: v for n, v in values.items() if n not in known}


def _understood(s: Sitting, line: str) -> Interpretation:
    """What the lookup reads; nothing, and a note, where its own words can't be opened."""
    try:
        return s.lookup.understand(line)
    except UserError as error:
        s.say("no_reading", why=str(error).splitlines()[0])
        return _Nothing()


class _Nothing:
    """Nothing understood."""

    symptoms: tuple[str, ...] = ()
    maybe: tuple[str, ...] = ()
    values: Mapping[str, str] = MappingProxyType({})
    doubtful: Mapping[str, str] = MappingProxyType({})
    tried: Mapping[str, str] = MappingProxyType({})
    notes: tuple[str, ...] = ()


def _heard(s: Sitting, line: str, sure: list[Item], others: list[Item], few: int,
           remarks: Iterable[str]) -> Heard:
    known = s.case.complaints
    new = [i for i in dict.fromkeys(sure) if i.kind != "symptom" or i.name not in known]
    brought = {name for i in new for name, _ in i.brings}
    doubt = [i for i in dict.fromkeys(others) if i not in new and i.name not in brought
             and not any(n.rules_out(i) for n in new)
             and (i.kind != "symptom" or i.name not in known)]
    return Heard(line, tuple(_gravest_first(s, new)), tuple(_gravest_first(s, doubt[:few])),
                 tuple(remarks))


def _sure(s: Sitting, read: Interpretation, values: Mapping[str, str]) -> list[Item]:
    """The symptoms claimed, each with the answers that say the same, other answers, and fixes."""
    answers = {i.name: i.value for i in _answers(s, values)}
    perhaps = {i.name: i.value for i in _answers(s, read.doubtful)} | answers
    symptoms = []
    for one in _symptoms(s, [*read.symptoms, *_said_by(s, read.maybe, answers)])[:MOST_SYMPTOMS]:
        same = {n: v for n, v in told.answers(s.book, one.name).items() if perhaps.get(n) == v}
        symptoms.append(Item("symptom", one.name, brings=tuple(same.items())))
        answers = {n: v for n, v in answers.items() if n not in same}
    return [*symptoms, *(Item("answer", n, v) for n, v in answers.items()), *_tried(s, read)]


def _said_by(s: Sitting, maybe: Iterable[str], answers: Mapping[str, str]) -> list[str]:
    """Symptoms in doubt that an answer plainly given says too: one thing, not two."""
    return [n for n in maybe if n in s.book.symptoms
            and any(answers.get(name) == said for name, said in told.answers(s.book, n).items())]


def _symptoms(s: Sitting, names: Iterable[str]) -> list[Item]:
    return [Item("symptom", n) for n in names if n in s.book.symptoms]


def _answers(s: Sitting, values: Mapping[str, str]) -> list[Item]:
    """The values that the book asks for, that can be read, and that were not given already."""
    found = []
    for name, text in values.items():
        try:
            value = s.read(name, text) if name in s.book.observations else None
        except AnswerError:
            continue
        if value is not None and s.case.values.get(name) != value:
            found.append(Item("answer", name, str(text)))
    return found


def _tried(s: Sitting, read: Interpretation) -> list[Item]:
    """The fixes that were tried already, those apart that are on record."""
    known = {(t.remedy, t.outcome) for t in s.case.fixes}
    return [Item("tried", n, outcome) for n, outcome in read.tried.items()
            if n in s.book.remedies and (n, outcome) not in known]


def _in_doubt(s: Sitting, read: Interpretation) -> list[Item]:
    return [*_symptoms(s, read.maybe), *_answers(s, read.doubtful)]


def _near_danger(s: Sitting, line: str) -> list[Item]:
    return _symptoms(s, s.lookup.near_danger(line))


def _gravest_first(s: Sitting, items: list[Item]) -> list[Item]:
    return sorted(items, key=lambda i: not stops(s, i))
