"""A complaint cut into sentences and clauses, and clauses that say something is fine."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from diagnose.lookup import catalogue as cat
from diagnose.lookup.lexicon import Lexicon
from diagnose.lookup.words import plain

SENTENCE = re.compile(r"(?<=[.!?;])\s+|\n+|(?<=[a-z])\.(?=[A-Z])")
_CLAUSE = re.compile(
    r",|:|\(|\)|\s-\s|\b(?:but|however|though|although|while|whereas|because|yet|except(?: that)?|"
    r"apart from|aside from|other than|and|"
    r"as soon as|when|whenever|if|after|which|then|since (?=(?:i|we|the|my|it)\b)|"
    r"so(?= (?:i|that|it)\b))\b", re.IGNORECASE)
_STILL_WRONG = re.compile(
    r"\b(?:not|never|no longer|isnt|doesnt|dont|too|used to|was|were|until|before|then|at first|"
    r"first|start\w*|begin\w*|look\w* (?:fine|good|normal) but|would|should|could|cannot|to (?:be|get)|"
    r"stopped|only|want\w*|need\w*|wish|how|hardly)\b|n't\b")
_NOT_IT = re.compile(
    r"\b(?:nothing (?:is )?wrong with|no (?:problems?|issues?|trouble|complaints?) (?:with|at)|"
    r"(?:not|n't|isnt) (?:an? |the )?(?:\w+ ){0,2}(?:problem|issue|trouble|fault)|"
    r"(?:not|n't) (?:\w+ ){0,2}too (?:\w+ ){1,2}any ?more|no longer too|"
    r"never (?:had|been) (?:a |any )?(?:problem|trouble|issue)s?)\b")
_ENOUGH = re.compile(
    r"\b(?:hot|strong|fine|coarse|much|warm|big|good|long|well|high|clean|fresh|fast) enough\b")
PAST = re.compile(
    r"(?<!than )(?<!than it )(?<!than they )(?<!than i )"
    r"\b(?:used to|before|previously|formerly|last (?:week|month|year)|until (?:now|lately|recently|last)|"
    r"with (?:the|my) (?:old|last|previous)|in the past|once was)\b")
LONGEST_CLAUSE = 60
"""Words of a clause that are read; nobody states one complaint in more."""


@dataclass(frozen=True)
class Clause:
    """A stretch of a complaint that says one thing."""

    text: str
    tokens: tuple[cat.Token, ...]
    denied: bool
    """Says that something is as it should be."""
    past: bool
    """Says how it was, not how it is."""


def sentences(text: str, lex: Lexicon) -> Iterable[list[Clause]]:
    """The sentences of a text, each as its clauses; empty ones left out."""
    fine = _fine(lex)
    for sentence in SENTENCE.split(text):
        found = []
        for part in _CLAUSE.split(sentence):
            if part and part.strip():
                short = " ".join(part.split()[:LONGEST_CLAUSE])
                tokens = cat.tokens(short, lex)
                if tokens:
                    found.append(Clause(short, tokens, _denied(short, fine),
                                        bool(PAST.search(plain(short)))))
        if found:
            yield found


def _fine(lex: Lexicon) -> re.Pattern[str]:
    words = "|".join(re.escape(word) for word in sorted(lex.fine, key=len, reverse=True))
    return re.compile(rf"\b(?:{words})\b" if words else r"(?!)")


def _denied(text: str, fine: re.Pattern[str]) -> bool:
    said = plain(text)
    if _NOT_IT.search(said):
        return True
    found = _ENOUGH.search(said) or fine.search(said)
    return bool(found) and not _STILL_WRONG.search(said.replace(found.group(), " ") if found else said)
