"""What is advised, as parts of a screen: the cause, its cautions, what to do, or why nothing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from diagnose.present import stopping
from diagnose.present.cautions import one_line
from diagnose.present.parts import (
    NOT_IN_BOOK,
    CauseData,
    CautionData,
    FixData,
    HazardData,
    LossData,
    WaitsData,
)
from diagnose.present.screen_data import (
    AdviceData,
    AimedFix,
    HandoverData,
    NoFixData,
    QuestionData,
    RecheckData,
    ScreenData,
    SolvedData,
    StopData,
    UnsureData,
    UsedUpData,
)
from diagnose.present.screens import Screen
from diagnose.reason.explain.chance import percent, sure
from diagnose.ui import words
from diagnose.ui.layout import Part

QUICK_MINUTES = 10
CLEAR = 0.1
"""A leading cause less likely than this is no verdict, only the first of many."""
NEARLY = 0.02
"""Chances as near as this are read as the same."""
USED_UP = 0.3
"""A leading cause as likely as this is named at the end, though no fix for it is left."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")


def cautions(stated: Iterable[CautionData]) -> Iterator[Part]:
    """Cautions, each led by its signal word."""
    for one in stated:
        yield Part(one_line(one), one.signal.lower(), gap=True)


def cause(data: AdviceData | HandoverData) -> Iterator[Part]:
    """What is thought to be wrong and how sure, in number and words."""
    yield Part(_probably(words.PROBABLY, data.leading), "title")
    if data.leading.id != data.cause.id:
        chance = data.cause.probability if data.second is None else data.second
        yield Part(_why_another(data).format(cause=data.cause.name, percent=percent(chance)))


def _why_another(data: AdviceData | HandoverData) -> str:
    """Why the fix is for another cause than the likeliest."""
    if data.leading.id == NOT_IN_BOOK:
        return words.STILL_HERE
    if data.second is not None:
        return words.SECOND
    if not data.leading_open:
        return words.ALL_TRIED
    if data.minutes > QUICK_MINUTES or data.others_aside:
        return words.THIS_IS_FOR
    return words.LONG_SHOT if data.chance < CLEAR else words.WORTH_FIRST


def _probably(text: str, stated: CauseData) -> str:
    chance = stated.probability
    if chance < CLEAR:
        text = words.LIKELIEST
    return text.format(Sure=sure(chance).capitalize(), percent=percent(chance),
                       cause=stated.name)


def remedy(screen: Screen, data: AdviceData) -> Iterator[Part]:
    """What is thought to be wrong, and the one thing to do."""
    yield from _thought(data)
    yield from cautions(screen.cautions)
    yield from may_use(data.use)
    yield _do(data)
    yield from steps(data) if data.again is None else ()
    yield from _came(data)


def _thought(data: AdviceData) -> Iterator[Part]:
    """What it most likely is, and what it could be besides."""
    yield from early(data)
    yield from cause(data)
    rivals = "; ".join(words.CAUSE_PERCENT.format(name=r.name, percent=percent(
        r.probability)) for r in data.rivals if r.id != data.leading.id)
    if rivals:
        yield Part(words.RIVALS.format(rivals=rivals), spare=3)


def _do(data: AdviceData) -> Part:
    if data.again is not None:
        return Part(words.ONCE_MORE.format(text=data.again), "do", gap=True)
    return Part(words.DO_NOW.format(name=words.capital(data.name)), "do", gap=True)


def _came(data: AdviceData) -> Iterator[Part]:
    """What should come of it, what follows if it does not, and the question what did."""
    yield from waits(data.waits)
    yield Part(words.SHOULD.format(text=data.should), gap=True)
    yield Part(words.IF_NOT.format(name=words.capital(data.after[0].name)) if data.after
               else words.IF_NOT_LAST, spare=1)
    yield Part(words.DID_IT_WORK, "title", gap=True)


