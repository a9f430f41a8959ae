"""Checks of what a remedy does where it does not fit: under a hazard it may not run unsaid."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.book.lint.hazards import done, meets, table
from diagnose.book.lint.issue import ERROR, Violation, check
from diagnose.book.lint.survey import Survey


@check(ERROR)
def harm_unstated(survey: Survey) -> Iterator[Violation]:
    """A remedy that runs, heats, opens or pressurises, for a trouble that a hazard brings as well."""
    alarms = _alarms(survey)
    for name, remedy in survey.book.remedies.items():
        shared = sorted(_brought(survey, name) & alarms.keys())
        if remedy.who == "technician" or remedy.harmful_under or not shared:
            continue
        for doing, touch in table().does.items():
            if word := meets(touch, done(remedy)):
                yield Violation(("remedies", name), f"{name} says {word!r} and so {touch.what} ({doing}), "
                                f"and {shared[0]} can come of a hazard ({alarms[shared[0]]}); say in "
                                "`harmful_under:` under which causes that does harm")
                break


@check(ERROR)
def harm_cures(survey: Survey) -> Iterator[Violation]:
    """A remedy said to do harm under a cause that lists it as its cure."""
    for name, cause in survey.book.causes.items():
        for use in cause.remedies:
            harm = survey.book.remedies[use.remedy].harmful_under
            if harm and name in harm.causes:
                yield Violation(("remedies", use.remedy), f"{use.remedy} is a remedy of {name} and "
                                "harmful under it; take it out of one of the two")


def _brought(survey: Survey, remedy: str) -> set[str]:
    """The complaints that the causes of a remedy bring."""
    return {s for cause in survey.book.causes.values()
            if any(use.remedy == remedy for use in cause.remedies) for s in cause.shows}


def _alarms(survey: Survey) -> dict[str, str]:
    """Symptoms that raise a stop by themselves, with the caution."""
    facts = {name: set(symptom.finding.items()) for name, symptom in survey.book.symptoms.items()}
    return {symptom: caution for caution, stated in survey.book.cautions.items()
            if stated.stop == "yes" and stated.when is not None
            for alternative in survey.holds["cautions", caution, "when"]
            for symptom, claimed in facts.items()
            if all(lit.holds and lit.values and any(n == lit.name and v in lit.values
                                                    for n, v in claimed) for lit in alternative)}


CHECKS = (harm_unstated, harm_cures)
