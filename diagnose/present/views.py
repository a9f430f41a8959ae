"""A case's next step as a screen."""

from __future__ import annotations

from typing import TypeVar

from msgspec.structs import replace

from diagnose.book import answers
from diagnose.book.answers import shown
from diagnose.book.model import Observation
from diagnose.case.case import HOPELESS, Ask, Case, Done, Fix, Recheck, Step, Stop
from diagnose.compute import units
from diagnose.compute.unit_table import EXAMPLES
from diagnose.present import at_a_loss, case_data, cautions, stopping, waiting
from diagnose.present.case_data import cause_data
from diagnose.present.fill import once_more
from diagnose.present.parts import CautionData, more
from diagnose.present.screen_data import (
    AdviceData,
    HandoverData,
    NoFixData,
    NoFixWhy,
    QuestionData,
    RecheckData,
    SolvedData,
    StopData,
    UnsureData,
    UsedUpData,
)
from diagnose.present.screens import Choice, Screen, Wanted
from diagnose.reason.conflict import Conflict
from diagnose.reason.explain.say import Words
from diagnose.reason.plan import Option

OUTCOMES = ("solved", "better", "same", "worse", "new")
ASKS = "ask "
"""What leads the id of a choice to be asked a question."""
CLOSE_CALL = 2
"""Causes named beside the leading one on a result."""
Aimed = TypeVar("Aimed", AdviceData, HandoverData)
NOT_RULED_OUT = 0.1
"""From such a chance a cause is still in play, whatever spoke against it."""


def of(case: Case, step: Step) -> Screen:
    """The screen of what comes next."""
    match step:
        case Ask(asked):
            return question(case, asked.observation)
        case Recheck(conflict):
            return _recheck(case, conflict)
        case Fix(option, after):
            return _remedy(case, option, after, step.again)
        case Stop("hazard", caution):
            return _hazard(case, caution)
        case Stop(_, _, option) if option is not None:
            return _handover(case, option)
        case Done(reason):
            return _done(case, reason)
    raise TypeError(step)


def question(case: Case, name: str) -> Screen:
    """An observation as a screen that asks for it."""
    stated = case.book.observations[name]
    data = more(QuestionData, case_data.question_stated(case, name), given=_given(case, name),
                signs=stopping.signs(case), use=_use(case))
    choices = tuple(Choice(a.id, a.text) for a in case_data.offered(case, name))
    return Screen("question", data, choices, wanted(stated), cautions=_cautions(case, stated.cautions))


def _use(case: Case) -> str:
    """Whether to go on using it, to stand over whatever is asked beside the signs of danger told."""
    return case.use.text if case.signs else ""


def wanted(stated: Observation) -> Wanted:
    """What an observation's question takes."""
    if stated.kind == "quantity":
        low, high = stated.range or (None, None)
        return Wanted("quantity", stated.unit, low, high, _example(stated))
    if stated.kind == "date":
        return Wanted("date", example="10 days ago")
    return Wanted("several" if stated.several == "yes" else "one")


def _example(stated: Observation) -> str:
    """How a number is written: as usual for its kind, where that could be an answer here."""
    usual = EXAMPLES[units.kind(stated.unit)]
    first = usual.split(" or ")[0].split(", ")[0]
    try:
        answers.quantity(stated, first)
    except answers.AnswerError:
        first = ""
    if first.endswith(f" {stated.unit}"):
        return usual
    low, high = stated.usual or stated.range or (0.0, 2.0)
    return units.show(float(f"{(low + high) / 2:.2g}"), stated.unit)


def _given(case: Case, name: str) -> str | None:
    """What was answered before, where a question is asked again."""
    return shown(case.book.observations[name], case.values[name]) if name in case.values else None


def _recheck(case: Case, conflict: Conflict) -> Screen:
    words = Words(case.inference, case.values)
    choices = [Choice(n, case.book.observations[n].ask,
                      words.answer(n, case.values[n]) if n in case.values else "")
               for n in conflict.observations]
    return Screen("recheck", RecheckData(conflict.key, conflict.text, stopping.signs(case), _use(case)),
                  (*choices, Choice("stand")), Wanted("one"))


def _remedy(case: Case, option: Option, after: tuple[Option, ...], again: bool) -> Screen:
    data = _aimed(AdviceData, case, option, after=[case_data.fix_named(case, o) for o in after],
                  again=once_more(case.inference, option.remedy) if again else None)
    return Screen("remedy", data, tuple(map(Choice, OUTCOMES)), Wanted("one"),
                  cautions=tuple(cautions.of_remedy(case, option.remedy)))


