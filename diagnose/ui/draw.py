"""A screen in parts: the one rendering that every front end shows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from msgspec.structs import replace

from diagnose.present.cautions import gravest
from diagnose.present.parts import CautionData
from diagnose.present.screen_data import (
    AdviceData,
    AlsoData,
    BesidesData,
    BrowseData,
    ComplaintData,
    DoneRightData,
    HandoverData,
    KeepData,
    LeaveData,
    LeftData,
    QuestionData,
    RecheckData,
    ResumeData,
    TimerData,
    UnderstoodData,
)
from diagnose.present.screens import Choice, Kind, Note, Screen, Status
from diagnose.ui import advice, answers, tell, words
from diagnose.ui.layout import FIRM, Part

INLINE = ("remedy", "leave", "resume")
"""Screens whose few short choices stand on one line."""
WAYS_OUT = ("none", "drop")
"""The first of the choices that keep nothing of what was understood."""
MOST_RULES = 2


def draw(screen: Screen) -> list[Part]:
    """What is read on a screen; notes and foot apart, which a front end puts in their place."""
    return [*_KINDS[screen.kind](screen, screen.data), *_house(screen), *_choices(screen)]


def in_brief(screen: Screen) -> Screen:
    """The screen with each caution cut to its first sentences: for where it was read in full."""
    cut = tuple(replace(c, text=advice.first_sentence(c.text), avoid=advice.first_sentence(c.avoid))
                for c in screen.cautions)
    return replace(screen, cautions=cut)


def in_briefest(screen: Screen) -> Screen:
    """The screen with each caution cut to how to avoid it."""
    cut = tuple(replace(c, text=advice.first_sentence(c.avoid or c.text), avoid="")
                for c in screen.cautions)
    return replace(screen, cautions=cut)


def recalled(screen: Screen) -> Screen:
    """The screen with one line that recalls the cautions just read, under the gravest's word."""
    text = words.plural(words.RECALLED, len(screen.cautions))
    said = replace(screen.cautions[0], signal=gravest(screen.cautions), text=text, avoid="")
    return replace(screen, cautions=(said,))


def before(screen: Screen) -> list[Part]:
    """The cautions of a screen in full, to be read before it."""
    return [*advice.early(screen.data, spare=1), Part(words.READ_FIRST, "title"),
            *advice.cautions(screen.cautions)]


def action_first(screen: Screen, data: AdviceData, brief: Sequence[CautionData], short: bool
                 ) -> tuple[list[Part], list[Part]]:
    """A fix with what to do before all else: what belongs on the first page, and the rest.

    Its cautions, and whether to go on using it, come above, the cautions in brief, and in full below
    where that says more; `short`: of when to stop the first sentence above, and all of it after the steps.
    """
    head = [*advice.cautions(brief), *advice.may_use(data.use), *advice.action(data, short)]
    rest = [*advice.after_action(screen, data, short, whole=tuple(brief) == screen.cautions),
            *_house(screen), *_choices(screen)]
    return head, rest


def notes(screen: Screen) -> list[Part]:
    """What is said in passing."""
    return [Part(note(n), "note") for n in screen.notes]


def note(stated: Note) -> str:
    """A note in words."""
    said = {n: words.capital(v) if n == "fix" else v for n, v in stated.values.items()}
    return words.NOTES[stated.code].format(**said)


def foot(screen: Screen) -> Iterator[Part]:
    """What stands on every screen: broken house files, a store that fails, and where we are."""
    for problem in screen.broken:
        yield Part(words.BROKEN.format(problem=problem), "error")
    if screen.unkept:
        yield Part(words.UNKEPT.format(why=screen.unkept), "error")
    stated = screen.status
    if stated and stated.left and not stated.at_least and screen.kind == "question":
        yield Part(status(stated), "status")


def status(stated: Status) -> str:
    """How many questions are likely left; said only where they were counted to the end."""
    return words.plural(words.LEFT, stated.left or 0)


def keys(screen: Screen) -> str:
    """The keys and words that matter here, none parted from what it does."""
    return "   ".join(one.replace(" ", FIRM) for one in _keys(screen).split("   "))


def _keys(screen: Screen) -> str:
    if screen.kind == "question":
        return words.KEYS["timed" if screen.wanted.unit == "s" else "question"]
    if isinstance(screen.data, HandoverData):
        return words.KEYS["remedy"]
    return words.KEYS.get(screen.kind, words.KEYS["other"])


