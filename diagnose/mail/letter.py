"""One reply as the letter that goes out: danger, answer, what it is, what to try, what to tell."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from diagnose.book.model import LetterFrame as Frame
from diagnose.case.case import Case
from diagnose.mail import answered, matters, parts, probable, tongues
from diagnose.mail.handed import handed
from diagnose.mail.parts import Part, Parts
from diagnose.mail.reading import QUESTIONS, Read
from diagnose.mail.unsure import fair
from diagnose.present import cautions, stopping
from diagnose.present.case_data import fix_data, offered
from diagnose.present.parts import CautionData, FixData
from diagnose.ui import words

DEFER = ("The maker's instructions for your machine come first; where they say otherwise, follow them. "
         "Inside the housing, under pressure or on the mains only a qualified person works.")
PERHAPS = "Your letter could mean this: {names}. If it does, do this and nothing else until it is settled:"
PERHAPS_NOT = "If it does not, this is for you:"
FIX_WAITS = ("Tell me first whether it is so. Until then leave it off and unplugged; what to try comes when "
             "I know.")
SWITCH_OFF = "Switch off, pull the plug if it can be reached safely, and do not use the machine."
WAITS = "The rest of your letter waits until that is settled: {names}."
TECHNICIAN = ("What it most likely needs: {name}. That is work for a technician or the maker's service, not "
              "for the kitchen table.")
TWO_SAID = "Two things in your letter can't both hold: {text} Please look again: which one stands?"
SUPPOSED = ("I take your letter to mean: {name}. If it is something else, say in other words what you see, "
            "taste or hear.")
NO_FIX = "I know of nothing that has a fair chance of helping here yet."
FIRST_TRY = "It is not clear yet what is wrong, so this is a first try and no more."
COSTS = "It takes about {minutes}{shots}{money}."
OF_ITS_OWN = "That does not follow from the above: {name}."
OF_ITS_OWN_LATER = "Settle the above first, then tell me whether this is still so."
OF_ITS_OWN_THEN = "By itself it is, most often: {cause}. To try then: {remedy}. Ask me for the steps."
OF_ITS_OWN_CAUSE = "By itself it is, most often: {cause}."
IS_IT = "I am not sure what you mean. Is it one of these? Say which, or say it in other words."
MEANT = "{name}. Most often that means: {cause}. To try: {remedy}"
SAY_MORE = ("I can't tell from your letter what is wrong or what you ask. Say in a sentence or two what you "
            "see, taste or hear, and what you would expect.")
OFF_TOPIC = ("Thank you for your letter. I find nothing in it about the coffee that I can help with; if "
             "there is, say in a sentence or two what you see, taste or hear.")
MOST_MEANT = 3
CHOICES = 120
"""Signs up to which the answers to a question are said with it."""


def letter(read: Read, frame: Frame, name: str, today: date) -> list[Part]:
    """The whole letter to a person, whose name is empty where nobody knows it."""
    return list(_Letter(read, frame, today).parts(name))


class _Letter:
    """Writes one letter; a caution stands in it once, where it is first needed."""

    def __init__(self, read: Read, frame: Frame, today: date) -> None:
        self.read, self.frame, self.today, self.book = read, frame, today, read.case.book
        self.heads, self.asked = frame.headings, answered.placed(read)
        self.warned: set[str] = set()

    def parts(self, name: str) -> Parts:
        """Greeting, what the kind of letter holds, close and signature."""
        named = "{name}" not in self.frame.greeting or name
        yield from parts.text(self.frame.greeting.replace("{name}", name) if named else self.frame.nameless)
        foreign = tongues.line(self.read.understood.language)
        yield from parts.text(foreign) if foreign else getattr(self, f"_{self.read.kind}")()
        yield from self._end(bool(foreign))

    def _end(self, foreign: bool) -> Parts:
        """What comes before all advice; the close, which no danger is followed by; who answers."""
        helped = stopping.closing(self.read.case) == stopping.HELP_FIRST
        kind, maybe = self.read.kind, self.read.understood.maybe
        short = foreign or kind == "off" or (kind == "unplaced" and not maybe)
        yield from () if short else parts.text(stopping.HELP_FIRST if helped else DEFER)
        yield from () if short or self.read.kind == "hazard" else parts.text(self.frame.close)
        if self.frame.signature:
            yield Part("text", tuple(self.frame.signature.strip().split("\n")))
        if self._sheet():
            yield Part("sheet", tuple("\n".join(handed(self.read.case, self.today)).strip().split("\n")))

    def _sheet(self) -> bool:
        """Does a technician get the letter's case in writing?"""
        kind, caution = self.read.kind, self.book.cautions.get(self.read.caution)
        return kind == "handover" or (kind == "hazard" and not (caution and caution.go_on))

    # Each kind of letter.

    def _hazard(self) -> Parts:
        case = self.read.case
        self.warned.add(self.read.caution)
        for line in stopping.lines(stopping.hazard(case, self.read.caution)):
            grave = line.code in ("title", "danger", "avoid", "first", "aid")
            said = line.text.removeprefix(stopping.ENDS).strip()
            yield from parts.danger(said) if grave else parts.text(said)
        yield from self._cautions(case.cautions)
        yield from answered.first(self.read.case, self.asked)
        yield from answered.more(self.read.case, self.asked, self.warned)
        told = {self.book.hazards[h].symptom for h in case.signs}
        waits = [self.book.symptoms[s].name for s in self.read.understood.symptoms if s not in told]
        waits += [one.question for one in self.read.report.asked if one not in self.asked]
        yield from parts.text(*(WAITS.format(names="; ".join(waits)) for _ in waits[:1]))

    def _look(self) -> Parts:
        names = "; ".join(self.book.symptoms[s].name for s in self.read.suspected)
        yield from parts.danger(PERHAPS.format(names=names))
        stops = dict.fromkeys(matters.case_with_only(self.read, (s,)).hazard for s in self.read.suspected)
        found = [cautions.one(self.book, name) for name in stops if name]
        for one in found:
            yield from parts.caution(one)
        yield from () if found else parts.danger(SWITCH_OFF)
        yield from parts.strong(PERHAPS_NOT)
        option = self.read.option
        if option is None:
            yield from self._answer() if self.asked else self._unplaced()
        elif all(name and self.book.cautions[name].go_on for name in stops):
            yield from self._handover() if option.who in self.read.case.refused else self._remedy()
        else:                                   # no work on what may be dangerous, before that is known
            yield from self._opening()
            yield from parts.text(FIX_WAITS)

    def _handover(self) -> Parts:
        assert self.read.option is not None
        yield from self._opening()
        data = fix_data(self.read.case, self.read.option)
        yield from parts.text(TECHNICIAN.format(name=data.name))
        yield from self._remedy_cautions(data.id)
        yield from self._questions(QUESTIONS)
        yield from self._rest()

    def _remedy(self) -> Parts:
        assert self.read.option is not None
        data = fix_data(self.read.case, self.read.option)
        yield from self._opening(data.name)
        yield from self._step(data)
        yield from self._questions(QUESTIONS)
        yield from self._rest()

    def _question(self) -> Parts:
        yield from self._signs()
        yield from answered.first(self.read.case, self.asked)
        yield from parts.text(*(TWO_SAID.format(text=c.text) for c in self.read.case.conflicts[:1]))
        yield from self._probable()
        yield from self._careful()
        yield from self._questions(QUESTIONS - 1)
        yield from self._rest()

    def _nothing(self) -> Parts:
        yield from self._opening()
        yield from parts.text(NO_FIX)
        yield from self._questions(QUESTIONS)
        yield from self._rest()

    def _answer(self) -> Parts:
        """The answers are all there is to say."""
        yield from self._signs()
        yield from answered.first(self.read.case, self.asked)
        yield from self._careful()
        yield from answered.more(self.read.case, self.asked, self.warned)
        yield from self._back(QUESTIONS)

    def _unplaced(self) -> Parts:
        maybe = self.read.understood.maybe[:MOST_MEANT]
        yield from parts.text(IS_IT if maybe else SAY_MORE)
        yield from parts.points(self._meant(s) for s in maybe)

    def _off(self) -> Parts:
        yield from parts.text(OFF_TOPIC)

    # Their parts.

    def _opening(self, remedy: str = "") -> Parts:
        """The signs of danger told, what was asked, what it probably is, the fix, and what to mind."""
        yield from self._signs()
        yield from answered.first(self.read.case, self.asked)
        if self.read.supposed:
            yield from parts.text(SUPPOSED.format(name=self.book.symptoms[self.read.supposed].name))
        yield from self._probable(remedy)
        yield from self._careful()

    def _signs(self) -> Parts:
        """Signs of danger that do not stop, and the dangers that the letter itself calls for."""
        case = self.read.case
        for line in stopping.told(stopping.signs(case)):
            yield from parts.danger(line.text) if line.code in ("first", "aid") else parts.text(line.text)
        yield from self._cautions(c for c in case.cautions if self.book.cautions[c].signal == "DANGER")

    def _careful(self) -> Parts:
        """The other cautions that the letter itself calls for, and whether to go on using it, in a letter
        about a trouble.
        """
        case = self.read.case
        yield from self._cautions(case.cautions)
        answered_below = any(answered.used(case, one) for one in self.asked)
        troubled = case.complaints or case.use.text != "yes"
        if troubled and self.read.kind != "look" and not answered_below:
            yield from parts.strong(stopping.may_use(case.use.text))

    def _probable(self, remedy: str = "") -> Parts:
        if said := list(probable.likely(self.read, remedy)):
            yield from parts.heading(self.heads.probable)
            yield from said

    def _step(self, data: FixData) -> Parts:
        """The one thing to try, its cautions before its steps."""
        yield from parts.heading(f"{self.heads.step}: {data.name}" if self.heads.step else data.name)
        shots = words.SHOTS.get(data.shots, words.SHOTS_MANY).format(shots=data.shots)
        costs = COSTS.format(minutes=words.minutes(data.minutes), shots=shots,
                             money=words.MONEY[data.money])
        yield from parts.text(costs if fair(self.read) else f"{FIRST_TRY} {costs}")
        yield from parts.text(*_said((words.BEFORE, data.before)))
        yield from self._remedy_cautions(data.id)
        yield from parts.steps(data.steps)
        yield from parts.text(*_said((words.SHOULD, data.should), (words.STOP_WHEN, data.stop_when),
                                     (words.UNDO, data.undo)))

    def _questions(self, most: int) -> Parts:
        """What to report back: what tells most, then what an answer asks back."""
        names = [q.observation for q in self.read.questions][:most]
        said = [*(_put(self.read.case, name) for name in names), *answered.back(self.asked)][:most]
        if said:
            yield from parts.heading(self.heads.report)
            yield from self._cautions(c for name in names for c in self.book.observations[name].cautions)
            yield from parts.steps(said)

    def _back(self, most: int) -> Parts:
        if said := answered.back(self.asked)[:most]:
            yield from parts.heading(self.heads.report)
            yield from parts.steps(said)

    def _rest(self) -> Parts:
        """Complaints that the first cause does not explain, and the rest of what was asked."""
        for found in matters.left_over(self.read):
            yield from parts.heading(self.heads.besides)
            yield from parts.text(" ".join(self._of_its_own(found)))
        if said := list(answered.more(self.read.case, self.asked, self.warned)):
            yield from parts.heading(self.heads.more)
            yield from said

    def _of_its_own(self, found: matters.Matter) -> Iterable[str]:
        yield OF_ITS_OWN.format(name=self.book.symptoms[found.symptom].name)
        if not found.cause:
            yield OF_ITS_OWN_LATER
            return
        cause = self.book.causes[found.cause].name
        remedy = self.book.remedies[found.remedy].name if found.remedy else ""
        yield (OF_ITS_OWN_THEN if remedy else OF_ITS_OWN_CAUSE).format(cause=cause, remedy=remedy)

    def _meant(self, symptom: str) -> str:
        """What the words could mean, and what that would most often come to."""
        found, name = matters.by_itself(self.read, symptom), self.book.symptoms[symptom].name
        if not found.remedy:
            return name
        return MEANT.format(name=name, cause=self.book.causes[found.cause].name,
                            remedy=self.book.remedies[found.remedy].name)

    def _remedy_cautions(self, remedy: str) -> Parts:
        yield from self._not_yet(cautions.of_remedy(self.read.case, remedy))

    def _cautions(self, names: Iterable[str]) -> Parts:
        yield from self._not_yet(cautions.several(self.book, names))

    def _not_yet(self, found: Iterable[CautionData]) -> Parts:
        """The cautions not yet given, the gravest first."""
        for one in found:
            if one.id not in self.warned:
                self.warned.add(one.id)
                yield from parts.caution(one)


def _said(*given: tuple[str, str]) -> list[str]:
    return [text.format(text=value) for text, value in given if value]


def _put(case: Case, name: str) -> str:
    """A question in one line, with how to find out, and its answers where they are short."""
    stated, answers = case.book.observations[name], offered(case, name)
    choices = " / ".join(answer.text for answer in answers)
    short = len(answers) > 1 and len(choices) <= CHOICES and choices != "yes / no"
    return " ".join(filter(None, (stated.ask, stated.how, f"({choices})" if short else "")))
