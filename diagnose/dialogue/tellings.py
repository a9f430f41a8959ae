"""What the consult tells when asked: why, more, what if, what would change your mind."""

from __future__ import annotations

from typing import Any

from diagnose.book import answers
from diagnose.book.answers import AnswerError, shown
from diagnose.case import hypothetical
from diagnose.case.case import Ask, Case, Fix, Recheck, Step, Stop
from diagnose.case.events import Answered, Cleared, Complained, Event, Tried, Unknown
from diagnose.dialogue.matching import chosen
from diagnose.dialogue.sitting import Sitting
from diagnose.present import case_data, views
from diagnose.present.fill import put_in
from diagnose.present.screens import Choice
from diagnose.reason.explain import explain, how, outlook

SHOWN = 3
MOST_CAUSES = 8


def why(s: Sitting, places: bool = False) -> dict[str, Any]:
    """Why this is asked or concluded, by the kind of the step."""
    step, case = s.step(), s.seen
    match step:
        case Ask(question):
            return {"on": "question", "ask": s.book.observations[question.observation].ask,
                    **_question(case, question)}
        case Stop("hazard", caution):
            chain = how.caution(case.inference, caution, case.values)
            return {"on": "hazard", "chain": _chain(chain, places)}
        case Recheck(conflict):
            return {"on": "recheck", "text": conflict.text, "chain": [
                f"{s.book.observations[n].ask} {shown(s.book.observations[n], case.values[n])}"
                for n in conflict.observations if n in case.values]}
    return {"on": "conclusion", **_conclusion(case, step, places)}


def _question(case: Case, question: Any) -> dict[str, Any]:
    book = case.book
    branches = outlook.branches(book, question)
    return {"saves": round(question.saves, 1), "number": outlook.measure_of(book, question),
            "branches": [{"answers": list(b.answers), "likely": round(b.likely, 3),
                          "cause": explain.name(book, b.cause) if b.cause else "",
                          "sure": round(b.sure, 3)}
                         for b in branches]}


def _conclusion(case: Case, step: Step, places: bool) -> dict[str, Any]:
    top = case.ranked[0]
    if isinstance(step, Fix | Stop) and step.option:
        aims = [c for c, _ in step.option.causes]
        top = next(r for r in case.ranked if r.cause in aims)
    chain = how.cause(case.inference, top, case.values)
    what = case.book.causes[top.cause].what if top.cause else ""
    return {"cause": case_data.cause_data(case, top), "what": what, "chain": _chain(chain, places),
            "grounds": explain.why(case.inference, top, case.values,
                                   kinds=("prior", "complaint", "outcome"))}


def _chain(chain: list[how.Because], places: bool) -> list[str]:
    return [line for link in chain for line in link.lines(places)]


def more(s: Sitting) -> dict[str, Any]:
    """All causes with their percentages, what was concluded, and the fix in full."""
    case, step = s.seen, s.step()
    data = case_data.report(case)
    told = {"causes": [case_data.cause_data(case, r) for r in case.ranked[:MOST_CAUSES]
                       if r.probability >= 0.005],
            "findings": [f["text"] for f in data["findings"]],
            "competitors": data.get("competitors", []), "companions": data.get("companions", [])}
    if isinstance(step, Fix | Stop) and step.option:
        told["remedy"] = case_data.remedy_data(case, step.option)
        top = next((c for c, _ in step.option.causes), "")
        stated = case.book.causes.get(top)
        told["confirm"] = put_in(case.inference, stated.confirm) if stated else ""
        told["cause_source"] = stated.source if stated else ""
    if isinstance(step, Ask):
        told["how"] = case.book.observations[step.question.observation].how
    return told


def doubt(s: Sitting) -> dict[str, Any]:
    """The fewest answers that would put another cause first."""
    case = s.seen
    found = outlook.turns(case.system, case.state)
    return {"leading": case_data.cause_data(case, case.ranked[0]),
            "turns": [{"changes": [_change(case, c) for c in turn.changes],
                       "cause": explain.name(case.book, turn.cause),
                       "sure": round(turn.sure, 3)} for turn in found]}


def _change(case: Case, change: outlook.Change) -> dict[str, str]:
    name, _ = change
    stated = case.book.observations[name]
    given = shown(stated, case.values[name]) if name in case.values else ""
    return {"id": name, "ask": stated.ask, "text": outlook.said(case.book, change),
            "given": given}


def what_if(s: Sitting, answer: str) -> dict[str, Any]:
    """What another answer would do; the case is left alone. Raises AnswerError."""
    events, said = _supposed(s, answer)
    then = hypothetical.shadow(s.case, events)
    step = hypothetical.step(then, s.aside, s.fixes_aside)
    seen = hypothetical.without(then, s.aside)
    return {"said": said, "before": _top(s.seen), "after": _top(seen), "next": _next(seen, step)}


def _supposed(s: Sitting, answer: str) -> tuple[list[Event], str]:
    name, step = s.stage.asks(s), s.step()
    if name is not None:
        if not answer:
            raise AnswerError("say which answer to try, as in: what if "
                              f"{_example(s, name)}")
        value = s.read(name, answer)
        return [Answered(name, str(value), "")], shown(s.book.observations[name], value)
    if isinstance(step, Fix | Stop) and step.option:
        outcome = chosen(answer, tuple(map(Choice, views.OUTCOMES[:4])))
        if outcome:
            return [Tried(step.option.remedy, outcome)], outcome  # type: ignore[arg-type]  # of OUTCOMES
        raise AnswerError("say what might come of it: what if solved, better, same or worse")
    raise AnswerError("there is no answer to try here")


def _example(s: Sitting, name: str) -> str:
    screen = views.question(s.case, name)
    return screen.choices[0].text if screen.choices else screen.wanted.example


def _top(case: Case) -> list[dict[str, Any]]:
    return [case_data.cause_data(case, r) for r in case.ranked[:SHOWN] if r.probability >= 0.01]


def _next(case: Case, step: Step) -> dict[str, str]:
    match step:
        case Ask(question):
            return {"kind": "question", "text": case.book.observations[question.observation].ask}
        case Fix(option, _):
            return {"kind": "remedy", "text": case.book.remedies[option.remedy].name}
        case Stop("hazard", caution):
            return {"kind": "hazard", "text": case.book.cautions[caution].text}
        case Stop(_, _, option) if option:
            return {"kind": "handover", "text": case.book.remedies[option.remedy].name}
        case Recheck(conflict):
            return {"kind": "recheck", "text": conflict.text}
    return {"kind": "done", "text": getattr(step, "reason", "")}


def event(s: Sitting, taken: Event) -> str:
    """Something the person did, in the book's words, to say that it was taken back."""
    book = s.book
    match taken:
        case Answered(name, value) | Answered(name, value, _) if name in book.observations:
            return f"{book.observations[name].ask} {_value(s, name, value)}"
        case Unknown(name) if name in book.observations:
            return book.observations[name].ask
        case Tried(remedy, outcome) if remedy in book.remedies:
            name = book.remedies[remedy].name
            return f"{name[0].upper()}{name[1:]}: {outcome}."
        case Complained(text):
            return text
        case Cleared(caution) if caution in book.cautions:
            return book.cautions[caution].go_on
    return ""


def answer(s: Sitting, given: Answered) -> str:
    """An answer as the person would say it, without its question."""
    return _value(s, given.name, given.value)


def _value(s: Sitting, name: str, text: str) -> str:
    stated = s.book.observations[name]
    try:
        return shown(stated, answers.parse(stated, text, s.today))
    except AnswerError:
        return text
