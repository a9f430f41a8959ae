"""Checks of use: what nothing reaches, nothing needs, nothing shows."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.book import conditions
from diagnose.book.lint.issue import ADVICE, ERROR, Violation, check
from diagnose.book.lint.survey import Survey, WeighingCondition
from diagnose.book.references import PLACEHOLDER, said


@check(ERROR)
def finding_unreachable(survey: Survey) -> Iterator[Violation]:
    """A finding value that no answers and no complaint can ever conclude."""
    for name, finding in survey.book.findings.items():
        for value in finding.values:
            if (name, value) not in survey.reachable:
                yield Violation(("findings", name, "values", value),
                                f"{name}: {value} can never be concluded; give it a `when:` that some "
                                "answers meet, a symptom or a rule, or drop it")


@check(ERROR)
def evidence_unreachable(survey: Survey) -> Iterator[Violation]:
    """A piece of evidence, or another condition, that no answers can ever meet."""
    for path, alternatives in survey.holds.items():
        if path[0] == "findings":
            continue
        if not any(survey.possible(a, survey.reachable) for a in alternatives):
            yield Violation(path, f"`{path[-1]}:` can never hold: it asks for values that exclude each "
                            "other, lie outside the range, or are never concluded; mend or drop it")


def _side(survey: Survey, cause: str, sign: str) -> list[WeighingCondition]:
    return [w for w in survey.weighs[cause] if w.sign == sign
            and any(survey.possible(a, survey.reachable) for a in w.alternatives)]


@check(ERROR)
def cause_not_raised(survey: Survey) -> Iterator[Violation]:
    """A cause that no answer can make likelier."""
    for cause in survey.book.causes:
        if not _side(survey, cause, "for"):
            yield Violation(("causes", cause), f"no answer can raise {cause}; add evidence `for` it "
                            "beside what it shows")


@check(ERROR)
def cause_not_lowered(survey: Survey) -> Iterator[Violation]:
    """A cause that no answer can make less likely."""
    for cause in survey.book.causes:
        if not _side(survey, cause, "against"):
            yield Violation(("causes", cause), f"no answer can lower {cause}; add `otherwise:`, evidence "
                            "`against` it, or `requires:`")


def _ends(survey: Survey) -> Iterator[str]:
    """The names that something hangs on at last: a cause, a caution, an entry's `requires`."""
    for path, node in survey.book.conditions.items():
        if path[0] != "findings":
            yield from conditions.names(node)
    for symptom in survey.book.symptoms.values():
        yield from symptom.finding
    for cause in survey.book.causes.values():
        yield from cause.tells


def _needed(survey: Survey) -> set[str]:
    book = survey.book
    needed, stack = set(), [*_ends(survey), *_put_in(survey)]
    while stack:
        name = stack.pop()
        if name in needed:
            continue
        needed.add(name)
        stack += survey.below.get(name, ())
        if name in book.measures:
            stack += book.measures[name].given.values()
    return needed


def _put_in(survey: Survey) -> Iterator[str]:
    """The measures and targets that remedies and answers say."""
    for practice in survey.book.practice.values():
        yield from practice.worked
        for text in said(practice):
            yield from PLACEHOLDER.findall(text)
    for remedy in survey.book.remedies.values():
        for text in (*remedy.steps, remedy.should, remedy.undo, remedy.before, remedy.stop):
            yield from PLACEHOLDER.findall(text)


@check(ERROR)
def question_unneeded(survey: Survey) -> Iterator[Violation]:
    """A question that no cause, finding, caution or measure needs."""
    needed = _needed(survey)
    for name in survey.book.observations:
        if name not in needed:
            yield Violation(("observations", name), f"nothing needs the answer to {name}; use it as "
                            "evidence, or drop the question")


@check(ERROR)
def measure_unused(survey: Survey) -> Iterator[Violation]:
    """A measure that no condition, remedy or other measure uses."""
    needed = _needed(survey)
    for name in survey.book.measures:
        if name not in needed:
            yield Violation(("measures", name), f"nothing uses {name}; put it into a condition or a "
                            "step, or drop it")


@check(ADVICE)
def finding_unused(survey: Survey) -> Iterator[Violation]:
    """A finding that nothing tests and no symptom claims."""
    needed = _needed(survey)
    for name in survey.book.findings:
        if name not in needed:
            yield Violation(("findings", name), f"nothing tests {name}; use it as evidence, or drop it")


@check(ADVICE)
def target_unused(survey: Survey) -> Iterator[Violation]:
    """A target that no condition, remedy or measure uses."""
    used = {*_put_in(survey), *(s for m in survey.book.measures.values() for s in m.given.values())}
    for node in survey.book.conditions.values():
        for test in conditions.tests(node):
            if isinstance(test, conditions.Test):
                used |= {text for _, text in test.bounds}
    named = {text.split(".")[1] for text in used if text.startswith("target.")}
    for name in survey.book.targets:
        if name not in named:
            yield Violation(("targets", name), f"nothing uses the target {name}")


@check(ERROR)
def symptom_unshown(survey: Survey) -> Iterator[Violation]:
    """A symptom that no cause shows."""
    shown = {s for cause in survey.book.causes.values() for s in cause.shows}
    for name in survey.book.symptoms:
        if name not in shown:
            yield Violation(("symptoms", name), f"no cause shows {name}; name it under `shows:` of the "
                            "causes it comes from")


@check(ERROR)
def cause_shows_nothing(survey: Survey) -> Iterator[Violation]:
    """A cause that shows no symptom, so that no complaint leads to it."""
    for name, cause in survey.book.causes.items():
        if not cause.shows:
            yield Violation(("causes", name), f"{name} shows no symptom; name under `shows:` how people "
                            "complain of it")


@check(ERROR)
def remedy_unused(survey: Survey) -> Iterator[Violation]:
    """A remedy that no cause uses."""
    used = {use.remedy for cause in survey.book.causes.values() for use in cause.remedies}
    for name in survey.book.remedies:
        if name not in used:
            yield Violation(("remedies", name), f"no cause uses {name}; name it under a cause's "
                            "`remedies:`, or drop it")


@check(ERROR)
def caution_unused(survey: Survey) -> Iterator[Violation]:
    """A caution that can never be shown."""
    book = survey.book
    used = {c for kind in (book.remedies, book.observations, book.practice) for e in kind.values()
            for c in e.cautions} | {rule.caution for rule in book.rules.values()}
    for name, caution in book.cautions.items():
        if name not in used and caution.when is None:
            yield Violation(("cautions", name), f"{name} is never shown; give it a `when:`, or name it "
                            "under `cautions:` of remedies and questions")


CHECKS = (finding_unreachable, evidence_unreachable, cause_not_raised,
          cause_not_lowered, question_unneeded, measure_unused, finding_unused, target_unused,
          symptom_unshown, cause_shows_nothing, remedy_unused, caution_unused)
