"""Text to words: one spelling, contractions undone, endings taken off, negation marked.

A word keeps whether it stands under a negation: "no sourness" and "sour" must not match,
"no crema" and "there isn't any crema" must.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

LONGEST_WORD = 40
REACH = 4
"""How many words that carry meaning a negation reaches over."""
NEGATORS = frozenset(["not", "no", "never", "without", "nor", "cannot", "neither", "lacks", "lacking"])
FAINT = frozenset(["hardly", "barely", "scarcely"])
"""Words that all but deny what follows; kept as a word of their own."""
OPENERS = frozenset([
    "but", "however", "though", "although", "yet", "except", "because", "since", "so", "then", "if",
    "whether", "when"
])
"""Words that end the reach of a negation."""
_ANEW = re.compile(r"and (?:the|my|our|it|its|it's|i|we|they|then|now)\b")
"""A joining word with a new subject, which ends it too: "no valve and the handle shot off"."""
_CONTRACTIONS = {
    "won't": "will not", "can't": "can not", "cannot": "can not", "shan't": "shall not",
    "ain't": "is not", "cant": "can not", "wont": "will not", "dont": "do not",
    "doesnt": "does not", "didnt": "did not", "isnt": "is not", "wasnt": "was not",
    "arent": "are not", "hasnt": "has not", "havent": "have not", "couldnt": "could not",
    "wouldnt": "would not", "aint": "is not", "isn't": "is not",
}
_SHORT_OK = frozenset([
    "ok", "no", "on", "is", "it", "in", "gas", "us", "its", "bus", "less", "pass", "press", "glass",
    "brass", "across", "this", "thus", "hiss", "excess", "mess", "loss", "gloss", "class", "always",
    "perhaps", "yes"
])
_IRREGULAR = {
    "ran": "run", "runs": "run", "running": "run", "went": "go", "goes": "go", "going": "go",
    "gone": "gone", "came": "come", "coming": "come", "got": "get", "gets": "get",
    "getting": "get", "gotten": "get", "grinding": "grind", "grinds": "grind",
    "grounds": "grounds", "ground": "grind", "burnt": "burn", "burned": "burn",
    "burning": "burn", "spat": "spit", "spitting": "spit", "spits": "spit", "blew": "blow",
    "blown": "blow", "frozen": "freeze", "froze": "freeze", "broke": "break", "broken": "break",
    "stuck": "stick", "sticky": "sticky", "left": "left", "took": "take", "taken": "take",
    "taking": "take", "made": "make", "making": "make", "gave": "give", "giving": "give",
    "given": "give", "stood": "stand", "hotter": "hot", "hottest": "hot", "colder": "cold",
    "cooler": "cool", "warmer": "warm", "slower": "slow", "slowly": "slow", "faster": "fast",
    "quicker": "quick", "quickly": "quick", "weaker": "weak", "stronger": "strong",
    "louder": "loud", "loudly": "loud", "thinner": "thin", "thicker": "thick",
    "lighter": "light", "darker": "dark", "harder": "hard", "longer": "long", "looser": "loose",
    "bubbly": "bubble", "bubbles": "bubble", "milky": "milk", "oily": "oil", "watery": "watery",
    "sourness": "sour", "acidity": "acid", "acidic": "acid", "noise": "noise", "noisy": "noise",
    "taste": "taste", "tastes": "taste", "tasting": "taste", "tasted": "taste",
    "leaves": "leave", "pours": "pour", "does": "do", "did": "do", "done": "done",
    "was": "be", "is": "be", "are": "be", "were": "be", "been": "be", "being": "be", "am": "be",
    "has": "have", "had": "have", "having": "have", "beans": "bean", "mouldy": "mould",
    "moldy": "mould", "mold": "mould", "lumpy": "lump", "clumpy": "clump", "flavor": "flavour",
    "color": "colour", "fibre": "fiber", "vapour": "steam", "steamed": "steam",
    "espressos": "espresso", "shocks": "shock", "tripped": "trip", "tripping": "trip",
    "stopped": "stop", "stopping": "stop", "dripping": "drip", "dripped": "drip",
    "humming": "hum", "plugged": "plug", "clogged": "clog", "jammed": "jam", "cutting": "cut",
    "spinning": "spin", "popping": "pop", "popped": "pop", "dropping": "drop",
    "dropped": "drop", "hitting": "hit", "sitting": "sit", "putting": "put", "pulled": "pull",
    "pulling": "pull", "filled": "fill", "filling": "fill", "smells": "smell",
    "smelling": "smell", "smelly": "smell", "smelled": "smell", "smelt": "smell",
    "hissing": "hiss", "hisses": "hiss", "using": "use", "used": "used", "noises": "noise",
    "finer": "finer", "finest": "finest", "coarser": "coarser", "coarsest": "coarsest",
    "nothing": "nothing", "everything": "everything", "anything": "anything",
    "something": "something", "thing": "thing", "things": "thing", "during": "during",
    "morning": "morning", "evening": "evening", "string": "string", "spring": "spring",
    "ring": "ring", "need": "need", "feed": "feed", "speed": "speed", "red": "red",
    "bed": "bed", "seed": "seed", "wed": "wed", "only": "only", "really": "really",
    "early": "early", "curly": "curly", "family": "family", "fully": "full", "ceiling": "ceiling",
}
_WORD = re.compile(r"[a-z0-9]+(?:[.,][0-9]+)?(?:'[a-z]+)?|[^\W\d_]+", re.UNICODE)
_STOP_MARK = re.compile(r"[.!?;:,\n()]")


class Word(NamedTuple):
    """One word: its stem, whether it is negated, and where it stands in the text."""

    stem: str
    negated: bool = False
    start: int = 0
    end: int = 0


def plain(text: str) -> str:
    """One spelling of a text: lower case, one kind of apostrophe and dash, no accents."""
    text = text.replace("\u2019", "'").replace("\u2018", "'").replace("\u00b4", "'").replace("`", "'")
    text = text.replace("\u2013", "-").replace("\u2014", " - ").replace("\u00df", "ss")
    text = unicodedata.normalize("NFKD", text.lower())
    return "".join(sign for sign in text if not unicodedata.combining(sign))


@lru_cache(maxsize=50_000)
def stem(word: str) -> str:
    """A word without its ending: plural, -ing, -ed, -ly, -ness, by a few careful rules."""
    if word in _IRREGULAR:
        return _tidy(_IRREGULAR[word])
    if len(word) < 4 or word in _SHORT_OK or not word.isalpha():
        return word
    for ending, least in (("ness", 3), ("ing", 3), ("ied", 2), ("ies", 2), ("ed", 3), ("ly", 4)):
        if word.endswith(ending) and len(word) - len(ending) >= least:
            return _tidy(word[:-len(ending)] + ("y" if ending in ("ied", "ies") else ""))
    if word.endswith(("sses", "shes", "ches", "xes", "zes")):
        return word[:-2]
    if word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return _tidy(word[:-1])
    return _tidy(word)


def _tidy(word: str) -> str:
    """Undo a doubled consonant and a silent e, so that all forms of a word meet."""
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "aeiouslfz":
        word = word[:-1]
    if len(word) > 4 and word.endswith("e") and not word.endswith("ee"):
        word = word[:-1]
    return word


def words(text: str, light: frozenset[str] = frozenset()) -> list[Word]:
    """The words of a text in order, negation marked; `light` words carry no meaning.

    Light words stay in the list; they only don't use up the reach of a negation.
    """
    said = plain(text)
    found: list[Word] = []
    left, last = 0, 0
    for match in _WORD.finditer(said):
        if _STOP_MARK.search(said, last, match.start()):
            left = 0
        last = match.end()
        for raw in _expand(match.group()[:LONGEST_WORD]):
            if raw in OPENERS or _ANEW.match(said, match.start()):
                left = 0
            negated = left > 0
            if raw in NEGATORS or raw in FAINT:
                left = REACH
                found.append(Word("not" if raw in NEGATORS else "hardly", False, match.start(), match.end()))
                continue
            root = stem(raw)
            found.append(Word(root, negated, match.start(), match.end()))
            if negated and root not in light:
                left -= 1
    return found


def _expand(raw: str) -> Iterable[str]:
    if raw in _CONTRACTIONS:
        return _CONTRACTIONS[raw].split()
    if raw.endswith("n't"):
        return (raw[:-3], "not")
    return (raw.split("'")[0],)
