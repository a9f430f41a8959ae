"""What the consult tells when asked: why, more, what if, what would change your mind."""

from __future__ import annotations

from msgspec.structs import replace

from diagnose.book import answers
from diagnose.book.answers import AnswerError, shown
from diagnose.case import hypothetical
from diagnose.case.case import Ask, Case, Fix, Recheck, Step, Stop
from diagnose.case.events import Answered, Cleared, Complained, Event, Tried, Unknown
from diagnose.dialogue.matching import chosen
from diagnose.dialogue.sitting import Sitting
from diagnose.present import case_data, views
from diagnose.present import why as reasons
from diagnose.present.fill import put_in
from diagnose.present.parts import CauseData
from diagnose.present.screens import Choice
from diagnose.present.told_data import (
    BranchData,
    ChangeData,
    DoubtData,
    MoreData,
    TurnData,
    WhatIfData,
    WhatNext,
    WhyConclusion,
    WhyHazard,
    WhyQuestion,
    WhyRecheck,
)
from diagnose.reason.explain import explain, outlook
from diagnose.reason.explain.reason import Reason
from diagnose.reason.questions.ask import Question

SHOWN = 3
MOST_CAUSES = 8


def why(s: Sitting, places: bool = False) -> WhyQuestion | WhyHazard | WhyRecheck | WhyConclusion:
    """Why this is asked or concluded, by the kind of the step."""
    step, case = s.step(), s.seen
    match step:
        case Ask(question):
            return _question(case, question)
        case Stop("hazard", caution):
            return WhyHazard("hazard", reasons.of_caution(case, caution, places))
        case Recheck(conflict):
            return WhyRecheck("recheck", conflict.text, [
                Reason(f"{s.book.observations[n].ask} {shown(s.book.observations[n], case.values[n])}")
                for n in conflict.observations if n in case.values])
    return _conclusion(case, step, places)


def _question(case: Case, question: Question) -> WhyQuestion:
    book = case.book
    branches = [BranchData(list(b.answers), round(b.likely, 3),
                           explain.name(book, b.cause) if b.cause else "", round(b.sure, 3))
                for b in outlook.branches(book, question)]
    return WhyQuestion("question", book.observations[question.observation].ask, round(question.saves, 1),
                       outlook.measure_of(book, question), branches)


def _conclusion(case: Case, step: Step, places: bool) -> WhyConclusion:
    top = case.ranked[0]
    if isinstance(step, Fix | Stop) and step.option:
        aims = [c for c, _ in step.option.causes]
        top = next(r for r in case.ranked if r.cause in aims)
    what = case.book.causes[top.cause].what if top.cause else ""
    return WhyConclusion("conclusion", case_data.cause_data(case, top), what,
                         reasons.chain(case, top, places),
                         reasons.why(case, top, kinds=("prior", "complaint", "outcome")))


def more(s: Sitting) -> MoreData:
    """All causes with their percentages, what was concluded, and the fix in full."""
    case, step = s.seen, s.step()
    told = MoreData(
        [case_data.cause_data(case, r) for r in case.ranked[:MOST_CAUSES] if r.probability >= 0.005],
        [f.text for f in case_data.findings(case.inference)], case_data.competitors(case),
        case_data.companions(case))
    if isinstance(step, Fix | Stop) and step.option:
        top = next((c for c, _ in step.option.causes), "")
        stated = case.book.causes.get(top)
        return replace(told, remedy=case_data.fix_data(case, step.option),
                       confirm=put_in(case.inference, stated.confirm) if stated else "",
                       cause_source=stated.source if stated else "")
    if isinstance(step, Ask):
        return replace(told, how=case.book.observations[step.question.observation].how)
    return told


def doubt(s: Sitting) -> DoubtData:
    """The fewest answers that would put another cause first."""
    case = s.seen
    found = outlook.turns(case.system, case.state)
    return DoubtData(case_data.cause_data(case, case.ranked[0]),
                     [TurnData([_change(case, c) for c in turn.changes],
                               explain.name(case.book, turn.cause), round(turn.sure, 3)) for turn in found])


def _change(case: Case, change: outlook.OtherAnswer) -> ChangeData:
    name, _ = change
    stated = case.book.observations[name]
    given = shown(stated, case.values[name]) if name in case.values else ""
    return ChangeData(name, stated.ask, outlook.said(case.book, change), given)


def what_if(s: Sitting, answer: str) -> WhatIfData:
    """What another answer would do; the case is left alone. Raises AnswerError."""
    events, said = _supposed(s, answer)
    then = hypothetical.shadow(s.case, events)
    step = hypothetical.step(then, s.aside, s.fixes_aside)
    seen = hypothetical.without(then, s.aside)
    return WhatIfData(said, _top(s.seen), _top(seen), _next(seen, step))


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


def _top(case: Case) -> list[CauseData]:
    return [case_data.cause_data(case, r) for r in case.ranked[:SHOWN] if r.probability >= 0.01]


def _next(case: Case, step: Step) -> WhatNext:
    match step:
        case Ask(question):
            return WhatNext("question", case.book.observations[question.observation].ask)
        case Fix(option, _):
            return WhatNext("remedy", case.book.remedies[option.remedy].name)
        case Stop("hazard", caution):
            return WhatNext("hazard", case.book.cautions[caution].text)
        case Stop(_, _, option) if option:
            return WhatNext("handover", case.book.remedies[option.remedy].name)
        case Recheck(conflict):
            return WhatNext("recheck", conflict.text)
    return WhatNext("done", getattr(step, "reason", ""))


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