def wanted(screen: Screen) -> str:
    """What may be typed, in a few words."""
    asked, data = screen.wanted, screen.data
    if isinstance(data, TimerData):
        return words.WANTED_TIMER[data.phase]
    if isinstance(data, UnderstoodData) and not data.sure:
        return words.WANTED["go_on" if data.kept else "several"]
    if isinstance(data, ComplaintData) and data.kept:
        return words.WANTED["kept"]
    return words.WANTED[screen.kind if screen.kind in words.WANTED else asked.expects].format(
        example=asked.example or asked.start)


def choice(screen: Screen, stated: Choice) -> str:
    """A choice in words: the book's, else the program's."""
    if isinstance(screen.data, UnderstoodData) and stated.id == "yes" and len(screen.data.sure) > 1:
        return words.ALL_OF_THAT
    return stated.text if stated.text and stated.id != "cleared" else words.CHOICES.get(
        (screen.kind, stated.id), stated.text or stated.id)


def _choices(screen: Screen) -> Iterator[Part]:
    said = [_thing(replace(c, text=choice(screen, c))) if screen.kind == "understood"
            else choice(screen, c) for c in screen.choices]
    if screen.kind in INLINE and said:
        # A choice is never broken over two lines while it fits on one.
        yield Part("   ".join(f"{i} {text}".replace(" ", FIRM) for i, text in enumerate(said, 1)),
                   "choice", choices=tuple(range(1, len(said) + 1)))
        return
    for i, (stated, text) in enumerate(zip(screen.choices, said, strict=True), 1):
        lead = f"{i:>{len(str(len(said)))}} "
        if heading := _heading(screen, stated):
            yield Part(heading, "heading", gap=True)
        yield Part(text + _aside(screen, stated), "choice", lead,
                   gap=i == 1 or (screen.kind == "understood" and stated.id in WAYS_OUT), choices=(i,))


def _heading(screen: Screen, stated: Choice) -> str:
    """What stands over the first of the things that words may perhaps mean, or of what would help to know."""
    if screen.kind == "done" and screen.choices[0] is stated and stated.text:
        return words.UNSURE_NEEDS
    data = screen.data
    if not isinstance(data, UnderstoodData) or data.maybe[:1] != [stated.id]:
        return ""
    return words.UNDERSTOOD_PERHAPS if data.sure or data.kept else ""


def _aside(screen: Screen, stated: Choice) -> str:
    if isinstance(screen.data, BrowseData) and screen.data.area == "known":
        return f" {stated.more or words.NOT_ANSWERED}"
    if not stated.more or screen.kind == "understood":
        return ""
    if screen.kind == "recheck":
        return f" ({words.YOU_SAID.format(given=stated.more)})"
    return f" ({stated.more})"


def _house(screen: Screen) -> Iterator[Part]:
    rules = list(map(words.house_rule, screen.house))
    if rules:
        said = ", ".join(rules[:MOST_RULES])
        if len(rules) > MOST_RULES:
            said += words.HOUSE_MORE.format(count=len(rules) - MOST_RULES)
        yield Part(words.HOUSE.format(rules=said), "hint")


def _resume(_: Screen, data: ResumeData) -> Iterator[Part]:
    answers = words.plural(words.KNOWN, data.answers)
    text = words.RESUME_WHAT if data.complaint else words.RESUME_NO_WORDS
    yield Part(words.RESUME, "title")
    yield Part(text.format(complaint=_short(data.complaint), answers=answers,
                           at=data.at[:16].replace("T", " ")), gap=True)


def _short(text: str, most: int = 160) -> str:
    return text if len(text) <= most else text[:most - 3] + "..."


def _complaint(screen: Screen, data: ComplaintData) -> Iterator[Part]:
    purpose = data.purpose
    more = bool(data.kept) and purpose == "first"
    yield from _kept(data)
    yield Part(words.COMPLAINT["more" if more else purpose], "title", gap=True)
    if words.COMPLAINT_HELP[purpose]:
        yield Part(words.COMPLAINT_HELP[purpose], gap=True)
    yield Part(words.COMPLAINT_LIST, "hint")
    if screen.wanted.start:
        yield Part(words.SAID.format(text=_short(screen.wanted.start)), gap=True)
    if purpose == "first" and not more:
        yield Part(words.HOW_KEYS_WORK, gap=True)


def _understood(screen: Screen, data: UnderstoodData) -> Iterator[Part]:
    yield from advice.cautions(screen.cautions)
    yield from _kept(data)
    first = bool(screen.cautions or data.kept)
    if data.sure:
        yield Part(words.UNDERSTOOD, "title", gap=first)
        if len(data.sure) == 1:
            yield Part(f"{_thing(data.sure[0])}.", "title", "- ")
    else:
        text = words.UNDERSTOOD_MAYBE if data.maybe else words.UNDERSTOOD_NOTHING
        yield Part(text, "title", gap=first)
    for remark in data.remarks:
        yield Part(remark, "hint")


