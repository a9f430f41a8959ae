"""Patterns of words, and the text as they see it.

A pattern is a row of words that may stand apart: `since .. <changed> .. <beans>`. Words count
by their stems; words of no weight are passed over on both sides.

    <name>      any word or phrase of that class
    (a|b c|)    one of these; an empty one makes it optional
    ..          up to three words of the same clause
    ..,         the same, and a comma counts as one of them
    ...         up to nine words of the same sentence
    NUM         a number
    NOW         "and now", ", now", "but now": what went before came before the trouble

A negation in a pattern needs one in the text; without one, the words must not be negated.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence, Set
from functools import lru_cache
from typing import NamedTuple

import msgspec

from diagnose.reading.clauses import SENTENCE
from diagnose.search.text import Word, plain, stem, words

BREAK = ","
"""How the end of a clause is written in a code."""
NEGATED = "!"
_BREAKING = frozenset(["but", "however", "though", "although", "while", "whereas", "except"])
_PARTS = re.compile(r"\([^()]*\)|<\w+>|\.\.,|\.{2,3}|NUM\b|NOW\b|[^\s()<>]+")
_GAPS = {"..,": r"(?: (?!not\b)\S+){0,3}?",
         "..": r"(?: (?!not\b|,)\S+){0,3}?", "...": r"(?: (?!not\b)\S+){0,9}?"}
_MARK = re.compile(r"[,;:()]|\s-\s")
_JOINING = frozenset(["and", "then", "because"])
_BEGINNING = frozenset(["i", "it", "its", "now", "then", "we", "every", "they", "there", "my"])
"""Words after a joining one with which something new is said."""
_DETERMINERS = frozenset(["the", "my", "our", "a"])
_VERBS = frozenset(map(stem, [
    "is", "are", "runs", "comes", "tastes", "pours", "goes", "gets", "looks", "drips", "leaks",
    "screams", "has", "does", "smells", "stays", "feels", "takes", "makes", "gushes", "chokes",
    "hums", "trips", "spits", "keeps", "stops", "shot", "flew", "fell", "blew", "burst", "broke",
]))
SUBJECT = 3
"""Words after a joining one and "the" among which a verb shows that something new is said."""
_MADE = frozenset(map(stem, ["machine", "maker", "grinder", "mill"]))
"""What coffee may stand before without being meant: "a new coffee machine"."""
_COFFEE = frozenset(["coffee", "espresso"])
_EMPTY = ("", " not", " hardly")
_NUMBER = r" \d[\d.,]*[a-z]*"
NOW = "now"
_JOINED = re.compile(r"\b(?:and|but)\Z")
_SINCE = rf" {BREAK}(?: (?:and|but))? {NOW}"
_PLACES = {"NUM": _NUMBER, "NOW": _SINCE}


class PatternError(ValueError):
    """A pattern that can't be used, and why."""


class Pattern(msgspec.Struct, frozen=True, array_like=True):
    """A pattern made ready."""

    code: str
    """A regular expression over the code of a sentence."""
    needs: tuple[tuple[str, ...], ...]
    """Stems of each of which one must stand in the text."""

    def bears(self, said: Set[str]) -> bool:
        """May it fit a text of these stems?"""
        return all(not said.isdisjoint(some) for some in self.needs)


class Sentence(NamedTuple):
    """A sentence as patterns see it."""

    text: str
    code: str
    """Its stems in order, each after a blank; negated ones marked, clauses parted."""
    at: tuple[int, ...]
    """Where each begins in the code."""
    said: tuple[tuple[int, int], ...]
    """Where each stands in the text."""

    def bounds(self, start: int, end: int) -> tuple[int, int]:
        """Where the clauses round a stretch of the code begin and end in it."""
        before = self.code.rfind(f" {BREAK}", 0, start + 1)
        after = self.code.find(f" {BREAK}", end)
        return max(before, 0), after if after >= 0 else len(self.code)

    def clause(self, start: int, end: int) -> str:
        """The text of the clauses round a stretch of the code."""
        before, after = self.bounds(start, end)
        left = self.said[bisect_left(self.at, before)][1] if before else 0
        right = self.said[bisect_left(self.at, after)][0] if after < len(self.code) else len(self.text)
        return self.text[left:right]

    def stretch(self, start: int, end: int) -> tuple[int, int]:
        """Where a stretch of the code stands in the text."""
        first, last = bisect_left(self.at, start), bisect_right(self.at, end - 1) - 1
        return self.said[first][0], self.said[last][1]


