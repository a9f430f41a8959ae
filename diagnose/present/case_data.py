"""A case as plain data: what `--json` prints, and what the text front ends are made from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from diagnose.book.model import Observation
from diagnose.case.case import Ask, Case, Done, Fix, Recheck, Stop
from diagnose.present import at_a_loss, cautions, stopping, waiting
from diagnose.present.fill import fill
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
    """The whole state of a case, by the documented keys (see `present.schema`); `found` are the questions
    that its words ask, where they were looked for before.
    """
    found = asked(case.book, case.complaint) if found is None else found
    inference = case.inference
    step = case.step()
    return {
        "complaint": case.complaint,
        "asked": of_case(case, case.complaint, found),
        "symptoms": [{"id": s, "name": case.book.symptoms[s].name} for s in case.complaints],
        "answers": _answers(case),
        "findings": _findings(inference),
        "causes": _causes(case, places),
        "competitors": [cause_data(case, r) for r in case.competitors],
        "companions": [_companion(case, c) for c in case.companions],
        "ruled_out": [cause_data(case, r) for r in case.ruled_out],
        "signs": stopping.signs(case),
        "use": case.use.text,
        "next": _next(case, step),
        "cautions": cautions.shown(case, step),
        **_first_fix(case, step),
        "stopped": isinstance(step, Stop),
        "house": _house(case),
    }


def _answers(case: Case) -> list[dict[str, str]]:
    words = Words(case.inference, case.values)
    return [{"id": n, "value": str(v), "text": words.answer(n, v)}
            for n, v in case.values.items()]


def _findings(inference: Inference) -> list[dict[str, str]]:
    return [{"id": name, "value": value,
             "text": inference.book.findings[name].values[value].says}
            for name, values in inference.findings.items() for value in values]


def _causes(case: Case, places: bool) -> list[dict[str, Any]]:
    shown = [r for r in case.ranked[:SHOWN_CAUSES] if r.probability >= LEAST_SHOWN]
    if not any(r.cause == OTHER for r in shown):
        shown += [r for r in case.ranked if r.cause == OTHER]
    return [_cause(case, r, places) for r in shown]


def _cause(case: Case, ranked: Ranked, places: bool) -> dict[str, Any]:
    return cause_data(case, ranked) | {
        "why": explain.why(case.inference, ranked, case.values, places)}


def cause_data(case: Case, found: Ranked | Companion) -> dict[str, Any]:
    """A cause with how sure."""
    return {"id": found.cause or "not_in_book", "name": explain.name(case.book, found.cause),
            "probability": round(found.probability, 4)}


def _companion(case: Case, companion: Companion) -> dict[str, Any]:
    findings = case.book.findings
    return cause_data(case, companion) | {
        "explains": [findings[n].values[v].says for n, v in companion.explains]}


def _next(case: Case, step: Any) -> dict[str, Any]:
    match step:
        case Ask(question):
            return question_data(case, question.observation) | {
                "saves_minutes": round(question.saves, 1)}
        case Recheck(conflict):
            return {"kind": "question", "id": conflict.key, "recheck": list(conflict.observations),
                    "text": f"{conflict.text} Please look again: which one stands?"}
        case Fix(option, after):
            return {"kind": "remedy", **remedy_data(case, option),
                    "after": [remedy_brief(case, o) for o in after], **waiting.data(case, option)}
        case Stop("hazard", caution):
            return {"kind": "stop", **stopping.hazard(case, caution)}
        case Stop(_, _, option) if option is not None:
            return {"kind": "stop", "reason": "handover", **remedy_data(case, option),
                    "text": stopping.HANDOVER}
        case Done("unsure"):
            return {"kind": "done", "reason": "unsure", **at_a_loss.data(case)}
        case Done(reason):
            return {"kind": "done", "reason": reason}
    raise TypeError(step)


def question_data(case: Case, name: str) -> dict[str, Any]:
    """A question as data: its text, how to observe it, its answers."""
    stated: Observation = case.book.observations[name]
    return {"kind": "question", "id": name, "text": stated.ask, "how": stated.how,
            "answer_kind": stated.kind, "several": stated.several == "yes",
            "unit": stated.unit, "minutes": stated.minutes,
            "answers": [{"id": a, "text": v.says} for a, v in stated.answers.items()]
            or ([{"id": "yes", "text": "yes"}, {"id": "no", "text": "no"}]
                if stated.kind == "yes_no" else [])}


def remedy_data(case: Case, option: Option) -> dict[str, Any]:
    """A remedy as data, numbers put in."""
    filled = fill(case.inference, option.remedy)
    return {"id": filled.remedy, "name": filled.name, "steps": list(filled.steps),
            "before": filled.before, "should": filled.should, "undo": filled.undo,
            "stop_when": filled.stop, "minutes": filled.minutes, "shots": filled.shots,
            "money": filled.money, "who": filled.who, "tools": filled.tools,
            "chance": round(option.chance, 3), "source": filled.source,
            "causes": [c for c, _ in option.causes[:3]],
            "numbers": [{"id": n.measure, "label": n.label, "text": n.text, "basis": n.basis}
                        for n in filled.numbers]}


def remedy_brief(case: Case, option: Option) -> dict[str, Any]:
    """A remedy named, with its chance at its turn."""
    return {"id": option.remedy, "name": case.book.remedies[option.remedy].name,
            "who": option.who, "chance": round(option.chance, 3)}


def _first_fix(case: Case, step: Any) -> dict[str, Any]:
    """While there is a question: what to try where nobody can answer it now."""
    if not isinstance(step, Ask | Recheck):
        return {}
    return {"first_fix": _next(case, case.fix())}


def _house(case: Case) -> list[dict[str, str]]:
    """Every house rule that touched the answer, with file and line."""
    found: dict[str, dict[str, str]] = {}
    for firing in case.inference.firings:
        path = case.inference.meanings[firing.rule].path
        if case.book.house(path[0], path[1]):
            place = str(case.book.place(*path))
            found[place] = {"id": path[1], "kind": path[0], "place": place}
    for (kind, name), change in case.book.layers.changes.items():
        found[str(change.place)] = {"id": name, "kind": kind, "place": str(change.place)}
    return list(found.values())
