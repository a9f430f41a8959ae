"""What a text plainly states: answers, symptoms and fixes tried, clause by clause.

Each is a match of a pattern of the phrasebook, or of the book's own words for an answer near a
word for what is asked. How it is said decides what it is worth: plainly, with doubt, or of the
past or of what was only wished or meant, and then nothing.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import islice

import msgspec

from diagnose.book.book import Book
from diagnose.reading.clauses import PAST, better
from diagnose.reading.wordings.patterns import BREAK, NEGATED, Sentence, compiled, sentences
from diagnose.reading.wordings.phrasebook import Phrasebook, Wording
from diagnose.search.text import words

PLAIN, DOUBTED, VOID = 2, 1, 0
LEFT, LEFT_WORDS = 0.6, 4
"""Share and number of a clause's words that must be left for it to say more than was understood."""
BEGINNING = frozenset(["last_change"])
"""Observations that ask for what came before the trouble."""
NEAR = 4
"""Words that may stand between what is asked about and the book's own words for the answer."""
_DOUBT = re.compile(
    r"\b(?:i think|i guess|i suppose|i suspect|maybe|perhaps|might|may be|could be|possibly|"
    r"probably|"
    r"not sure|unsure|must be|must have|do you think|wonder\w*|as if|or something|apparently|unless|"
    r"or is it|is it|blame\w*|reckon)\b")
_UNREAL = re.compile(
    r"\b(?:should|shouldn't|would|wouldn't|supposed to|meant to|want to|wanted to|need to|going to|"
    r"about to|plan to|thinking of|how (?:do|can|to)|(?:shall|can|could|may) i|if i|instead of|rather than|"
    r"friend'?s|neighbou?r'?s|everyone says|they say|people say|do i (?:have|need)|try to|trying to)\b")
_DEGREES = frozenset(["very", "really", "quite", "so", "rather"])
_ADVICE = re.compile(r"\b(?:should|shall|can|could|may) i\b|\bdo i (?:have|need)\b")
_EITHER = re.compile(
    r"\b(?:or|sometimes|some days|1 day|1 time|finer|coarser|others?|another|when|if|so|now|changed|"
    r"swapped|switched)\b")
"""Words with which two answers hold in turn, not together."""
_ASKS = re.compile(
    r"^\W*(?:(?:so|and|but|or) )?(?:is|are|was|were|should|shall|can|could|do|does|did|would|will|"
    r"might|may)\b")

MOST_ALIKE = 40
"""Times that one phrase is found in a text: what is said over and over says no more."""


class Statement(msgspec.Struct, frozen=True):
    """One thing stated: what it is, where in the text, and how surely."""

    kind: str
    name: str
    value: str
    sentence: int
    start: int
    end: int
    worth: int

    def within(self, other: Statement) -> bool:
        """Is it a part only of what the other says?"""
        return (self.sentence == other.sentence and other.start <= self.start and self.end <= other.end
                and (self.start, self.end) != (other.start, other.end))


@dataclass
class Statements:
    """All that a text states."""

    values: dict[str, str] = field(default_factory=dict)
    doubtful: dict[str, str] = field(default_factory=dict)
    symptoms: tuple[str, ...] = ()
    maybe: tuple[str, ...] = ()
    torn: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Observation to answers that can't both hold."""
    tried: dict[str, str] = field(default_factory=dict)
    clauses: dict[str, str] = field(default_factory=dict)
    """Observation or symptom to the clause that states it."""
    text: str = ""
    rest: str = ""
    """The text without what was understood."""
    unsaid: frozenset[str] = frozenset()
    """Observations and symptoms of which no word of their own stands in the text."""


def read(book: Book, phrases: Phrasebook, text: str) -> Statements:
    """What a text states, of a book."""
    rows = list(sentences(text, phrases.skip))
    said = _stems(rows)
    unsaid = _lacking(phrases, rows, said)
    found = _joined(phrases, rows, [f for f in _found(book, phrases, rows, said, unsaid) if f.worth])
    values, doubtful, torn = _answers(phrases, [f for f in found if f.kind == "answer"])
    return Statements(
        values, doubtful, _named(found, "symptom", PLAIN), _named(found, "symptom", DOUBTED), torn,
        _tried(found), {f.name: rows[f.sentence].clause(f.start, f.end) for f in reversed(found)},
        text, _rest(rows, found), unsaid)


def _joined(phrases: Phrasebook, rows: list[Sentence], found: list[Statement]) -> list[Statement]:
    """What is found, two answers that one sentence states together taken as the one they make."""
    for name, wholes in phrases.both.items():
        for whole, parts in wholes.items():
            for number, row in enumerate(rows):
                said = [f for f in found if (f.name, f.sentence, f.worth) == (name, number, PLAIN)]
                if {f.value for f in said} == set(parts) and not _EITHER.search(row.text):
                    start, end = min(f.start for f in said), max(f.end for f in said)
                    one = Statement("answer", name, whole, number, start, end, PLAIN)
                    found = [one, *(f for f in found if f not in said)]
    return found