def action(data: AdviceData, short: bool) -> Iterator[Part]:
    """What to do, when to stop, and the first step; see `draw.action_first`."""
    yield _do(data)
    if data.again is not None:
        return
    yield from _beforehand(data)
    if data.stop_when:
        yield _stop_when(first_sentence(data.stop_when) if short else data.stop_when)
    yield from _numbered(data.steps[:1])


def after_action(screen: Screen, data: AdviceData, short: bool, whole: bool) -> Iterator[Part]:
    """The rest of a fix: further steps, what was said in brief before, and what it is for."""
    if data.again is None:
        yield from _numbered(data.steps[1:], 2)
        if short and data.stop_when != first_sentence(data.stop_when):
            yield _stop_when(data.stop_when)
    if not whole:
        yield Part(words.CAUTIONS_IN_FULL, "title")
        yield from cautions(screen.cautions)
    yield from cause(data)
    yield from _came(data)


def first_sentence(text: str) -> str:
    """A text up to the end of its first sentence."""
    return _SENTENCE.split(text, maxsplit=1)[0]


def waits(told: WaitsData | None) -> Iterator[Part]:
    """Of several complaints: which comes first and why, and what comes for the others."""
    if told is None:
        return
    yield Part(words.FIRST_THIS.format(first="; ".join(told.first), why=words.FIRST_WHY[told.why]),
               gap=True)
    for one in told.then:
        text = words.THEN_THAT if one.fix else words.THEN_LOOKED_AT
        yield Part(text.format(symptom=one.symptom, fix=words.capital(one.fix)))


def early(data: ScreenData | None, spare: int = 4) -> Iterator[Part]:
    """That it was asked for before its time, and the question that would help most."""
    if isinstance(data, AdviceData | HandoverData | StopData | NoFixData) and data.asks is not None:
        yield Part(words.EARLY.format(ask=data.asks), "hint", spare=spare)


def no_fix(screen: Screen, data: NoFixData) -> Iterator[Part]:
    """Why no fix is worth trying yet."""
    why = data.why
    yield from cautions(screen.cautions)
    yield Part(words.NO_FIX, "title", gap=bool(screen.cautions))
    yield from may_use(data.use)
    yield Part(so_far(data.leading.name, data.leading.probability), gap=True)
    yield Part(words.NO_FIX_WHY[why.code].format(
        name=words.capital(why.name), chance=percent(why.chance or 0.0),
        minutes=words.minutes(why.minutes or 0.0)))
    if data.asks:
        yield Part(words.HELPS_MOST.format(ask=data.asks), gap=True)


def so_far(leading: str, chance: float) -> str:
    """The likeliest cause as things stand; of hardly any chance, no verdict."""
    text = words.SO_FAR if chance >= CLEAR else words.LIKELIEST
    return text.format(cause=leading, percent=percent(chance))


def steps(data: FixData) -> Iterator[Part]:
    """How a fix is done, from what it costs to when to stop."""
    yield Part(words.COSTS.format(minutes=words.minutes(data.minutes), shots=_shots(data),
                                  money=words.MONEY[data.money],
                                  chance=percent(data.chance)) + _for_more(data), spare=5)
    yield from _beforehand(data)
    if data.tools:
        yield Part(words.TOOLS.format(text=data.tools), spare=4)
    yield from _numbered(data.steps)
    if data.stop_when:
        yield _stop_when(data.stop_when)


def _for_more(data: FixData) -> str:
    """Why a fix helps more often than the cause named for it is likely."""
    likely = data.cause.probability if isinstance(data, AimedFix) and data.second is None else 1.0
    return words.MORE_THAN_ONE if data.chance > likely + NEARLY else ""


def _beforehand(data: FixData) -> Iterator[Part]:
    if words.WHO[data.who]:
        yield Part(words.WHO[data.who])
    if data.before:
        yield Part(words.BEFORE.format(text=data.before))