def _kept(data: ComplaintData | UnderstoodData) -> Iterator[Part]:
    if data.kept:
        yield Part(words.KEPT.format(things="; ".join(map(_thing, data.kept))))


def _thing(stated: Choice) -> str:
    """One thing understood, and what stands beside it."""
    more = words.BESIDE_THING.get(stated.more, "")
    return words.capital(stated.text) + more if more.startswith(":") else stated.text + more


def _besides(_: Screen, data: BesidesData) -> Iterator[Part]:
    brief = data.brief
    yield Part(words.BESIDES_BRIEF if brief else words.BESIDES, "title")
    yield Part(words.BESIDES_BRIEF_HELP if brief else words.BESIDES_HELP, gap=True)


def _browse(_: Screen, data: BrowseData) -> Iterator[Part]:
    area = data.area
    known = {"": words.BROWSE, "known": words.BROWSE_KNOWN}
    yield Part(known.get(area, words.BROWSE_AREA), "title")
    if area and area != "known":
        yield Part(words.SEVERAL, "hint", spare=1)


def _question(screen: Screen, data: QuestionData) -> Iterator[Part]:
    yield from advice.signs(data)
    yield from advice.cautions(screen.cautions)
    yield Part(data.text, "title", gap=bool(screen.cautions or data.signs))
    if data.how:
        yield Part(words.HOW.format(text=data.how), gap=True, spare=1)
    if data.given:
        yield Part(words.GIVEN_BEFORE.format(given=data.given), "hint")


def _recheck(_: Screen, data: RecheckData) -> Iterator[Part]:
    yield from advice.signs(data)
    yield Part(words.RECHECK, "title")
    yield Part(data.text, gap=True)
    yield Part(words.RECHECK_ASK, gap=True)


def _also(_: Screen, data: AlsoData) -> Iterator[Part]:
    if data.new:
        yield Part(words.NEW_TROUBLE.format(names="; ".join(data.new)))
    text = words.FIRST_TROUBLE if data.new else words.HOW_DID_IT_GO
    yield Part(text.format(remedy=words.capital(data.remedy)), "title", gap=bool(data.new))


def _left(_: Screen, data: LeftData) -> Iterator[Part]:
    yield Part(words.STILL_THERE.format(remedy=data.remedy), "title")
    yield Part(words.SEVERAL, "hint", spare=1)


def _done_right(_: Screen, data: DoneRightData) -> Iterator[Part]:
    yield Part(words.DONE_RIGHT.format(remedy=words.capital(data.remedy)), "title")


def _timer(screen: Screen, data: TimerData) -> Iterator[Part]:
    yield Part(data.ask, "title")
    yield Part(words.TIMER[data.phase], gap=True)
    if screen.wanted.start:
        yield Part(screen.wanted.start, "title")


def _leave(screen: Screen, data: LeaveData) -> Iterator[Part]:
    unkept = data.what == "leave" and screen.unkept
    text = words.LEAVE["leave_unkept" if unkept else data.what]
    yield Part(text.format(why=screen.unkept), "title")


def _keep(_: Screen, data: KeepData) -> Iterator[Part]:
    if data.phase == "mark":
        yield Part(words.KEEP_MARK, "title")
        return
    yield Part(words.KEEP, "title")
    yield from (Part(text, lead="- ", gap=i == 0, spare=int(i > 2))
                for i, text in enumerate(data.offered))


def _save(screen: Screen, _: None) -> Iterator[Part]:
    yield Part(words.SAVE, "title")
    yield Part(screen.wanted.start, gap=True)


def _opening(_: Screen, __: None) -> Iterator[Part]:
    yield Part(words.OPENING, "title")


_KINDS: Mapping[Kind, Callable[[Screen, Any], Iterator[Part]]] = {
    "opening": _opening, "resume": _resume, "complaint": _complaint, "understood": _understood,
    "browse": _browse, "besides": _besides, "question": _question, "recheck": _recheck,
    "remedy": advice.remedy, "no_fix": advice.no_fix, "also": _also, "left": _left, "done_right": _done_right,
    "stop": advice.stop, "done": advice.done, "timer": _timer, "leave": _leave, "keep": _keep,
    "save": _save, "explain": tell.draw, "answer": answers.draw,
}
"""How each kind of screen is drawn, given what it shows."""