def _named(found: list[Statement], kind: str, worth: int) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f.name for f in found if f.kind == kind and f.worth == worth))


def _stems(rows: Iterable[Sentence]) -> frozenset[str]:
    """All stems of some sentences, negated or not."""
    return frozenset(stem.lstrip(NEGATED) for row in rows for stem in row.code.split())


def _found(book: Book, phrases: Phrasebook, rows: list[Sentence], said: frozenset[str],
           unsaid: frozenset[str]) -> Iterator[Statement]:
    rules = _bearing(book, phrases, said, unsaid)
    left = [MOST_ALIKE] * len(rules)
    for number, row in enumerate(rows):
        for at, rule in enumerate(rules):
            past = rule.kind == "symptom" or (rule.kind == "answer" and rule.name not in phrases.history)
            for hit in islice(compiled(rule.pattern.code).finditer(row.code), left[at]):
                start, end = hit.span()
                left[at] -= 1
                if not _another(phrases, rule.name, row, start, end):
                    most = _most(phrases, rule, row)
                    yield Statement(rule.kind, rule.name, rule.value, number, start, end,
                                    min(most, _worth(row, start, end, past)))
        yield from _own(book, phrases, number, row)


def _most(phrases: Phrasebook, rule: Wording, row: Sentence) -> int:
    """The most that an answer counts: what put the trouble right is not what began it."""
    if rule.name in BEGINNING and better(row.text):
        return VOID
    likely = {rule.name, f"{rule.name}={rule.value}"} & phrases.offered
    return DOUBTED if likely else PLAIN


def _lacking(phrases: Phrasebook, rows: list[Sentence], said: frozenset[str]) -> frozenset[str]:
    return frozenset(name for name, some in phrases.given.items() if not some.bears(said)
                     or not any(compiled(some.code).search(row.code) for row in rows))


def _bearing(book: Book, phrases: Phrasebook, said: frozenset[str], unsaid: frozenset[str]) -> list[Wording]:
    """The rules that can fit these words, of what the book knows."""
    places = sorted({at for stem in said for at in phrases.by_stem.get(stem, ())})
    return [r for r in map(phrases.rules.__getitem__, places)
            if r.name not in unsaid and r.pattern.bears(said) and _known(book, r)]


def _known(book: Book, rule: Wording) -> bool:
    """Does the book hold what a rule means?"""
    match rule.kind:
        case "answer":
            stated = book.observations.get(rule.name)
            return stated is not None and (rule.value in stated.answers or (
                stated.kind == "yes_no" and rule.value in ("yes", "no")))
        case "symptom":
            return rule.name in book.symptoms
        case "fix":
            return rule.name in book.remedies
        case _:
            return True


def _another(phrases: Phrasebook, name: str, row: Sentence, start: int, end: int) -> bool:
    """Do other words of the clause make it another thing's?"""
    unless = phrases.unless.get(name)
    if unless is None:
        return False
    left, right = row.bounds(start, end)
    return bool(compiled(unless.code).search(row.code, left, right))


def _worth(row: Sentence, start: int, end: int, past: bool) -> int:
    """How surely something is said there; `past` if how it was counts for nothing."""
    clause = row.clause(start, end)
    first, _ = row.stretch(start, end)
    before = row.text[row.text.find(clause):first] if clause else ""
    if (past and PAST.search(clause)) or _UNREAL.search(before):
        return VOID
    asks = row.text.rstrip().endswith("?") and _ASKS.search(clause)
    return DOUBTED if asks or _DOUBT.search(clause) else PLAIN


def _own(book: Book, phrases: Phrasebook, number: int, row: Sentence) -> Iterator[Statement]:
    """Answers in the book's own words, near a word for what is asked about.

    They are only offered: of those that could be checked on the worked cases, half were wrong.
    """
    said = _stems([row])
    for name, about in phrases.about.items():
        if name not in book.observations or not about.bears(said):
            continue
        for hit in compiled(about.code).finditer(row.code):
            for answer, code in _phrases(book, phrases, name):
                place = _near(row.code, code, *hit.span())
                if place and not _another(phrases, name, row, *place):
                    yield Statement("answer", name, answer, number, *place,
                                    min(DOUBTED, _worth(row, *place, name not in phrases.history)))
    for name in phrases.own_words & book.observations.keys():
        for answer, code in _phrases(book, phrases, name):
            at = f"{row.code} ".find(f"{code} ") if code.count(" ") > 1 else -1
            if at >= 0:
                yield Statement("answer", name, answer, number, at, at + len(code),
                                _worth(row, at, at + len(code), False))