def _numbered(steps: Iterable[str], start: int = 1) -> Iterator[Part]:
    yield from (Part(step, "step", f"{i}. ") for i, step in enumerate(steps, start))


def _stop_when(text: str) -> Part:
    return Part(words.STOP_WHEN.format(text=text))


def _shots(data: FixData) -> str:
    shots = data.shots
    return words.SHOTS.get(shots, words.SHOTS_MANY).format(shots=shots)


def stop(screen: Screen, data: StopData | HandoverData) -> Iterator[Part]:
    """A hazard, or work for a technician."""
    if isinstance(data, HandoverData):
        yield Part(stopping.HANDOVER, "title")
        yield from early(data, spare=0)
        yield from may_use(data.use)
        yield from cause(data)
        yield Part(stopping.HANDOVER_WHAT.format(name=words.capital(data.name)))
    else:
        yield from hazard(data, screen.cautions)
        return
    yield from cautions(screen.cautions)


def hazard(data: HazardData, others: Iterable[CautionData] = ()) -> Iterator[Part]:
    """A hazard that stops, from the signs told to what must be done before going on.

    Other cautions stand above the words that end it, since nothing is read for safety below those.
    """
    grave = dict.fromkeys(("danger", "avoid", "first", "aid"), data.signal.lower())
    styles: dict[str, str] = {"title": "title"} | grave
    for code, text in stopping.lines(data):
        if code == "use":
            yield from cautions(others)
        yield Part(text, styles.get(code, ""), gap=code != "title")


def signs(data: QuestionData | RecheckData) -> Iterator[Part]:
    """The signs of danger told that do not stop, over whatever is asked: what comes first, and the use."""
    if data.signs:
        yield from (Part(line.text, "warning") for line in stopping.told(data.signs) if line.code != "aid")
        yield from may_use(data.use)


def may_use(use: str) -> Iterator[Part]:
    """May one go on using it? In one line that always stands."""
    yield Part(stopping.may_use(use), gap=True)


def done(screen: Screen, data: SolvedData | UnsureData | UsedUpData) -> Iterator[Part]:
    """The end, good or bad."""
    if isinstance(data, SolvedData):
        yield Part(words.SOLVED.format(fix=words.capital(data.fix)), "title")
        if data.learnt:
            yield Part(words.LEARNT.format(cause=data.learnt), gap=True)
        yield Part(words.SOLVED_MORE, gap=True)
        return
    if isinstance(data, UnsureData):
        yield Part(words.UNSURE, "title")
        yield from may_use(data.use)
        yield from cautions(screen.cautions)
        yield from unsure(data, needs=False)  # they are choices here
        return
    leading = data.leading
    used_up = leading.id != NOT_IN_BOOK and leading.probability >= USED_UP
    yield Part(_probably(words.USED_UP, leading) if used_up else words.NOT_IN_BOOK, "title")
    if data.helped:
        yield Part(words.HELPED.format(fixes="; ".join(data.helped)), gap=True)
    yield Part(words.NOT_IN_BOOK_MORE, gap=True)
    yield from may_use(data.use)
    yield from cautions(screen.cautions)
    if data.ruled_out:
        yield Part(words.RULED_OUT, gap=True)
        for one in data.ruled_out:
            yield Part(words.CAUSE_PERCENT.format(name=one.name, percent=percent(
                one.probability)), lead="- ", spare=1)


def unsure(data: LossData, needs: bool = True) -> Iterator[Part]:
    """Too little is known: what would help to know, what to watch for, whom to ask."""
    asked = data.needs if needs else []
    for title, texts in ((words.UNSURE_NEEDS, asked), (words.UNSURE_WATCH, data.watch)):
        for i, text in enumerate(texts):
            if i == 0:
                yield Part(title, gap=True)
            yield Part(text, lead="- ", spare=min(i, 1))
    yield Part(words.UNSURE_ASK, gap=True)
    if data.guess:
        yield Part(words.UNSURE_GUESS.format(name=words.capital(data.guess)), spare=1)
