"""What the phrasebook and the search of the book's own words claim a text states.

This reader knows no chances: alone half of what it claims is right. Where the learnt reader
hears the same (see `complaint`), four in five are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from msgspec.structs import replace

from diagnose.book import conditions
from diagnose.book.book import Book
from diagnose.reading.clauses import Clause, sentences
from diagnose.reading.wordings import statements
from diagnose.reading.wordings.phrasebook import Phrasebook
from diagnose.search.documents import Token
from diagnose.search.documents import tokens as cat_tokens
from diagnose.search.index import Hit, Index

MOST = 3
"""Symptoms claimed at most."""
CLAIM_FROM = 0.62
"""Score, with what the lead over the next symptom adds, from which a symptom is claimed."""
ONE_WORD_SHARE = 0.75
"""What a claim by a single word counts."""
NEVER_BELOW = 0.56
"""No claim below this score, whatever the lead."""
LEAD_SHARE = 0.8
"""How much of the lead (up to MOST_LEAD) is added."""
MOST_LEAD = 0.15
NO_RIVAL_BELOW = NEVER_BELOW - MOST_LEAD
"""Score below which another symptom takes nothing from any lead."""
LEAST_LEAD = 0.04
"""A smaller lead leaves it in doubt, unless the score is NO_LEAD_NEEDED."""
ONE_WORD_LEAD = 0.1
"""Lead that a claim needs which rests on one word."""
NO_LEAD_NEEDED = 0.85
FURTHER_FROM = 0.66
"""Score that a further symptom needs by itself: chance fits grow with the words there are."""
LONGEST_MAYBE = 30
"""Words of a complaint searched as one for what it could mean."""
PER_FURTHER_WORD = 0.05
"""What each further word adds that bears on a symptom: of two readings the fuller stands."""
MOST_CLAUSES = 4
"""Clauses of a sentence that may state one symptom together."""

BESIDE_STATED = 0.75
"""Score that a symptom needs beside what is plainly stated."""
WHOLE_CLAUSE_FROM, WHOLE_CLAUSE_LEAD = 0.8, 0.15
"""Score of a symptom for a clause, and lead, with which it stands for one that a part of it states."""
STATED_SCORE, FOLLOWS_SCORE = 0.9, 0.8
"""What a symptom counts that a phrase states, of the book or of a house, and one that follows from an
answer."""


def claimed(book: Book, index: Index, phrases: Phrasebook,
            stated: statements.Statements) -> dict[str, float]:
    """What is stated, what follows from the answers, and what the rest of the words mean.

    Dangers come first and are all kept, whatever else the same words state.
    """
    claimed: dict[str, float] = {}
    for symptom in stated.symptoms:
        claimed[_better(index, stated.clauses[symptom], symptom) or symptom] = STATED_SCORE
    for name, answer in stated.values.items():
        told = name not in phrases.context or (name, answer) in warned_of(book)
        follow = book.once(_follows).get((name, answer), ()) if told else ()
        if follow and not claimed.keys() & set(follow):
            likest = _likest(index, stated.text, follow)
            claimed.setdefault(_better(index, stated.clauses[name], likest) or likest, FOLLOWS_SCORE)
    claimed |= {s: score for s, score in _symptoms(index, stated.rest).items()
                if s not in claimed and s not in stated.unsaid and (not claimed or score >= BESIDE_STATED)}
    grave = {s: score for s, score in _symptoms(index, stated.text).items()
               if s in dangers(book) and s not in stated.unsaid}
    first = {s: claimed.get(s, score) for s, score in grave.items()} | {
        s: score for s, score in claimed.items() if s in dangers(book)}
    most = max(MOST, len(first))
    return dict(list(of_one_mind(book, first | claimed).items())[:most])


def dangers(book: Book) -> frozenset[str]:
    """The symptoms that a caution speaks of."""
    return book.once(_dangerous)


def _dangerous(book: Book) -> frozenset[str]:
    told = warned_of(book)
    return frozenset(s for s, stated in book.symptoms.items() if told & set(stated.finding.items()))


def warned_of(book: Book) -> frozenset[tuple[str, str]]:
    """The answers and findings, each with its value, that a caution speaks of."""
    return book.once(_warned)


def _warned(book: Book) -> frozenset[tuple[str, str]]:
    return frozenset(fact for path, node in book.conditions.items()
                     if path[0] == "cautions" for fact in conditions.facts(node))


def _better(index: Index, clause: str, symptom: str) -> str:
    """The symptom whose phrases fit the whole clause far better than those of this one; else ``."""
    hits = _scores(index, clause)
    best = max(hits, key=lambda s: hits[s], default="")
    if best and hits[best] >= WHOLE_CLAUSE_FROM and hits.get(symptom, 0.0) <= hits[best] - WHOLE_CLAUSE_LEAD:
        return best
    return ""


def _likest(index: Index, text: str, symptoms: tuple[str, ...]) -> str:
    """Of several symptoms that one answer makes, the one that the words are most like."""
    if len(symptoms) == 1:
        return symptoms[0]
    scores = _scores(index, _beginning(text))
    return max(symptoms, key=lambda s: scores.get(s, 0.0))


def _scores(index: Index, text: str) -> dict[str, float]:
    """Symptom to how well its phrases fit the words."""
    return {h.id: h.score for h in index.score(cat_tokens(text, index.lexicon))}


def _beginning(text: str) -> str:
    """As much of a text as is searched as one."""
    return " ".join(text.split()[:LONGEST_MAYBE])


def _follows(book: Book) -> dict[tuple[str, str], tuple[str, ...]]:
    """Answer to the symptoms whose finding it makes by itself."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for symptom, stated in book.symptoms.items():
        for finding, value in stated.finding.items():
            node = book.conditions.get(("findings", finding, "values", value, "when"))
            for test in conditions.sufficient_tests(node) if node else ():
                for answer in test.words:
                    found[test.name, answer].append(symptom)
    return {key: tuple(symptoms) for key, symptoms in found.items()}