def _phrases(book: Book, phrases: Phrasebook, name: str) -> Iterator[tuple[str, str]]:
    """The book's own words for the answers of an observation, as codes, each for one answer."""
    given: dict[str, tuple[int, str]] = {}
    for answer, said in book.observations[name].answers.items():
        for phrase in (*said.lay, said.says):
            if code := _code(phrase, phrases.skip):
                given[code] = min(given.get(code, (99, "")), (len(phrase.split()), answer))
    return ((answer, code) for code, (_, answer) in given.items())


@lru_cache(maxsize=8_000)
def _code(phrase: str, skip: frozenset[str]) -> str:
    if _DEGREES & set(phrase.lower().split()):
        return ""  # passed over, they would leave another answer's words
    said = [(NEGATED if w.negated else "") + w.stem for w in words(phrase) if w.stem not in skip]
    return " " + " ".join(said) if any(s not in ("not", "nothing", "hardly") for s in said) else ""


def _near(code: str, phrase: str, start: int, end: int) -> tuple[int, int] | None:
    """Where a phrase stands in the clause of a word, at most NEAR words away."""
    left = code.rfind(f" {BREAK}", 0, start) + 1
    right = code.find(f" {BREAK}", end)
    right = len(code) if right < 0 else right
    at = f"{code[left:right]} ".find(f"{phrase} ")
    first, last = left + at, left + at + len(phrase)
    if at < 0 or (first < end and start < last):
        return None
    between = code[end:first] if first >= end else code[last:start]
    return (min(first, start), max(last, end)) if between.count(" ") <= NEAR else None


def _answers(phrases: Phrasebook, found: list[Statement]
             ) -> tuple[dict[str, str], dict[str, str], dict[str, tuple[str, ...]]]:
    """The answers said plainly, those said with doubt, and those that contradict each other."""
    by_name: dict[str, list[Statement]] = defaultdict(list)
    for one in found:
        meant = {one.name, f"{one.name}={one.value}"}
        over = (o for o in found if meant & phrases.over.get(o.name, frozenset()))
        if not any(one.within(o) or _alike(one, o) for o in over):
            by_name[one.name].append(one)
    values: dict[str, str] = {}
    doubtful: dict[str, str] = {}
    torn: dict[str, tuple[str, ...]] = {}
    for name, rows in by_name.items():
        whole = [r for r in rows if not any(r.within(o) and o.worth >= r.worth for o in rows)]
        sure = {r.value for r in whole if r.worth == PLAIN}
        given = sure or {r.value for r in whole}
        if len(given) > 1:
            torn[name] = tuple(sorted(given))
        else:
            (values if sure else doubtful)[name] = next(iter(given))
    return values, doubtful, torn


def _alike(one: Statement, other: Statement) -> bool:
    return (one.sentence, one.start, one.end) == (other.sentence, other.start, other.end)


def _tried(found: list[Statement]) -> dict[str, str]:
    """Remedies done, where the same sentence or the next says what came of it."""
    tried: dict[str, str] = {}
    for one in found:
        if one.kind == "fix" and one.worth == PLAIN:
            came = [f for f in found if f.kind in ("failed", "helped")
                    and (one.sentence, one.end) <= (f.sentence, f.start) < (one.sentence + 2, 0)]
            first = min(came, key=lambda f: (f.sentence, f.start), default=None)
            if first is not None:
                tried[one.name] = "same" if first.kind == "failed" else "better"
    return tried


def _rest(rows: list[Sentence], found: Iterable[Statement]) -> str:
    """The text without what was understood, clause by clause; what little is left of one goes too."""
    taken: dict[int, list[Statement]] = defaultdict(list)
    for one in found:
        if one.worth == PLAIN:
            taken[one.sentence].append(one)
    left = []
    for number, row in enumerate(rows):
        clauses: list[list[int]] = [[]]
        for token, at in enumerate(row.at):
            if row.code[at:at + 2] == f" {BREAK}":
                clauses.append([])
            else:
                clauses[-1].append(token)
        said = [_left(row, clause, taken[number]) for clause in clauses]
        left.append(", ".join(part for part in said if part))
    return "\n".join(part for part in left if part)


def _left(row: Sentence, clause: list[int], taken: list[Statement]) -> str:
    """What is left of a clause: all of it, its words not understood, or nothing."""
    if not clause:
        return ""
    text = row.text[row.said[clause[0]][0]:row.said[clause[-1]][1]]
    if _ADVICE.search(text):
        return ""
    free = [t for t in clause if not any(f.start <= row.at[t] < f.end for f in taken)]
    if len(free) == len(clause):
        return text
    if len(free) < LEFT_WORDS or len(free) <= LEFT * len(clause):
        return ""
    return " ".join(row.text[slice(*row.said[t])] for t in free)
