"""The reply to one letter, as Markdown: understood, probable, one thing to try, questions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from diagnose.mail import matters, offer
from diagnose.mail.handed import handed
from diagnose.mail.markdown import plain, quote
from diagnose.mail.reading import Read
from diagnose.present import cautions, stopping
from diagnose.present.case_data import question_data, remedy_data
from diagnose.present.worked_answer import brief
from diagnose.reading.language import ENGLISH
from diagnose.reason.explain.chance import percent, sure
from diagnose.reason.explain.say import Words
from diagnose.ui import words

SHOWN_CAUSES = 3
SHOWN_CHANCE = 0.05
SHOWN_REASONS = 3
FAIR_CHANCE = 0.2
"""A fix with less is offered after the questions, not before them."""
DEFER = ("The maker's instructions for your machine come first; where they say otherwise, follow them. "
         "Inside the housing, under pressure or on the mains only a qualified person works.")
_TITLES = {
    "hazard": "STOP: this is a hazard", "look": "To be read by a person first: perhaps a hazard",
    "handover": "Work for a technician", "remedy": "The one thing to try",
    "question": "One thing to check first", "answer": "Answered", "nothing": "Nothing in the book fits well",
    "unplaced": "Not placed",
}
_UNSURE = "A few questions first"


def reply(read: Read, place: str, today: date) -> str:
    """The whole reply."""
    return "\n".join(_Reply(read, today).lines(place))


def fair(read: Read) -> bool:
    """Is the fix likely enough to come before the questions, or is there nothing to ask?"""
    return not read.questions or (read.option is not None and read.option.chance >= FAIR_CHANCE)


class _Reply:
    """Writes one reply; a caution stands in it once, where it is first needed."""

    def __init__(self, read: Read, today: date) -> None:
        self.read, self.today, self.book = read, today, read.case.book
        self.warned: set[str] = set()

    def lines(self, place: str) -> Iterator[str]:
        read = self.read
        yield from (f"# {self._title()}", "")
        yield from self._danger()
        yield from (quote(read.text), "", f"Letter: {plain(place)}", "")
        if read.kind in ("hazard", "look"):
            yield from self._understood() if read.kind == "hazard" else ()
            yield from getattr(self, f"_{read.kind}")()
            yield from self._answers()
        else:
            yield from self._answers()
            yield from self._understood() if read.kind != "answer" else ()
            yield from getattr(self, f"_{read.kind}")()
        helped = stopping.closing(read.case) == stopping.HELP_FIRST
        yield from (stopping.HELP_FIRST if helped else DEFER, "")
        if read.report["house"]:
            yield ("House rules had a part in this: "
                   + ", ".join(plain(t["place"]) for t in read.report["house"]))
            yield ""

    def _title(self) -> str:
        read = self.read
        title = _UNSURE if read.kind == "remedy" and not fair(read) else _TITLES[read.kind]
        after = read.report["asked"] and read.kind not in ("hazard", "look", "answer")
        return f"Answered, and: {title[0].lower()}{title[1:]}" if after else title

    # Each kind of reply.

    def _danger(self) -> Iterator[str]:
        """The signs of danger told, what stops, and whether to go on using it: before all else."""
        case, grave = self.read.case, ("danger", "avoid", "first", "aid")
        if self.read.kind == "hazard":
            self.warned.add(self.read.caution)
            found = [x for x in stopping.lines(stopping.hazard(case, self.read.caution)) if x.code != "title"]
        else:
            found = [*stopping.told(stopping.signs(case)),
                     stopping.Line("use", stopping.may_use(case.use.text))]
        if self.read.kind in ("unplaced", "look"):
            found = [x for x in found if x.code != "use"]
        for line in found:
            yield from (f"> **{plain(line.text)}**" if line.code in grave else plain(line.text), "")

    def _hazard(self) -> Iterator[str]:
        yield from self._cautions(self.read.case.cautions)
        if not self.book.cautions[self.read.caution].go_on:
            yield from handed(self.read.case, self.today)

    def _look(self) -> Iterator[str]:
        yield from self._understood()
        yield from ("**Before this is sent, read the letter yourself.** Its words could mean:", "")
        yield from (f"- {plain(self.book.symptoms[s].name)}" for s in self.read.suspected)
        yield from ("", "If that is so, send only this:", "")
        yield from (self._stops() or ["> Switch off, pull the plug if it can be reached safely, and do not "
                                      "use the machine.", ""])
        yield from ("If it is not so, take these lines out; what follows is the draft.", "")
        yield from self._draft()

    def _stops(self) -> list[str]:
        """The cautions of what the words could mean."""
        stops = dict.fromkeys(matters.alone(self.read, (s,)).hazard for s in self.read.suspected)
        return [line for name in stops if name for line in _said(cautions.one(self.book, name))]

    def _draft(self) -> Iterator[str]:
        option = self.read.option
        if option is None:
            yield from self._unplaced()
        elif option.who in self.read.case.refused:
            yield from self._handover()
        else:
            yield from self._remedy()

    def _answer(self) -> Iterator[str]:
        """The answers are all there is to say."""
        yield from ()

    def _handover(self) -> Iterator[str]:
        yield from self._causes()
        assert self.read.option is not None
        data = remedy_data(self.read.case, self.read.option)
        yield from (f"What it most likely needs: {plain(data['name'])}. That is work for a technician or "
                    "the maker's service, not for the kitchen table.", "")
        yield from self._remedy_cautions(data["id"])
        yield from self._questions("## What the technician will ask")
        yield from self._matters()
        yield from handed(self.read.case, self.today)

    def _remedy(self) -> Iterator[str]:
        yield from self._causes()
        if fair(self.read):
            yield from self._fix("Try this")
            yield from self._matters()
            yield from self._questions("## If that does not help, tell us")
        else:
            yield from self._questions("## Please tell us first")
            yield from self._fix("If you would rather try something now")
            yield from self._matters()

    def _question(self) -> Iterator[str]:
        yield from ("Two things in your letter can't both hold. Please look again:", "")
        yield from (f"- {plain(c.text)}" for c in self.read.case.conflicts[:1])
        yield ""
        yield from self._causes()
        yield from self._questions("## And tell us")

    def _nothing(self) -> Iterator[str]:
        yield from self._causes()
        yield from ("The book has no remedy with a fair chance here.", "")
        yield from self._questions("## What would help to know")

    def _unplaced(self) -> Iterator[str]:
        maybe = self.read.understood.maybe
        tongue = self.read.understood.language
        if tongue != ENGLISH:
            yield (f"This seems to be in {tongue}; only English is read here. Please pick what comes "
                   "nearest, or write again in English.")
        elif maybe:
            yield "Is it one of these? Please say which, or say in other words what you see, taste or hear."
        else:
            yield ("It is not clear from these words what is wrong. If all is well, there is nothing to "
                   "do. If not, please pick what comes nearest, or say in a sentence or two what you "
                   "see, taste or hear, and what you would expect.")
        yield ""
        if maybe:
            yield from (self._meant(s) for s in maybe)
        else:
            yield from (f"- {plain(name)}" for name in offer.common_troubles(self.book))
        yield ""

    def _meant(self, symptom: str) -> str:
        """What the words could mean, and what that would most often come to."""
        found = matters.by_itself(self.read, symptom)
        name = plain(self.book.symptoms[symptom].name)
        if not found.remedy:
            return f"- {name}"
        return (f"- {name}. Most often that means: {plain(self.book.causes[found.cause].name)} "
                f"({percent(found.chance)}). To try: {plain(self.book.remedies[found.remedy].name)}.")

    # Its parts.

    def _answers(self) -> Iterator[str]:
        """What was asked, answered in the order asked."""
        for one in self.read.report["asked"]:
            yield from (f"## You asked: {plain(one['question'])}", "")
            if one["first"]:
                yield from (f"**{plain(one['first'])}**", "")
            yield from (plain(one["answer"]), "")
            for lead, key in ((words.NUMBERS, "numbers"), (words.DEPENDS, "depends")):
                if one[key]:
                    yield from (f"{lead} {plain(one[key])}", "")
            for caution in one["cautions"]:
                if caution["id"] not in self.warned:
                    yield from _said(brief(caution))
            for text, key in ((words.DO_THIS, "now"), (words.MAKER, "maker"), (words.ASK_BACK, "ask_back")):
                if one[key]:
                    yield from (text.format(text=plain(one[key])), "")
            if one["house"]:
                yield from (words.HOUSE_ANSWER.format(place=plain(one["house"])), "")

    def _understood(self) -> Iterator[str]:
        found = self.read.understood
        told = {self.book.hazards[h].symptom for h in self.read.case.signs}
        said = [self.book.symptoms[s].name for s in found.symptoms if s not in told]
        answers = [f"{self.book.observations[a['id']].ask} {a['text']}" for a in self.read.report["answers"]]
        notes = found.notes if found.language == ENGLISH else ()
        if said or answers or notes:
            yield from ("## What was understood", "")
            yield from (f"- {plain(text)}" for text in (*said, *answers, *notes))
            yield ""

    def _causes(self) -> Iterator[str]:
        causes = [c for c in self.read.report["causes"] if c["probability"] >= SHOWN_CHANCE]
        yield from ("## What it probably is", "")
        for number, cause in enumerate(causes[:SHOWN_CAUSES], 1):
            chance = cause["probability"]
            yield f"{number}. {plain(cause['name'])}: {sure(chance)} ({percent(chance)})"
        yield ""
        if causes and causes[0]["id"] in self.book.causes:
            yield from self._reasons(causes[0]["id"])

    def _reasons(self, cause: str) -> Iterator[str]:
        """What the letter says for and against the first cause."""
        said = Words(self.read.case.inference, self.read.case.values)
        ranked = next(r for r in self.read.case.ranked if r.cause == cause)
        for side, sign in (("For", 1), ("Against", -1)):
            parts = sorted((p for p in ranked.parts if p.fired and p.decibans * sign > 0),
                           key=lambda p: -abs(p.decibans))
            facts = dict.fromkeys(said.fact(f) for p in parts if p.fired for f in p.fired.on)
            if facts:
                yield f"{side} the first: {plain('; '.join(list(facts)[:SHOWN_REASONS]))}."
                yield ""

    def _fix(self, title: str) -> Iterator[str]:
        assert self.read.option is not None
        data = remedy_data(self.read.case, self.read.option)
        yield from (f"## {title}: {plain(data['name'])}", "")
        shots = words.SHOTS.get(data["shots"], words.SHOTS_MANY).format(shots=data["shots"])
        yield from (words.COSTS.format(minutes=words.minutes(data["minutes"]), shots=shots,
                                       money=words.MONEY[data["money"]], chance=percent(data["chance"])), "")
        if data["before"]:
            yield from (words.BEFORE.format(text=plain(data["before"])), "")
        yield from self._remedy_cautions(data["id"])
        yield from (f"{i}. {plain(step)}" for i, step in enumerate(data["steps"], 1))
        yield ""
        for text, value in ((words.SHOULD, data["should"]), (words.STOP_WHEN, data["stop_when"]),
                            (words.UNDO, data["undo"])):
            if value:
                yield from (text.format(text=plain(value)), "")

    def _matters(self) -> Iterator[str]:
        """Complaints that the first cause does not explain."""
        for found in matters.left_over(self.read):
            name = plain(self.book.symptoms[found.symptom].name)
            yield from (f"## A matter of its own: {name}", "")
            if not found.cause:
                yield from ("That does not follow from the above. Settle the above first, then tell us "
                            "whether this is still so.", "")
                continue
            cause = plain(self.book.causes[found.cause].name)
            after = (f" To try, once the above is settled: {plain(self.book.remedies[found.remedy].name)}. "
                     "Ask us for the steps." if found.remedy else "")
            yield f"That does not follow from the above. By itself: {cause}, " \
                  f"{sure(found.chance)} ({percent(found.chance)}).{after}"
            yield ""

    def _questions(self, title: str) -> Iterator[str]:
        asked = [question_data(self.read.case, q.observation) for q in self.read.questions]
        if not asked:
            return
        yield from (title, "")
        yield from self._cautions(c for data in asked for c in self.book.observations[data["id"]].cautions)
        for number, data in enumerate(asked, 1):
            how = f" {plain(data['how'])}" if data["how"] else ""
            yield f"{number}. {plain(data['text'])}{how}"
            yield from (f"   - {plain(answer['text'])}" for answer in data["answers"])
        yield ""

    def _remedy_cautions(self, remedy: str) -> Iterator[str]:
        yield from self._not_yet(cautions.of_remedy(self.read.case, remedy))

    def _cautions(self, names: Iterable[str]) -> Iterator[str]:
        yield from self._not_yet(cautions.several(self.book, names))

    def _not_yet(self, found: Iterable[Mapping[str, str]]) -> Iterator[str]:
        """The cautions not yet given, the gravest first."""
        for caution in found:
            if caution["id"] not in self.warned:
                self.warned.add(caution["id"])
                yield from _said(caution)


def _said(caution: Mapping[str, str]) -> list[str]:
    return [f"> **{caution['signal']}:** {plain(caution['text'])} {plain(caution['avoid'])}", ""]
