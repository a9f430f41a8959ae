"""A case as data: what `--json` prints, and what the text front ends are made from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from diagnose.book.answers import told
from diagnose.case.case import Ask, Case, Done, Fix, Recheck, Step, Stop
from diagnose.present import at_a_loss, cautions, stopping, waiting, why
from diagnose.present.fill import fill
from diagnose.present.parts import (
    NOT_IN_BOOK,
    CauseData,
    CompanionData,
    FixData,
    FixNamed,
    HouseRule,
    NumberData,
    QuestionStated,
    more,
    plain,
)
from diagnose.present.report_data import (
    CaseReport,
    FindingData,
    FirstFix,
    GivenData,
    Next,
    NextDone,
    NextFix,
    NextHandover,
    NextHazard,
    NextQuestion,
    NextRecheck,
    NextUnsure,
    OfferedData,
    RankedCause,
    SymptomData,
)
from diagnose.present.worked_answer import of_case
from diagnose.reading.questions import Asked, asked
from diagnose.reason.explain import explain
from diagnose.reason.explain.say import Words
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.multiple_faults import Companion
from diagnose.reason.plan import Option
from diagnose.reason.rank import Ranked

SHOWN_CAUSES = 5
LEAST_SHOWN = 0.01


def report(case: Case, places: bool = False, found: Sequence[Asked] | None = None) -> dict[str, Any]:
    """The whole state of a case as JSON holds it, by the documented keys (see `present.schema`)."""
    made: dict[str, Any] = plain(case_report(case, places, found))
    return made


def case_report(case: Case, places: bool = False, found: Sequence[Asked] | None = None) -> CaseReport:
    """The whole state of a case; `found` are the questions that its words ask, where they were looked for
    before.
    """
    found = asked(case.book, case.complaint) if found is None else found
    step = case.step()
    return CaseReport(
        complaint=case.complaint,
        asked=of_case(case, case.complaint, found),
        symptoms=[SymptomData(s, case.book.symptoms[s].name) for s in case.complaints],
        answers=_answers(case),
        findings=findings(case.inference),
        causes=_causes(case, places),
        competitors=competitors(case),
        companions=companions(case),
        ruled_out=[cause_data(case, r) for r in case.ruled_out],
        signs=stopping.signs(case),
        use=case.use.text,
        next=_next(case, step),
        cautions=cautions.shown(case, step),
        first_fix=_after(case, case.fix()) if isinstance(step, Ask | Recheck) else None,
        stopped=isinstance(step, Stop),
        house=house_rules(case))


def _answers(case: Case) -> list[GivenData]:
    words = Words(case.inference, case.values)
    return [GivenData(n, str(v), words.answer(n, v), told(n, case.book.observations[n], v))
            for n, v in case.values.items()]


def findings(inference: Inference) -> list[FindingData]:
    """What follows from the answers."""
    return [FindingData(name, value, inference.book.findings[name].values[value].says)
            for name, values in inference.findings.items() for value in values]


def competitors(case: Case) -> list[CauseData]:
    """Other causes that would explain the same."""
    return [cause_data(case, r) for r in case.competitors]


def companions(case: Case) -> list[CompanionData]:
    """Causes that would explain what the first leaves open."""
    return [_companion(case, c) for c in case.companions]


def _causes(case: Case, places: bool) -> list[RankedCause]:
    shown = [r for r in case.ranked[:SHOWN_CAUSES] if r.probability >= LEAST_SHOWN]
    if not any(r.cause == OTHER for r in shown):
        shown += [r for r in case.ranked if r.cause == OTHER]
    return [more(RankedCause, cause_data(case, r), why=why.why(case, r, places)) for r in shown]


def cause_data(case: Case, found: Ranked | Companion) -> CauseData:
    """A cause with how sure."""
    return CauseData(found.cause or NOT_IN_BOOK, explain.name(case.book, found.cause),
                     round(found.probability, 4))


def _companion(case: Case, companion: Companion) -> CompanionData:
    stated = case.book.findings
    return more(CompanionData, cause_data(case, companion),
                explains=[stated[n].values[v].says for n, v in companion.explains])


def _next(case: Case, step: Step) -> Next:
    match step:
        case Ask(question):
            return next_question(case, question.observation, round(question.saves, 1))
        case Recheck(conflict):
            return NextRecheck(conflict.key, list(conflict.observations),
                               f"{conflict.text} Please look again: which one stands?")
        case _:
            return _after(case, step)


def _after(case: Case, step: Fix | Stop | Done) -> FirstFix:
    """What comes where nothing more is asked."""
    match step:
        case Fix(option, after):
            return more(NextFix, fix_data(case, option), after=[fix_named(case, o) for o in after],
                        waits=waiting.data(case, option))
        case Stop("hazard", caution):
            return more(NextHazard, stopping.hazard(case, caution))
        case Stop(_, _, option) if option is not None:
            return more(NextHandover, fix_data(case, option), reason="handover", text=stopping.HANDOVER)
        case Done("unsure"):
            return more(NextUnsure, at_a_loss.data(case), reason="unsure")
        case Done(reason):
            return NextDone("solved" if reason == "solved" else "not_in_book")
    raise TypeError(step)


def question_stated(case: Case, name: str) -> QuestionStated:
    """A question as data: its text, how to observe it, what an answer is."""
    stated = case.book.observations[name]
    return QuestionStated(name, stated.ask, stated.how, stated.kind, stated.several == "yes", stated.unit,
                          stated.minutes)


def offered(case: Case, name: str) -> list[OfferedData]:
    """The answers that a question offers."""
    stated = case.book.observations[name]
    if stated.kind == "yes_no" and not stated.answers:
        return [OfferedData("yes", "yes"), OfferedData("no", "no")]
    return [OfferedData(a, v.says) for a, v in stated.answers.items()]


def next_question(case: Case, name: str, saves: float) -> NextQuestion:
    """A question with its answers, and the minutes that it saves."""
    return more(NextQuestion, question_stated(case, name), answers=offered(case, name), saves_minutes=saves)


def fix_data(case: Case, option: Option) -> FixData:
    """A fix as data, numbers put in."""
    filled = fill(case.inference, option.remedy)
    return FixData(
        id=filled.remedy, name=filled.name, steps=list(filled.steps), before=filled.before,
        should=filled.should, undo=filled.undo, stop_when=filled.stop, minutes=filled.minutes,
        shots=filled.shots, money=filled.money, who=filled.who, tools=filled.tools,
        chance=round(option.chance, 3), source=filled.source, causes=[c for c, _ in option.causes[:3]],
        numbers=[NumberData(n.measure, n.label, n.text, n.basis) for n in filled.numbers])


def fix_named(case: Case, option: Option) -> FixNamed:
    """A fix named, with its chance at its turn."""
    stated = case.book.remedies[option.remedy]
    return FixNamed(option.remedy, stated.name, stated.who, round(option.chance, 3))


def house_rules(case: Case) -> list[HouseRule]:
    """Every house rule that touched the answer, with file and line."""
    found: dict[str, HouseRule] = {}
    for firing in case.inference.firings:
        path = case.inference.meanings[firing.rule].path
        if case.book.house(path[0], path[1]):
            place = str(case.book.place(*path))
            found[place] = HouseRule(path[1], path[0], place)
    for (kind, name), change in case.book.layers.changes.items():
        found[str(change.place)] = HouseRule(name, kind, str(change.place))
    return list(found.values())