def sentences(text: str, skip: frozenset[str]) -> Iterator[Sentence]:
    """The sentences of a text that hold a word."""
    for part in SENTENCE.split(text):
        said = plain(part)
        code, at, places, last = "", [], [], 0
        row = words(said)
        for number, word in enumerate(row):
            if word.stem in _COFFEE and number + 1 < len(row) and row[number + 1].stem in _MADE:
                continue
            for token in _tokens(said, last, word, _begins(row, number), skip):
                at.append(len(code))
                places.append((word.start, word.start if token == BREAK else word.end))
                code += f" {token}"
            last = word.end
        if code:
            yield Sentence(said, code, tuple(at), tuple(places))


def _begins(row: Sequence[Word], number: int) -> bool:
    """Does something new begin after a joining word, or with "now" after one?"""
    after = [word.stem for word in row[number + 1:number + 3 + SUBJECT]]
    if row[number].stem not in _JOINING or not after:
        return False
    return after[0] in _BEGINNING or (
        after[0] in _DETERMINERS and not _VERBS.isdisjoint(after[2:2 + SUBJECT]))


def _tokens(said: str, last: int, word: Word, begins: bool, skip: frozenset[str]) -> Iterator[str]:
    parted = last and (_MARK.search(said, last, word.start) or word.stem in _BREAKING or begins)
    if parted:
        yield BREAK
    if word.stem == NOW and (parted or _JOINED.search(said, 0, last)):
        yield NOW
    elif word.stem not in skip:
        yield NEGATED + word.stem if word.negated else word.stem


def make(pattern: str, classes: Mapping[str, Sequence[str]], skip: frozenset[str],
         either: bool = False) -> Pattern:
    """Make a pattern ready; `either`: negated words fit as well. Raises PatternError."""
    made = _row(pattern, classes, skip, either)
    needs = [stems for _, found, _ in made for stems in found]
    if all(set(stems) <= {"not", "hardly"} for stems in needs):
        raise PatternError(f"{pattern!r} holds no word that must be there")
    return Pattern("".join(code for code, _, _ in made) + r"(?= |$)", tuple(needs))


def _row(row: str, classes: Mapping[str, Sequence[str]], skip: frozenset[str],
         negated: bool) -> list[tuple[str, list[tuple[str, ...]], bool]]:
    """What `_part` makes of each part of a row of words."""
    made = []
    for part in _PARTS.findall(row):
        made.append(_part(part, classes, skip, negated))
        negated |= made[-1][2]
    return made


def _part(part: str, classes: Mapping[str, Sequence[str]], skip: frozenset[str],
          negated: bool) -> tuple[str, list[tuple[str, ...]], bool]:
    """The code of one part, the stems it needs, and whether it negates what follows."""
    if part in _GAPS:
        return _GAPS[part], [], False
    if part in _PLACES:
        return _PLACES[part], [], False
    if part[0] == "(":
        return _either(part[1:-1].split("|"), classes, skip, negated)
    if part[0] == "<":
        if part[1:-1] not in classes:
            raise PatternError(f"there is no class {part}")
        return _either(classes[part[1:-1]], classes, skip, negated)
    return _literal(part, skip, negated)


def _either(rows: Sequence[str], classes: Mapping[str, Sequence[str]], skip: frozenset[str],
            negated: bool) -> tuple[str, list[tuple[str, ...]], bool]:
    codes: list[str] = []
    firsts: list[str] = []
    negates, needed = False, True
    for row in rows:
        made = _row(row, classes, skip, negated)
        code = "".join(code for code, _, _ in made)
        empty = ("",) if len(row.split()) == 1 else _EMPTY
        if row.strip() and all(part in _GAPS or found in empty for part, (found, _, _) in
                               zip(_PARTS.findall(row), made, strict=True)):
            continue  # of words passed over: it would fit anything
        codes.append(code)
        negates |= any(n for _, _, n in made)
        stems = [s for _, found, _ in made for s in found]
        needed &= bool(stems)
        firsts += stems[0] if stems else ()
    joined = "|".join(sorted(dict.fromkeys(codes), key=len, reverse=True))
    return f"(?:{joined})", [tuple(dict.fromkeys(firsts))] if needed else [], negates


def _literal(text: str, skip: frozenset[str], negated: bool) -> tuple[str, list[tuple[str, ...]], bool]:
    code, negates = "", False
    needs: list[tuple[str, ...]] = []
    for word in words(text):
        if word.stem in skip:
            continue
        no = word.stem in ("not", "hardly")
        mark = f"{NEGATED}?" if (negated or negates) and not no else ""
        code += f" {mark}{re.escape(word.stem)}"
        needs.append((word.stem,))
        negates |= no
    return code, needs, negates


@lru_cache(maxsize=4_000)
def compiled(code: str) -> re.Pattern[str]:
    """The expression of a pattern, kept."""
    return re.compile(code)
