"""One case: a list of events, everything else worked out from it afresh.

Any front end drives it: `complain`, then `step` says what comes next, and `answer`,
`dont_know`, `tried`, `clear` or `back` say what the person did.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any

import msgspec

from diagnose.book import answers
from diagnose.case import hazards, outcome_evidence, use
from diagnose.case.events import (
    COMPLAINT,
    NOTEBOOK,
    Answered,
    Cleared,
    Complained,
    Entry,
    Event,
    Journal,
    Outcome,
    Rechecked,
    Tried,
    Unknown,
    now,
)
from diagnose.reason import first
from diagnose.reason.conflict import Conflict, conflicts, lone_answers, unconfirmed_complaint
from diagnose.reason.infer.infer import Inference
from diagnose.reason.infer.prior import OTHER, Words
from diagnose.reason.multiple_faults import Companion
from diagnose.reason.plan import GIVE_UP_MINUTES, LONG_SHOT, PEOPLE, Option
from diagnose.reason.questions.ask import MORE_PATIENCE, PATIENCE, Question, State
from diagnose.reason.rank import Ranked, rank
from diagnose.reason.system import System

HOPELESS = 0.04
"""A remedy with no better chance than this is not worth suggesting. The worked cases, in which something
always helps, stay as they are at 0.08; so they do with the three below at 0.6, 0.2 and 0.3."""
CHANCE_AT_GIVE_UP_TIME = 0.3
"""Nor is one that takes much: its chance is held to this part of its minutes over those of
giving up, so that a day's work is not suggested on a hunch."""
FAIR_CAUSE = 0.3
"""Below this of the leading cause, and of `FAIR_FIX` for the best fix, nothing is advised: what was
tried on such a guess was right in one case of five."""
FAIR_FIX = 0.2
"""Chance of a fix from which it is advised though no cause leads, or promised to a complaint that waits."""
MOST_RULED_OUT = 8
"""Causes shown at most as spoken against."""
CHANGED = ("better", "worse")
"""What comes of a fix that changed something."""
WORKED_OUT = ("events", "fixes", "_values", "inference", "ranked", "competitors", "companions", "conflicts",
              "signs", "use", "options", "state", "_step")
"""What is kept until the next event."""


class Ask(msgspec.Struct, frozen=True):
    """Ask this next."""

    question: Question


class Recheck(msgspec.Struct, frozen=True):
    """Two answers can't both hold: ask once which one stands."""

    conflict: Conflict


class Fix(msgspec.Struct, frozen=True):
    """Try this next."""

    option: Option
    after: tuple[Option, ...]
    """What would come next if it does not help."""
    again: bool = False
    """It has just helped: once more of the same."""


class Stop(msgspec.Struct, frozen=True):
    """Go no further: a hazard, or work for a technician."""

    reason: str
    """hazard or handover."""
    caution: str = ""
    option: Option | None = None


class Done(msgspec.Struct, frozen=True):
    """The end: solved, or nothing in this book fits, or too little is known to advise anything."""

    reason: str
    """solved, not_in_book or unsure."""


Step = Ask | Recheck | Fix | Stop | Done


