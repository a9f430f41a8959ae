"""Words by which a text takes back a caution: no house file may use them about a danger."""

from __future__ import annotations

import re

_SAID = (
    r"harmless|no (?:real )?(?:danger|risk|hazard|harm)",
    r"not (?:at all )?(?:dangerous|a danger|a hazard|risky)",
    r"nothing to (?:fear|worry)|never mind|do(?:es)? not (?:apply|count|matter)|no longer appl(?:y|ies)",
    r"(?:perfectly|quite|entirely|completely|totally|absolutely|is|are) (?:safe|normal|fine)",
    r"all (?:is )?(?:fine|well|clear|safe)|false alarm|over-?cautious|exaggerat\w+",
    r"just in case|only (?:a )?formality",
    r"go on (?:using|brewing|as)|carry on|keep (?:on )?(?:using|brewing)|safe to \w+|feel free",
    r"no need to|need not|not (?:needed|necessary|required)|can (?:safely )?be (?:skipped|ignored|left out)",
)
_CALMS = re.compile("|".join(rf"\b(?:{part})\b" for part in _SAID), re.IGNORECASE)
_OVERRULES = re.compile(
    r"\b(?:ignore|disregard|forget|skip|overrule|override|pass over|click past|pay no attention to)\b"
    r"[^.!?]{0,40}\b(?:caution|warning|danger|hazard|stop|above|before|alarm|notice|advice)s?\b"
    r"|\b(?:caution|warning|danger|hazard|stop|alarm)s?\b[^.!?]{0,30}\b(?:wrong|mistaken|out of date|"
    r"outdated|void|cancelled|lifted|taken back|withdrawn|superseded|not meant|can be (?:ignored|skipped))\b",
    re.IGNORECASE)


def takes_back(*texts: str) -> str:
    """The words by which these texts of a caution take it back; empty where none do."""
    return _found(_CALMS, texts) or overrules(*texts)


def overrules(*texts: str) -> str:
    """The words by which these texts speak against what a caution says; empty where none do."""
    return _found(_OVERRULES, texts)


def _found(pattern: re.Pattern[str], texts: tuple[str, ...]) -> str:
    found = (pattern.search(" ".join(text.replace("*", "").replace("_", "").split())) for text in texts)
    return next((one[0] for one in found if one), "")
