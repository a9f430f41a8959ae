"""Checks of texts and sources: what can't be shown well, and what is claimed without backing."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.book.lint.issue import ERROR, Violation, check
from diagnose.book.lint.survey import Survey

LONGEST_ASK = 120
LONGEST_STEP = 300
SOURCED = ("targets", "causes", "remedies", "cautions", "practice")
STANDARD = re.compile(r"\b(?:ISO|IEC|EN|DIN|BS|UL|ANSI|ASME|ASTM|IAPWS|NFPA|NSF/ANSI|AS/NZS)"
                      r"(?:[/ ](?:ISO|IEC|EN|IEC))* ?[A-Z]?\d[\w.-]*", re.ASCII)
YEAR = re.compile(r"\b(?:18|19|20)\d\d\b")
LEAFLET = re.compile(r"\b(?:user|owner'?s?|instruction|maker'?s?|manufacturer'?s?|service) "
                     r"(?:manual|handbook|leaflet)\b", re.IGNORECASE)
NUMBER = re.compile(r"\d")


@check(ERROR)
def ask_long(survey: Survey) -> Iterator[Violation]:
    """A question longer than fits a narrow screen."""
    for name, o in survey.book.observations.items():
        if len(o.ask) > LONGEST_ASK:
            yield Violation(("observations", name, "ask"), f"the question has {len(o.ask)} characters, "
                            f"at most {LONGEST_ASK} fit; move the rest to `how:`")


@check(ERROR)
def ask_no_question(survey: Survey) -> Iterator[Violation]:
    """A question that does not end in a question mark."""
    for name, o in survey.book.observations.items():
        if not o.ask.rstrip().endswith("?"):
            yield Violation(("observations", name, "ask"), f"{o.ask[-30:]!r} does not end in `?`; ask "
                            "one question, and move what follows to `how:`")


@check(ERROR)
def step_long(survey: Survey) -> Iterator[Violation]:
    """A step longer than a person can follow at the machine."""
    for name, remedy in survey.book.remedies.items():
        for i, step in enumerate(remedy.steps):
            if len(step) > LONGEST_STEP:
                yield Violation(("remedies", name, "steps", str(i)), f"the step has {len(step)} "
                                f"characters, at most {LONGEST_STEP} fit; make two of it")


def _sources(survey: Survey) -> Iterator[tuple[tuple[str, ...], str]]:
    for kind in ("targets", "observations", "measures", "findings", "symptoms", "causes",
                 "remedies", "cautions", "rules", "practice"):
        for name, entry in getattr(survey.book, kind).items():
            yield (kind, name), entry.source


@check(ERROR)
def source_missing(survey: Survey) -> Iterator[Violation]:
    """A target, cause, remedy, caution, rule, answer or finding with numbers that states no source."""
    for path, source in _sources(survey):
        kind, name = path
        if not source and (kind in SOURCED or kind == "rules" or _has_numbers(survey, path)):
            yield Violation(path, f"{name} states no source; add `source:`, a published one with its "
                            "year, or `common practice, no source`")


def _has_numbers(survey: Survey, path: tuple[str, ...]) -> bool:
    if path[0] != "findings":
        return False
    stated = survey.book.findings[path[1]].values.values()
    return any(test[:1] in "<>b" and NUMBER.search(test) for v in stated for test in _words(v.when))


def _words(data: object) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for part in data.values():
            yield from _words(part)
    elif isinstance(data, list):
        for part in data:
            yield from _words(part)


@check(ERROR)
def source_malformed(survey: Survey) -> Iterator[Violation]:
    """A source that nobody could look up, or that may not be one."""
    for path, source in _sources(survey):
        if not source:
            continue
        if LEAFLET.search(source):
            yield Violation((*path, "source"), f"{source!r}: a maker's leaflet is no source here; name a "
                            "published one, or `common practice, no source`")
        elif len(source.split()) < 2 and source != "house":
            yield Violation((*path, "source"), f"{source!r} can't be looked up; name author or body, "
                            "title and year, or `common practice, no source`")
        elif re.search(r"common practice(?!.{0,6}no source)", source):
            yield Violation((*path, "source"), f"{source!r}: write it out as `common practice, no source`")


@check(ERROR)
def standard_without_year(survey: Survey) -> Iterator[Violation]:
    """A standard named by number without the year of its edition."""
    for path, source in _sources(survey):
        for part in source.split(";"):
            named = STANDARD.search(part)
            if named and not YEAR.search(part) and "from memory" not in part:
                yield Violation((*path, "source"), f"{named[0]!r} states no year; add the year of the "
                                "edition, or `from memory`")


CHECKS = (ask_long, ask_no_question, step_long, source_missing, source_malformed,
          standard_without_year)