class Case:
    """One case in progress over a System."""

    def __init__(self, system: System, entries: Iterable[Entry] = (),
                 journal: Journal | None = None, person: str = "careful owner",
                 today: date | None = None) -> None:
        self.system, self.book = system, system.book
        self.entries = list(entries)
        self.journal, self.today = journal, today or date.today()
        self.refused = PEOPLE[PEOPLE.index(person) + 1:]

    # What the person does.

    def complain(self, text: str, symptoms: Iterable[str], read: bool = False,
                 likely: Mapping[str, float] = MappingProxyType({})) -> None:
        """Add a complaint: the words, and the symptoms they mean.

        `read`: the symptoms were read from the words and nobody has confirmed them; `likely`: the
        chances of what the words may mean.
        """
        self._add(Complained(text, tuple(symptoms), read, dict(likely)))

    def answer(self, name: str, text: Any, given: str = "") -> Any:
        """Take an answer, its id or its whole words where it is a choice; returns it as read.

        Raises AnswerError, or KeyError for no such name.
        """
        value = answers.exact(self.book.observations[name], text, self.today)
        self._add(Answered(name, str(value), given or str(text)))
        return value

    def dont_know(self, name: str) -> None:
        """The person can't tell."""
        self._add(Unknown(name))

    def tried(self, remedy: str, outcome: Outcome, symptoms: Iterable[str] = (),
              gone: Iterable[str] = ()) -> None:
        """A remedy was tried; new symptoms may have come with it, some complaints may be gone."""
        self._add(Tried(remedy, outcome, tuple(symptoms), tuple(gone)))

    def clear(self, caution: str) -> None:
        """The hazard has been dealt with as the caution asks."""
        self._add(Cleared(caution))

    def let_stand(self, conflict: Conflict) -> None:
        """The person lets contradicting answers stand."""
        self._add(Rechecked(conflict.key))

    def back(self) -> Event | None:
        """Take back the last thing the person did; returns it."""
        for i in range(len(self.entries) - 1, -1, -1):
            entry = self.entries[i]
            if not entry.undone and not _from_notebook(entry.event):
                self.entries[i] = Entry(entry.at, entry.event, undone=True)
                self._changed()
                return entry.event
        return None

    def restart(self) -> None:
        """Take back everything."""
        self.entries = [Entry(e.at, e.event, undone=True) for e in self.entries]
        self._changed()

    def _add(self, event: Event) -> None:
        self.entries.append(Entry(now(), event))
        self._changed()

    def _changed(self) -> None:
        for name in WORKED_OUT:
            self.__dict__.pop(name, None)
        if self.journal is not None:
            self.journal(self.entries)

    # What is known.

    @cached_property
    def events(self) -> list[Event]:
        """The events that count, oldest first."""
        return [entry.event for entry in self.entries if not entry.undone]

    @property
    def complaints(self) -> tuple[str, ...]:
        """The symptoms complained of, in order: new ones from fixes included, gone ones not."""
        found: dict[str, None] = {}
        for event in self.events:
            if isinstance(event, Tried):
                found = {s: None for s in found if s not in event.gone}
            if isinstance(event, Complained | Tried):
                found |= dict.fromkeys(event.symptoms)
        return tuple(s for s in found if s in self.book.symptoms)

    @property
    def doubtful(self) -> frozenset[str]:
        """Symptoms read from the words that nobody confirmed."""
        said = [e for e in self.events if isinstance(e, Complained)]
        sure = {s for e in said if not e.read for s in e.symptoms}
        return frozenset(s for e in said if e.read for s in e.symptoms) - sure

    @property
    def words(self) -> Words:
        """What the complaints' words may mean, as long as nobody has confirmed a symptom."""
        said = [e for e in self.events if isinstance(e, Complained)]
        if any(e.symptoms and not e.read for e in said):
            return ()
        likely = [e.likely for e in said if e.likely]
        return tuple(sorted((s, sum(one.get(s, 0.0) for one in likely) / len(likely))
                            for s in {s for one in likely for s in one} & self.book.symptoms.keys()))

    @property
    def complaint(self) -> str:
        """The person's own words."""
        return " ".join(e.text for e in self.events if isinstance(e, Complained) and e.text)

    @property
    def values(self) -> dict[str, Any]:
        """The answers that stand: the latest of each, less what a fix has changed since."""
        return dict(self._values)

    @cached_property
    def _values(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for event in self.events:
            if isinstance(event, Answered) and event.name in self.book.observations:
                found[event.name] = answers.parse(
                    self.book.observations[event.name], event.value, self.today)
            elif isinstance(event, Unknown):
                found.pop(event.name, None)
            elif isinstance(event, Tried) and event.outcome in CHANGED:
                for name in self._changes(event.remedy):
                    found.pop(name, None)
        return found

    def _changes(self, remedy: str) -> tuple[str, ...]:
        stated = self.book.remedies.get(remedy)
        return stated.changes if stated else ()

    def given(self, name: str) -> str:
        """What was last typed for an answer, or where it came from; empty where there is none."""
        return next((e.given for e in reversed(self.events)
                     if isinstance(e, Answered) and e.name == name), "")

    @property
    def unknown(self) -> frozenset[str]:
        """What the person said they can't tell."""
        return frozenset(e.name for e in self.events if isinstance(e, Unknown)) - set(self.values)

    @cached_property
    def fixes(self) -> tuple[Tried, ...]:
        """The remedies tried so far."""
        return tuple(e for e in self.events if isinstance(e, Tried))

    @property
    def outcomes(self) -> dict[str, float]:
        """Decibans that the fixes tried bring for or against each cause."""
        return outcome_evidence.decibans(self.system.planner, self.fixes)

    @cached_property
    def inference(self) -> Inference:
        """Everything that follows from the answers as they stand."""
        return self.system.reasoner.infer(self.values, self.complaints, self.today,
                                          self.doubtful, self.words)

    @cached_property
    def ranked(self) -> list[Ranked]:
        """The causes, most probable first."""
        return rank(self.inference, self.outcomes)

    @cached_property
    def competitors(self) -> list[Ranked]:
        """Causes that explain what the best one explains, and are likely enough to name."""
        return self.system.explainers.competitors(self.inference, self.ranked)

    @cached_property
    def companions(self) -> list[Companion]:
        """Second faults that would explain what the best cause leaves over."""
        return self.system.explainers.companions(self.inference, self.ranked)

    @property
    def ruled_out(self) -> list[Ranked]:
        """The causes that would have fitted the complaint and that something spoke against.

        A danger that was told is not spoken against by an answer, so its causes are left out.
        """
        found = []
        dangers = {self.book.hazards[h].symptom for h in self.signs
                   if self.book.hazards[h].stop == "yes"}
        for ranked in self.ranked:
            stated = self.book.causes.get(ranked.cause)
            against = sum(p.decibans for p in ranked.parts if p.kind in ("evidence", "outcome"))
            if stated and against < 0 and not stated.shows.keys().isdisjoint(self.complaints) \
                    and stated.shows.keys().isdisjoint(dangers):
                found.append(ranked)
        return found[:MOST_RULED_OUT]

    @cached_property
    def conflicts(self) -> list[Conflict]:
        """Contradictions not yet put to the person."""
        stood = {e.key for e in self.events if isinstance(e, Rechecked)}
        found = [*conflicts(self.inference), *unconfirmed_complaint(self.inference),
                 *lone_answers(self.inference, self.ranked, self._without)]
        needy = self.system.questions.needy if self.use.no else frozenset()
        return [c for c in found if c.key not in stood and needy.isdisjoint(c.observations)]

    def _without(self, name: str) -> dict[str, float]:
        """The scores as if an observation had not been answered."""
        values = {n: v for n, v in self._values.items() if n != name}
        scores = self.system.scorer.scores(values, self.complaints, self.today, self.doubtful,
                                           self.words)
        for cause, decibans in self.outcomes.items():
            scores[cause] += decibans
        return scores

    @property
    def cautions(self) -> tuple[str, ...]:
        """Cautions that the answers call for, the gravest first."""
        return self.inference.cautions

    @cached_property
    def signs(self) -> tuple[str, ...]:
        """The hazards told and not dealt with: somebody hurt first, then the gravest."""
        return tuple(h for h in hazards.told(self.inference)
                     if not use.is_cleared(self.book, self.book.hazards[h].caution, self.cleared))

    @property
    def cleared(self) -> frozenset[str]:
        """The cautions that the person says were dealt with."""
        return frozenset(e.caution for e in self.events if isinstance(e, Cleared))

    @cached_property
    def use(self) -> use.UseVerdict:
        """May one go on using it?"""
        return use.verdict(self.inference, self.ranked, self.cleared)

    # What comes next.

    def step(self) -> Step:
        """What comes next: a stop, a re-check, a question, a fix, or the end."""
        return self._step

    @cached_property
    def _step(self) -> Step:
        if any(e.outcome == "solved" for e in self.fixes):
            return Done("solved")
        if self.hazard:
            return Stop("hazard", self.hazard)
        if self.conflicts:
            return Recheck(self.conflicts[0])
        if again := self._again():
            return again
        question = self.system.asker.best(self.state)
        if question is not None:
            return Ask(question)
        return self.fix()

    @property
    def hazard(self) -> str:
        """The caution to stop at, that of the first sign told if there is one; or empty."""
        first = [self.book.hazards[h].caution for h in self.signs]
        return next((n for n in dict.fromkeys([*first, *self.cautions])
                     if n in self.cautions and self.book.cautions[n].stop == "yes"
                     and not use.is_cleared(self.book, n, self.cleared)), "")

    def _again(self) -> Fix | None:
        """The move that has just helped, once more."""
        remedy = outcome_evidence.helping(self.book, self.fixes)
        option = next((o for o in self.options if o.remedy == remedy), None)
        if option is None or self.system.planner.harmful(remedy, self._chances):
            return None
        return Fix(option, tuple(o for o in self.options if o is not option)[:3], again=True)

    def fix(self) -> Fix | Stop | Done:
        """What to do if nothing more is asked: a remedy, a hand-over, or why there is none."""
        lead = next(r.probability for r in self.ranked if r.cause != OTHER)
        if self.options and lead < FAIR_CAUSE and self.options[0].chance < FAIR_FIX:
            return Done("unsure")
        return self.best()

    def best(self) -> Fix | Stop | Done:
        """The best fix there is, however unsure."""
        options = self.options
        if not options or not self._hopeful(options[0]):
            return Done("not_in_book")
        first = options[0]
        if self.system.planner.harmful(first.remedy, self._chances):
            return Done("unsure")
        if first.who in self.refused:
            return Stop("handover", option=first)
        return Fix(first, tuple(options[1:4]))

    @cached_property
    def options(self) -> list[Option]:
        """The remedies to try next, in order: that of least expected minutes, long shots later.

        A quick remedy for an unlikely cause can be worth its minutes by the sums, but people
        rightly doubt advice that starts beside the point. What is not worth suggesting as things
        stand comes last; it may be once others have failed. A second fault that may be there too
        is reckoned with at its own chance. Of a cause that a fix was tried for in vain, no other
        fix of the owner's comes before one for something else.
        """
        planner, chances = self.system.planner, self._chances
        treated = outcome_evidence.treated(planner, self.fixes)
        order = planner.order(chances, self.state.barred)
        hopeful = [o for o in order if self._hopeful(o)]
        least = LONG_SHOT * max((o.chance for o in hopeful), default=0.0)
        found = sorted(order, key=lambda o: (
            not self._hopeful(o), planner.harmful(o.remedy, chances),
            o.causes[0][0] in treated and o.who not in self.refused, o.chance < least))
        beside = first.implausible_fixes(self.inference, self.ranked, hopeful)
        led = next((o for o in found if o.remedy not in beside
                    and not planner.harmful(o.remedy, chances)), None)
        return [led, *(o for o in found if o is not led)] if led in hopeful else found

    @property
    def _chances(self) -> dict[str, float]:
        """The causes as likely as they are, a second fault that may be there too at its own chance."""
        chances = {r.cause: r.probability for r in self.ranked}
        for second in self.companions:
            chances[second.cause] = max(chances[second.cause], second.probability)
        return chances

    def _hopeful(self, option: Option) -> bool:
        """Is it worth suggesting? A hand-over is no try: a technician looks for the fault anyway."""
        minutes = 0.0 if option.who in self.refused else option.minutes
        return option.chance >= max(HOPELESS, CHANCE_AT_GIVE_UP_TIME * minutes / GIVE_UP_MINUTES)

    @cached_property
    def state(self) -> State:
        """What the choice of a question hangs on."""
        known = self.inference.by_name
        closed = (self._values.keys() | self.unknown | self.system.questions.failed(known)
                  | self.system.seldom_asked.after(self.unknown) | self._past | self._told)
        barred = (outcome_evidence.spent(self.book, self.fixes) | self.system.remedies.failed(known)
                  | self.system.harmful.failed(known) | self.system.tried_in_answers.failed(known))
        if self.use.no:
            closed |= self.system.questions.needy
            barred |= self.system.remedies.needy
        answered = [n for n in self._values if self.given(n) not in (NOTEBOOK, COMPLAINT)]
        return State(self._values, self.complaints, frozenset(closed), frozenset(barred),
                     self.outcomes, self.today, self.doubtful, self.words, len(answered),
                     len(self.unknown), PATIENCE + MORE_PATIENCE * len(self.fixes) - len(self.unknown))

    @property
    def _told(self) -> frozenset[str]:
        """Questions that a confirmed complaint answers, unless a fix has changed it since.

        What may tell of a danger is asked all the same.
        """
        changed = {n for e in self.fixes if e.outcome in CHANGED for n in self._changes(e.remedy)}
        told = self.system.told.by(set(self.complaints) - self.doubtful) - changed
        return frozenset(n for n in told if not self.system.scorer.may_stop(n))

    @property
    def _past(self) -> frozenset[str]:
        """Questions about what was done before, once a fix was tried: it is what was done last."""
        asked = self.book.observations.items() if self.fixes else ()
        return frozenset(n for n, o in asked if o.past == "yes")


def _from_notebook(event: Event) -> bool:
    return isinstance(event, Answered) and event.given == NOTEBOOK
