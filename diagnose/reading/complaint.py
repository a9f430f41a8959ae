"""Reading a complaint: which symptoms it states, and which questions it answers already.

Two readers listen: the learnt one (`reader`), which gives chances, and the phrasebook
(`statements`), which knows what stands in the words but not how often such words mislead. What
is claimed both hear, or the learnt one is sure of; what is offered is put to the person.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from diagnose.book import answers
from diagnose.book.book import Book
from diagnose.reading import danger, quantities, reader, taught
from diagnose.reading.clauses import sentences
from diagnose.reading.language import ENGLISH, UNREADABLE, language
from diagnose.reading.reader import Reading
from diagnose.reading.wordings import claims, phrasebook, statements
from diagnose.search.index import Index
from diagnose.search.text import plain

LONGEST = 8_000
"""Signs of a complaint that are read."""
MOST_CLAIMED, MOST_NAMED = 3, 6
"""Symptoms claimed at most, and claimed and offered together."""
CLAIMED = 0.8
"""Chance from which the learnt reader claims a symptom by itself: of the claims on 125 retold reports 73 %
are right, and 67 % at 0.7, for no symptom less of 192."""
AGREED, FIRST_FEW = 0.15, 3
"""Chance from which it does where the phrasebook or the search claims the same, or place among the
likeliest ones."""
OFFERED = 0.01
"""Share of the chances from which a symptom is offered."""
GRAVE_OFFERED = 0.1
"""The same for a danger: the net of `danger` listens for it more closely than this share tells."""
ANSWER_CLAIMED, ANSWER_AGREED, ANSWER_OFFERED = 0.97, 0.01, 0.2
"""The same for answers: taken by the learnt reader alone, with the phrasebook, and asked about."""
MOST_BY_ONE = 2
"""Answers taken from the learnt reader alone at most: what a person must look through grows with each. On 125
retold reports 59 of 100 are right with two, 57 without a bound, for two of 473 answers less."""
MOST_OFFERED_ANSWERS = 3
SHORT = 12
"""Words up to which a text is short: what it says plainly stands without a second reader, and the learnt
one, which lives on what is said together, is not believed alone."""


@dataclass(frozen=True)
class Understood:
    """What a complaint says: symptoms (the surest first), answers, and what to tell the person."""

    symptoms: tuple[str, ...]
    values: dict[str, str]
    """Observation to text that its answer takes."""
    scores: dict[str, float] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    language: str = ENGLISH
    maybe: tuple[str, ...] = ()
    """Symptoms that the words could mean but that were not claimed."""
    doubtful: dict[str, str] = field(default_factory=dict)
    """Answers that the words could mean, to be asked about: as `values`."""
    likely: dict[str, float] = field(default_factory=dict)
    """Shares of one whole: which symptom is the chief one, as far as the words tell."""
    tried: dict[str, str] = field(default_factory=dict)
    """Remedies tried already, with what came of them: `same` or `better`."""


def index_of(book: Book) -> Index:
    """The search index of a book, made once."""
    return book.once(Index)


def understand(book: Book, text: str, today: Any = None) -> Understood:
    """Read a free-text complaint against a book."""
    index = index_of(book)
    said, notes = _readable(text)
    if not said.strip():
        return Understood((), {}, notes=(*notes, "There is nothing to read here; say in a few "
                                         "words what is wrong."))
    tongue = language(said, index.lexicon)
    if tongue != ENGLISH:
        return Understood((), {}, notes=(*notes, _foreign(tongue)), language=tongue)
    stated = statements.read(book, book.once(_phrasebook), quantities.figures(plain(said)))
    reading = reader.read(said)
    alive = _still_wrong(index, said)
    amiss = reading if alive is None else reader.read(alive)
    claimed = _claimed(book, index, stated, amiss)
    likely = {s: share for s, share in amiss.likely.items() if s in book.symptoms}
    values, more = _values(book, stated, reading, today)
    grave = claims.dangers(book)
    offered = [*(s for s in stated.maybe if s in likely),
               *(s for s, share in likely.items() if share >= (GRAVE_OFFERED if s in grave else OFFERED))]
    return Understood(
        tuple(claimed), values, claimed, (*notes, *more), likely=likely,
        maybe=tuple(s for s in dict.fromkeys(offered) if s not in claimed)[:MOST_NAMED - len(claimed)],
        doubtful=_asked_about(book, stated, reading, values), tried=stated.tried)


def _phrasebook(_: Book) -> phrasebook.Phrasebook:
    return phrasebook.load()


def _still_wrong(index: Index, text: str) -> str | None:
    """The clauses that say how something is, those left out that call it fine or past; None for all."""
    rows = [list(clauses) for clauses in sentences(text, index.lexicon)]
    if not any(c.denied or c.past for row in rows for c in row):
        return None
    return ". ".join(", ".join(c.text for c in row if not (c.denied or c.past)) for row in rows)


def _claimed(book: Book, index: Index, stated: statements.Statements, reading: Reading
             ) -> dict[str, float]:
    """The symptoms that the words plainly state, the surest first, with their chances.

    What both readers hear is claimed, what the learnt one is sure of, and every danger, unless a longer
    text does not come near to it; a symptom that the house added was not there to be learnt, so the search's
    word stands alone; and words that the house has taught are claimed as they stand.
    """
    heard = claims.claimed(book, index, book.once(_phrasebook), stated)
    first = list(reading.symptoms)[:FIRST_FEW]
    short = _short(stated.text)
    grave = claims.dangers(book)
    if not short and not grave.isdisjoint(heard):
        far = danger.unheard(book, stated.text, grave & heard.keys())
        heard = {s: score for s, score in heard.items() if s not in far}
    found = {s: max(reading.symptoms.get(s, 0.0), AGREED) for s in heard
             if (short and s in stated.symptoms) or s in first or s in grave
             or reading.symptoms.get(s, 1.0) >= AGREED}
    found |= {s: claims.STATED_SCORE for s in taught.meant(book, stated.text)
              if s in book.symptoms and s not in found}
    found |= {s: chance for s, chance in reading.symptoms.items()
              if not short and chance >= CLAIMED and s in book.symptoms and s not in found}
    order = sorted(found, key=lambda s: (s not in heard or s not in grave,
                                         -found[s] if s not in grave else 0))
    kept = claims.of_one_mind(book, {s: found[s] for s in order})
    most = max(MOST_CLAIMED, sum(s in grave for s in kept))
    return dict(list(kept.items())[:most])


def _asked_about(book: Book, stated: statements.Statements, reading: Reading,
                 values: dict[str, str]) -> dict[str, str]:
    """Answers that the words may give, to be put to the person: the likeliest few."""
    found: dict[str, str] = {}
    for (name, answer), chance in reading.answers.items():
        perhaps = stated.doubtful.get(name) == answer or stated.values.get(name) == answer
        if chance >= (ANSWER_AGREED if perhaps else ANSWER_OFFERED) and name not in values \
                and _known(book, name, answer):
            found.setdefault(name, answer)
    return dict(list(found.items())[:MOST_OFFERED_ANSWERS])


def _known(book: Book, name: str, answer: str) -> bool:
    stated = book.observations.get(name)
    return stated is not None and (answer in stated.answers
                                   or (stated.kind == "yes_no" and answer in ("yes", "no")))


def _readable(text: str) -> tuple[str, list[str]]:
    """The text as far as it can be read, and what was left out."""
    if "\0" in text or sum(not s.isprintable() and s not in "\n\r\t" for s in text[:2_000]) > 20:
        return "", ["This is not text that can be read."]
    if len(text) > LONGEST:
        return text[:LONGEST], [f"Only the first {LONGEST} signs were read; the rest was left out."]
    return text, []


def _foreign(tongue: str) -> str:
    which = "in a script not read here" if tongue == UNREADABLE else f"in {tongue}"
    return (f"This seems to be {which}; only English is read. Pick the trouble from the list: "
            "`diagnose lookup --list`.")


def _values(book: Book, stated: statements.Statements, reading: Reading,
            today: Any) -> tuple[dict[str, str], list[str]]:
    found: dict[str, list[quantities.Figure]] = defaultdict(list)
    for figure in quantities.readings(stated.text):
        found[figure.name].append(figure)
    kept, notes = quantities.settle(found)
    values = {name: figure.value for name, figure in kept.items()}
    notes += _drink(values, stated.text)
    if (age := quantities.machine_age(stated.text)) and "machine_age" not in stated.values:
        values["machine_age"] = age
    values = _choices(book, stated, reading) | values
    return _valid(book, values, notes, today)


def _choices(book: Book, stated: statements.Statements, reading: Reading) -> dict[str, str]:
    """The choices that the words give plainly; of two readers that differ neither is taken."""
    found: dict[str, str] = {}
    short, warned = _short(stated.text), claims.warned_of(book)
    for name, answer in stated.values.items():
        if reading.answers.get((name, answer), 0.0) >= ANSWER_AGREED or (
                short and (name, answer) in warned):
            found[name] = answer
    if not short:
        alone: dict[str, str] = {}
        for (name, answer), chance in reading.answers.items():
            if chance >= ANSWER_CLAIMED and name not in stated.values and _known(book, name, answer):
                alone.setdefault(name, answer)
        found |= islice(alone.items(), MOST_BY_ONE)
    return found


def _short(text: str) -> bool:
    return len(text.split()) <= SHORT


def _drink(values: dict[str, str], said: str) -> list[str]:
    """Put in what ratio or volume say of the drink; returns what to note."""
    stated = quantities.ratio(said)
    if stated and "dose" in values and "drink_mass" not in values:
        grams = float(values["dose"].split()[0]) * stated
        values["drink_mass"] = f"{grams:g} g"
        return [f"1:{stated:g} from that dose was taken as {grams:g} g of drink."]
    volume = quantities.volume(said)
    if volume and "drink_mass" not in values:
        values["drink_volume"] = volume
        return [f"{volume} is a volume, foam included; a weight in grams would tell more."]
    return []


def _valid(book: Book, values: dict[str, str], notes: list[str],
           today: Any) -> tuple[dict[str, str], list[str]]:
    """The values that the book asks for and takes; a note on each that can't be right."""
    kept: dict[str, str] = {}
    for name, value in values.items():
        stated = book.observations.get(name)
        if stated is None:
            continue
        try:
            answers.parse(stated, value, today)
        except answers.AnswerError as error:
            notes.append(f"Left out: {error}.")
        else:
            kept[name] = value
    return kept, notes
