"""A complaint cut into sentences and clauses, and clauses that say something is fine."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

import msgspec
from msgspec.structs import replace

from diagnose.search import documents as cat
from diagnose.search.lexicon import Lexicon
from diagnose.search.text import plain

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
_NEUTRAL = re.compile(
    r"(?:(?:and|it|that|all|everything|otherwise|the|my|machine|grinder|still|also|both|i|we|then|so|just|have|"
    r"had)\b\s*+)*+(?:heats?|warms?|pumps?|brews?|grinds?|steams?|froths?|starts?|works?|runs?|fills?|"
    r"(?:pulled|took out) (?:the|its) plug|unplugged|(?:switched|turned) off)"
    r"(?: (?:up|on|it|off|out|again|at once|straight away|right away|there|then))*\W*")
"""A part at its work, or what was done to be safe: by itself no fault."""
_BETTER = re.compile(
    r"\b(?:ma[dk]es? (?:it |them |(?:the |my )?(?:coffee |shots? |espresso |milk |drink )?)"
    r"(?:(?:much|a lot|so much|far|all|taste) )*(?:better|sweeter|thicker|good|fine|right|richer|quieter)|"
    r"puts? (?:it|things|everything|that) right|did the trick|"
    r"(?:has |have |it )?(?:cured|solved|fixed|sorted)(?: it| that| the (?:problem|trouble))|"
    r"(?:comes?|came|tast\w+|ran|runs|was|is|went|got) (?:out )?(?:(?:much|a lot|far|so much) )?"
    r"(?:better|sweeter|right again)|"
    r"(?:fine|ok|okay|good|great|perfect|right|normal) again|work(?:s|ed) again)\b")
"""Words that say that something put the trouble right."""
_NO_BETTER = re.compile(
    r"\b(?:not|never|no|nothing|hardly|only|bit|slightly|little|while|until|till|hours?|days?|weeks?|shots?|1|2|once|"
    r"than|some|sometimes|if|would|should|could|how|what|to)\b|n't\b|\?")
"""Words with which it was not put right, or not for good."""
_DONE = re.compile(
    r"\b(?:clean\w*|rins\w+|wash\w*|wip\w+|brush\w*|scrub\w*|soak\w*|remov\w+|t(?:ake|aking|ook)|pull\w* out|"
    r"chang\w+|swap\w*|replac\w+|switch\w* to|us(?:ed|ing)|new|fresh|different|other|another|grind\w*|ground|"
    r"without|with)\b")
"""What people do that may put it right."""
LONGEST_CLAUSE = 60
"""Words of a clause that are read; nobody states one complaint in more."""


class Clause(msgspec.Struct, frozen=True):
    """A stretch of a complaint that says one thing."""

    text: str
    tokens: tuple[cat.Token, ...]
    denied: bool
    """Says that something is as it should be."""
    past: bool
    """Says how it was, not how it is."""


def sentences(text: str, lex: Lexicon) -> Iterable[list[Clause]]:
    """The sentences of a text, each as its clauses; empty ones left out."""
    fine, danger = _any(lex.fine), _any(lex.danger)
    for sentence in SENTENCE.split(text):
        found = []
        for part in _CLAUSE.split(sentence):
            if part and part.strip():
                short = " ".join(part.split()[:LONGEST_CLAUSE])
                tokens = cat.tokens(short, lex)
                if tokens:
                    said = plain(short)
                    found.append(Clause(short, tokens, _denied(said, fine), bool(PAST.search(said))))
        if found:
            yield found if danger.search(plain(sentence)) else _cured(sentence, found)


def better(text: str) -> bool:
    """Does a sentence tell what put the trouble right?"""
    said = plain(text)
    hit = _BETTER.search(said)
    return bool(hit and _DONE.search(said) and not _NO_BETTER.search(said))


def _cured(sentence: str, found: list[Clause]) -> list[Clause]:
    """The clauses of a sentence; what put the trouble right, and how it was then, is no trouble."""
    if not better(sentence):
        return found
    return [replace(c, denied=c.denied or bool(_DONE.search(plain(c.text)) or _BETTER.search(plain(c.text))))
            for c in found]


@lru_cache(maxsize=16)
def _any(said: tuple[str, ...]) -> re.Pattern[str]:
    """Any of these words or phrases; kept, for every text asks for the same."""
    words = "|".join(re.escape(word) for word in sorted(said, key=len, reverse=True))
    return re.compile(rf"\b(?:{words})\b" if words else r"(?!)")


def _denied(said: str, fine: re.Pattern[str]) -> bool:
    if _NOT_IT.search(said) or _NEUTRAL.fullmatch(said.strip()):
        return True
    found = _ENOUGH.search(said) or fine.search(said)
    return bool(found) and not _STILL_WRONG.search(said.replace(found.group(), " ") if found else said)