def _symptoms(index: Index, text: str) -> dict[str, float]:
    found: list[tuple[float, Hit, frozenset[int]]] = []
    number = 0
    for clauses in sentences(text, index.lexicon):
        for start in range(len(clauses)):
            for end in range(start + 1, min(len(clauses), start + MOST_CLAUSES) + 1):
                hit = _claim(index, clauses[start:end])
                if hit is not None:
                    span = frozenset(range(number + start, number + end))
                    size = len(_core(index, [t for c in clauses[start:end] for t in c.tokens]))
                    found.append((hit.score + PER_FURTHER_WORD * min(size - 1, 4), hit, span))
        number += len(clauses)
    return _choose(found)


def of_one_mind(book: Book, claimed: dict[str, float]) -> dict[str, float]:
    """Claims that can hold together: of two values of one finding the surer stands."""
    kept: dict[str, float] = {}
    stated: set[str] = set()
    for name, score in claimed.items():
        finding = set(book.symptoms[name].finding)
        if not finding & stated:
            stated |= finding
            kept[name] = score
    return kept


def _choose(found: list[tuple[float, Hit, frozenset[int]]]) -> dict[str, float]:
    """The best claims that don't use the same words twice."""
    claimed: dict[str, float] = {}
    taken: set[int] = set()
    for _, hit, span in sorted(found, key=lambda f: (-f[0], f[1].id)):
        if len(claimed) == MOST:
            break
        if not taken & span and (not claimed or hit.score >= FURTHER_FROM):
            taken |= span
            claimed.setdefault(hit.id, hit.score)
    return claimed


def _claim(index: Index, clauses: list[Clause]) -> Hit | None:
    """The symptom that these clauses together state, if they plainly state one."""
    if any(c.denied or c.past for c in clauses):
        return None
    tokens = [t for c in clauses for t in c.tokens]
    core = _core(index, tokens)
    if not core:
        return None
    if name := _one_word(index, core):
        return next((replace(h, score=max(h.score, ONE_WORD_SHARE)) for h in index.score(tokens)
                     if h.id == name), None)
    hits = sorted(index.score(tokens, least=NO_RIVAL_BELOW), key=lambda h: (-h.score, h.id))
    if not hits or hits[0].score < NEVER_BELOW:
        return None
    lead = hits[0].score - (hits[1].score if len(hits) > 1 else 0.0)
    if lead >= LEAST_LEAD and index.shelf("symptoms").made_out(tokens) == hits[0].id:
        return replace(hits[0], score=max(hits[0].score, ONE_WORD_SHARE))
    if len(core) < 2:
        return hits[0] if hits[0].score >= ONE_WORD_SHARE and lead >= ONE_WORD_LEAD else None
    sure = hits[0].score + LEAD_SHARE * min(lead, MOST_LEAD) >= CLAIM_FROM
    return hits[0] if sure and (lead >= LEAST_LEAD or hits[0].score >= NO_LEAD_NEEDED) else None


def _core(index: Index, tokens: Sequence[Token]) -> frozenset[Token]:
    """The words that can make out a symptom: a plain "water" can't, "no water" can."""
    light, idle = index.lexicon.light_stems, index.lexicon.idle_stems
    return frozenset((stem, negated) for stem, negated in tokens
                     if stem.isalpha() and stem not in (light if negated else idle) and stem != "not")


def _one_word(index: Index, core: frozenset[Token]) -> str:
    """The symptom that a single word states; else ``."""
    if len(core) != 1:
        return ""
    (stem, negated), = core
    name = "" if negated else index.lexicon.alone_stems.get(stem, "")
    return name if name in index.shelf("symptoms").names else ""
