"""A house's fix that is a shipped one over again needs the cautions of the shipped one."""

from __future__ import annotations

from collections.abc import Mapping

from rapidfuzz import fuzz, process, utils

from diagnose.book.model import Remedy

HANDS = ("anyone", "careful owner", "technician")
NAMES_ALIKE, STEPS_ALIKE = 84, 78
"""How alike, of 100, names and steps of two fixes must be to be the same work."""


def uncautioned(name: str, new: Remedy, remedies: Mapping[str, Remedy]) -> str:
    """Why a new fix can't be: it is the twin of another, without its cautions or in lesser hands."""
    for other, old in remedies.items():
        lost = [c for c in old.cautions if c not in new.cautions]
        lesser = HANDS.index(new.who) < HANDS.index(old.who)
        if other != name and (lost or lesser) and _same_work(new, old):
            mend = f"add {', '.join(lost)} to `cautions:`" if lost else f"make it `who: {old.who}`"
            return f"{name}: is the same work as {other}, without what keeps people safe in it; {mend}"
    return ""


def _same_work(new: Remedy, old: Remedy) -> bool:
    if fuzz.token_set_ratio(new.name, old.name, processor=utils.default_process) >= NAMES_ALIKE:
        return True
    alike = sum(process.extractOne(step, new.steps, scorer=fuzz.token_set_ratio,
                                   processor=utils.default_process, score_cutoff=STEPS_ALIKE) is not None
                for step in old.steps)
    return 2 * alike > len(old.steps)