def _aimed(kind: type[Aimed], case: Case, option: Option, **fields: object) -> Aimed:
    """A fix with what is thought to be wrong: the leading cause, and whether this fix is for it."""
    top = case.ranked[0]
    aims = [c for c, _ in option.causes]
    first = top if top.cause in aims else next(r for r in case.ranked if r.cause in aims)
    open_to = {c for o in case.options for c, _ in o.causes}
    second = {c.cause: round(c.probability, 4) for c in case.companions}
    return more(
        kind, case_data.fix_data(case, option), cause=cause_data(case, first), leading=cause_data(case, top),
        second=second.get(first.cause), use=case.use.text, leading_open=top.cause in open_to,
        rivals=[cause_data(case, r) for r in case.ranked[:CLOSE_CALL + 1]
                if r.cause != first.cause and r.probability >= 0.05],
        waits=waiting.data(case, option), **fields)


def _cautions(case: Case, names: tuple[str, ...]) -> tuple[CautionData, ...]:
    return tuple(cautions.several(case.book, names))


def _hazard(case: Case, caution: str) -> Screen:
    data = more(StopData, stopping.hazard(case, caution))
    go_on = data.go_on
    choices = (Choice("cleared", go_on), Choice("leave")) if go_on else (Choice("leave"),)
    others = tuple(n for n in case.cautions if n != caution)
    return Screen("stop", data, (*choices, Choice("summary")), Wanted("one"),
                  cautions=_cautions(case, others))


def _handover(case: Case, option: Option) -> Screen:
    data = _aimed(HandoverData, case, option, reason="handover")
    return Screen("stop", data, (Choice("summary"), Choice("been_done"), Choice("leave")), Wanted("one"),
                  cautions=tuple(cautions.of_remedy(case, option.remedy)))


def _done(case: Case, reason: str) -> Screen:
    if reason == "solved":
        fix = next(e.remedy for e in reversed(case.fixes) if e.outcome == "solved")
        stated = case.book.remedies.get(fix)
        return Screen("done", SolvedData("solved", stated.name if stated else fix, _learnt(case, fix)),
                      (Choice("finish"), Choice("summary")), Wanted("one"))
    if reason == "unsure":
        return _unsure(case)
    ruled_out = [cause_data(case, r) for r in case.ruled_out if r.probability < NOT_RULED_OUT]
    data = UsedUpData("not_in_book", _helped(case), ruled_out, cause_data(case, case.ranked[0]),
                      case.use.text)
    return Screen("done", data, (Choice("other_words"), Choice("summary"), Choice("finish")), Wanted("one"),
                  cautions=_cautions(case, case.cautions))


def _helped(case: Case) -> list[str]:
    """The fixes that made it better, each once."""
    tried = dict.fromkeys(e.remedy for e in case.fixes if e.outcome == "better")
    return [case.book.remedies[r].name for r in tried if r in case.book.remedies]


def _learnt(case: Case, fix: str) -> str:
    """The cause that a fix which worked was most likely for."""
    cures = case.system.planner.cured.get(fix, {})
    return next((case.book.causes[r.cause].name for r in case.ranked if r.cause in cures), "")


def _unsure(case: Case) -> Screen:
    data = more(UnsureData, at_a_loss.data(case), reason="unsure", use=case.use.text,
                leading=cause_data(case, case.ranked[0]))
    guess = (Choice("guess"),) if isinstance(case.best(), Fix) else ()
    asks = (Choice(f"{ASKS}{n}", case.book.observations[n].ask) for n in at_a_loss.needed(case))
    return Screen("done", data, (*asks, *guess, Choice("other_words"), Choice("summary"), Choice("finish")),
                  Wanted("one"), cautions=_cautions(case, case.cautions))


def hurried(case: Case, step: Step, screen: Screen) -> Screen:
    """A screen shown on demand, before the questions are through; the case knows what is asked."""
    asked = _next_question(case)
    if isinstance(step, Done):
        data = NoFixData(_no_fix(case), cause_data(case, case.ranked[0]), asked, case.use.text)
        return Screen("no_fix", data, (Choice("ask"), Choice("other_words"), Choice("summary")),
                      Wanted("one"), cautions=_cautions(case, case.cautions))
    if isinstance(screen.data, AdviceData | HandoverData | StopData):
        screen = replace(screen, data=replace(screen.data, asks=asked))
    return replace(screen, choices=(*screen.choices, Choice("ask")))


def _next_question(case: Case) -> str:
    match case.step():
        case Ask(asked):
            return case.book.observations[asked.observation].ask
        case Recheck(conflict):
            return conflict.text
    return ""


def _no_fix(case: Case) -> NoFixWhy:
    """Why no fix is worth trying: the best there is, and what it has against it."""
    if not case.options:
        return NoFixWhy(code="none")
    best = case.options[0]
    stated = case.book.remedies[best.remedy]
    return NoFixWhy(code="unlikely" if best.chance < HOPELESS else "long", name=stated.name,
                    chance=round(best.chance, 3), minutes=stated.minutes)
