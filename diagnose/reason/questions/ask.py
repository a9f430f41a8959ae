"""The next question: the one that saves most expected minutes of repair, net of its own.

Each answer (each band of a number) is tried through the engine; how likely it is under a
cause follows from the weights it would bring: P(answer | cause) is proportional to the
answer's share in homes times 10**(weight/13). Of those posteriors the planner tells the
expected minutes; what they fall by, over all answers, is what the question saves.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist
from typing import Any

import msgspec
from msgspec import structs

from diagnose.book.book import Book
from diagnose.book.model import Observation
from diagnose.book.names import YES_NO
from diagnose.reason import weights
from diagnose.reason.infer.prior import OTHER, Words
from diagnose.reason.plan import Harms, Planner, Users
from diagnose.reason.questions.gates import wanted
from diagnose.reason.questions.reach import Reach
from diagnose.reason.questions.score import Base, Change, Scorer
from diagnose.reason.rank import believed

READING_MINUTES = 0.4
"""What any question costs beside its own minutes: reading it and answering."""
TIRING_MINUTES = 0.04
"""What each question put before adds to that: people tire of being asked."""
LEAST_SAVING = 0.4
"""Minutes that a question must save over its own to be worth a person's attention."""
IN_PLAY = 0.004
"""A cause below this posterior is no reason to ask; it counts as something else."""
LOOKED_AT = 32
"""Questions looked at, the most promising first. A number, not a time: the same case asks the same
question on every machine, and again after going back. All of some seventy differ from these in one
question of twenty, in twice the time."""
LOOKED_AT_MOST = 256
"""Questions looked at while none worth asking has been found."""
HAZARD_MINUTES = 120.0
"""What it is worth to learn of a hazard that is likelier here than in any home."""
DENIES, DENIES_DOUBTFUL = 0.05, 0.5
"""How much rarer than in homes an answer is that denies what the person came with; and where
nobody has confirmed that they did."""
CAN_TELL, CANT_TELL = 2.0, 0.5
"""What is supposed of a person beforehand: as if so many questions had been answered, and so many
not. Four in five at first, but people differ much, so their own answers soon count for more."""
PATIENCE, MORE_PATIENCE = 8, 4
"""Questions that a person can't answer before a fix is named all the same, and how many more after each
fix tried: all further ones found two more right first fixes in 364 reports and cases. What asks about a
danger is asked however many."""
GLANCE_MINUTES = 0.5
"""What a question costs at most that is answered by a look, or from memory."""
HINT = 0.05
"""Suspicion on causes that a hazard would go with, from which it is asked about first."""
GOES_WITH = 2.0
"""Times that the hazard makes such a cause likelier."""
LEAST_SHARE = 0.01
_EIGHTY = NormalDist().inv_cdf(0.9)


class Question(msgspec.Struct, frozen=True):
    """A question worth asking: what it saves, and what it would do to the causes."""

    observation: str
    saves: float
    """Expected minutes of repair saved, the question's own minutes taken off."""
    outlook: tuple[tuple[str, float, str, float], ...]
    """For each answer: its text, how likely it is, and the cause it would put first, how sure."""
    hazard: float = 0.0
    """Asked in any case: the chance that it reveals a hazard the complaint hints at."""
    stops: bool = False
    """Would one of its answers stop the consult?"""

    @property
    def urgent(self) -> float:
        """That chance, where it is worth the question by itself: then it is asked before all else."""
        return self.hazard if self.saves > LEAST_SAVING else 0.0


@dataclass(frozen=True)
class State:
    """What is known when a question is to be chosen."""

    values: Mapping[str, Any]
    complaints: tuple[str, ...]
    closed: Collection[str]
    """Observations not to be asked: answered, not observable, ruled out by the answers."""
    barred: Collection[str] = ()
    """Remedies out of the question."""
    outcomes: Mapping[str, float] | None = None
    """Decibans that fixes tried have brought to causes."""
    today: date | None = None
    doubtful: frozenset[str] = frozenset()
    """Complaints read from the words that nobody confirmed."""
    words: Words = ()
    """What the complaint's words may mean, with chances."""
    answered: int = 0
    unanswered: int = 0
    """Questions that the person could answer so far, and those that they could not."""

    patience: int = PATIENCE
    """Questions that may still go unanswered before something is to be done."""

    @property
    def answerable(self) -> float:
        """How likely this person is to be able to answer, as against an ordinary one."""
        asked = CAN_TELL + CANT_TELL + self.answered + self.unanswered
        return (CAN_TELL + self.answered) / asked * (CAN_TELL + CANT_TELL) / CAN_TELL


class Look(msgspec.Struct, frozen=True):
    """A state, what follows from it, and the minutes to expect as things stand."""

    state: State
    base: Base
    chances: Mapping[str, float]
    """The causes in play, OTHER with all the rest; they sum to one."""
    users: Users
    """The remedies open to them."""
    harms: Harms
    """Those of them that do harm under some."""
    minutes: float
    lost: float
    """What of these would be saved if the cause were known: no question can save more."""
    by_cause: Mapping[str, float]
    """The minutes that the present fix order takes, by the cause."""
    wasted: float
    """Minutes expected to be lost on a first fix that does not fit the cause. A question can be
    asked after it, too, so asking now can save no more than that."""


class Branch(msgspec.Struct, frozen=True):
    """Answers to a question that come to the same, and what they would bring."""

    answers: tuple[tuple[Any, float], ...]
    """Each with its share in homes."""
    share: float
    likely: float
    """How likely one of them is here."""
    joint: Mapping[str, float]
    """Probability of each cause together with one of them."""
    stops: bool


Changes = list[tuple[Change, tuple[tuple[Any, float], ...]]]
"""What answers would do, and those that would do it, each with its share in homes."""


class Asker:
    """Chooses questions over one book."""

    def __init__(self, book: Book, scorer: Scorer, planner: Planner, reach: Reach) -> None:
        self.book, self.scorer, self.planner, self.reach = book, scorer, planner, reach
        self._tries: dict[str, tuple[tuple[Any, float], ...]] = {}

    def best(self, state: State, most: int = LOOKED_AT) -> Question | None:
        """The question that saves most, or None where none saves more than it costs.

        `most`: questions looked at, the most promising first; more while none is worth asking.
        """
        look, found = self._worth(state, most)
        return self._gated(found[0], look) if found else None

    def worth(self, state: State, most: int = LOOKED_AT) -> list[Question]:
        """The questions that save more than they cost, the best first."""
        look, found = self._worth(state, most)
        asked: dict[str, Question] = {}
        for question in found:
            gated = self._gated(question, look)
            asked.setdefault(gated.observation, gated)
        return list(asked.values())

    def _worth(self, state: State, most: int) -> tuple[Look, list[Question]]:
        """The same as they are wanted, whatever must be asked before them."""
        look = self.look(state)
        found: list[Question] = []
        able = [n for n in self.candidates(look.chances, state) if self._may_pay(n, look)
                and (state.patience > 0 or self.scorer.may_stop(n))]
        for i, name in enumerate(able, 1):
            question = self._value(name, look)
            if question is not None and (question.hazard or (question.saves > LEAST_SAVING
                                                             and state.patience > 0)):
                found.append(question)
            if i >= (most if found else max(most, LOOKED_AT_MOST)):
                break
        return look, self._safe_first(sorted(found, key=lambda q: (-q.urgent, -q.saves, q.observation)))

    def _safe_first(self, found: list[Question]) -> list[Question]:
        """A look that may tell of a danger, before anything is run, heated or opened to answer."""
        if not found or not self.book.observations[found[0].observation].needs:
            return found
        return sorted(found, key=lambda q: not (q.stops and self._at_a_glance(q.observation)))

    def _at_a_glance(self, name: str) -> bool:
        """Is it answered by looking or remembering, with nothing to be done?"""
        stated = self.book.observations[name]
        return not stated.needs and stated.minutes <= GLANCE_MINUTES

    def _may_pay(self, name: str, look: Look) -> bool:
        """Could a question be worth it, if it told the cause for certain, or may it find a hazard?"""
        most = look.state.answerable * min(look.lost, look.wasted)
        return most - self.cost(name, look.state) > LEAST_SAVING or self.scorer.may_stop(name)

    def _gated(self, question: Question, look: Look) -> Question:
        """What must be asked first, where a question makes sense only after a certain answer."""
        gate = self._gate(question.observation, look.state)
        if gate == question.observation:
            return question
        first, sure = max(look.chances.items(), key=lambda c: c[1])
        unmoved = tuple((str(a), share, first, sure) for a, share in self.answers(gate))
        return structs.replace(question, observation=gate,
                               outlook=_outlook(self.branches(gate, look)) or unmoved)

    def _gate(self, name: str, state: State) -> str:
        seen: set[str] = set()
        while name not in seen:
            seen.add(name)
            node = self.book.conditions.get(("observations", name, "requires"))
            name = next((t.name for t in wanted(node) if t.name in self.book.observations
                         and self.answers(t.name) and self._open(t.name, state)), name)
        return name

    def look(self, state: State) -> Look:
        """The state with what follows from it."""
        base = self.scorer.base(state.values, state.complaints, state.today, state.doubtful,
                                state.words)
        chances = _in_play(believed(base.scores, base.before, state.outcomes))
        users = self.planner.users(chances, state.barred)
        harms = self.planner.harming(users, chances)
        plan = self.planner.plan(chances, users=users, harms=harms)
        known = sum(p * self.planner.alone[c] for c, p in chances.items())
        return Look(state, base, chances, users, harms, plan.minutes, plan.minutes - known,
                    self.planner.by_cause(plan.order, chances),
                    self.planner.wasted(plan.order, chances))

    def candidates(self, chances: Mapping[str, float], state: State) -> list[str]:
        """Observations and measures that bear on causes in play, the promising first."""
        promise: dict[str, float] = {}
        for cause, chance in chances.items():
            if cause in self.reach.cause:
                for leaf, weight in self.reach.cause[cause].items():
                    promise[leaf] = promise.get(leaf, 0.0) + chance * (1.02 - chance) * weight
        open_ = [n for n in promise if self._open(n, state)]
        return sorted(open_, key=lambda n: (not self.scorer.may_stop(n),
                                            -promise[n] / (self.cost(n, state) + 1.0), n))

    def _open(self, name: str, state: State) -> bool:
        if name in self.book.measures:
            missing = [i for i in self.reach.inputs[name] if i not in state.values]
            return bool(missing) and not any(i in state.closed for i in missing)
        return name not in state.closed and name not in state.values

    def cost(self, name: str, state: State) -> float:
        """Minutes to answer: for a measure, those of all inputs still missing."""
        each = READING_MINUTES + TIRING_MINUTES * (state.answered + state.unanswered)
        inputs = self.reach.inputs.get(name, (name,))
        return sum(self.book.observations[i].minutes + each
                   for i in inputs if i not in state.values)

    def _value(self, name: str, look: Look) -> Question | None:
        branches = self.branches(name, look)
        if not branches:
            return None
        after = sum(self._minutes(b.joint, look) for b in branches)
        warned = HAZARD_MINUTES * sum(max(0.0, b.likely - b.share) for b in branches if b.stops)
        saves = (look.state.answerable * self._known(name) * (min(look.minutes - after, look.wasted) + warned)
                 - self.cost(name, look.state))
        return Question(self.first_input(name, look.state), saves, _outlook(branches),
                        _hazard(branches, look.chances), any(b.stops for b in branches))

    def _known(self, name: str) -> float:
        """How likely people are to know it: for a measure, the least known of its inputs."""
        return min(self.scorer.experience.known(i) for i in self.reach.inputs.get(name, (name,)))

    def _minutes(self, joint: Mapping[str, float], look: Look) -> float:
        """Expected minutes after an answer: a new plan, or the old one where that is better."""
        kept = sum(chance * look.by_cause[cause] for cause, chance in joint.items())
        return min(kept, self.planner.plan(joint, users=look.users, harms=look.harms).minutes)

    def branches(self, name: str, look: Look) -> list[Branch]:
        """What the answers would bring; empty where they would change nothing."""
        tried = self._try(name, look)
        if not any(change.decibans or change.stops for change, _ in tried):
            return []
        ratios = [{c: weights.summed_odds(d) for c, d in change.decibans.items()} for change, _ in tried]
        shares = self._told(tried, look)
        norm = {c: sum([share * r.get(c, 1.0) for share, r in zip(shares, ratios, strict=True)])
                for c in {c for r in ratios for c in r}}
        found = []
        for (change, answers), share, ratio in zip(tried, shares, ratios, strict=True):
            joint = {c: p * share for c, p in look.chances.items()}
            for cause, whole in norm.items():
                joint[cause] *= ratio.get(cause, 1.0) / whole
            found.append(Branch(answers, share, sum(joint.values()), joint, change.stops))
        return found

    def _told(self, tried: Changes, look: Look) -> list[float]:
        """Shares of answers among people who came with this: they seldom deny it."""
        seldom = DENIES_DOUBTFUL if look.state.doubtful else DENIES
        shares = [sum(share for _, share in answers) * (seldom if change.denies else 1.0)
                  for change, answers in tried]
        total = sum(shares)
        return [share / total for share in shares]

    def _try(self, name: str, look: Look) -> Changes:
        """What the answers would do; those alike in all that counts are tried as one."""
        shared = self.answers(name)
        keys = self.scorer.alike(name, [answer for answer, _ in shared], look.chances)
        alike: dict[Any, list[tuple[Any, float]]] = {}
        for key, answer in zip(keys, shared, strict=True):
            alike.setdefault(key, []).append(answer)
        if len(alike) < 2:
            return []
        tried: Changes = []
        for answers in alike.values():
            effect = self.scorer.effect(look.base, name, answers[0][0], look.chances)
            tried += [(self.scorer.told(effect, name, answer, look.chances), ((answer, share),))
                      for answer, share in answers]
        return tried

    def first_input(self, name: str, state: State) -> str:
        if name not in self.book.measures:
            return name
        missing = [i for i in self.reach.inputs[name] if i not in state.values]
        return min(missing, key=lambda i: (self.book.observations[i].minutes, i))

    def answers(self, name: str) -> tuple[tuple[Any, float], ...]:
        """The answers to try, each with its share in homes."""
        if name not in self._tries:
            self._tries[name] = tuple(self._shared(name))
        return self._tries[name]

    def _shared(self, name: str) -> list[tuple[Any, float]]:
        stated = self.book.observations.get(name)
        if stated is None:
            words = self.book.bands[name].words[::2]
            return [(word, 1 / len(words)) for word in words]
        if stated.kind == "yes_no":
            return [(word, 0.5) for word in YES_NO]
        if stated.kind == "choice":
            return _shares(stated)
        if stated.kind == "quantity":
            return self._bands(name, stated)
        return []

    def _bands(self, name: str, stated: Observation) -> list[tuple[float, float]]:
        """One number from each band within the plausible range, with the band's share."""
        bands = self.book.bands[name]
        low, high = stated.range or (0.0, 1.0)
        spread = _spread(stated)
        found = []
        for word in bands.words[::2]:
            a, b = bands.limits(word)
            a, b = max(a, low), min(b, high)
            if a < b:
                share = spread.cdf(_scale(b, low)) - spread.cdf(_scale(a, low))
                found.append(((a + b) / 2, max(share, LEAST_SHARE)))
        total = sum(share for _, share in found)
        return [(value, share / total) for value, share in found]


def _outlook(branches: list[Branch]) -> tuple[tuple[str, float, str, float], ...]:
    rows = []
    for branch in branches:
        first = max(branch.joint, key=lambda c: branch.joint[c])
        sure = branch.joint[first] / branch.likely
        whole = sum(share for _, share in branch.answers)
        rows += [(str(answer), branch.likely * share / whole, first, sure)
                 for answer, share in branch.answers]
    return tuple(rows)


def _hazard(branches: list[Branch], chances: Mapping[str, float]) -> float:
    """The chance of a hazard that what is known hints at; 0 where it does not."""
    stops = [b for b in branches if b.stops]
    likely = sum(b.likely for b in stops)
    hint = sum(p for c, p in chances.items() if c != OTHER
               and any(b.joint[c] >= GOES_WITH * p * b.likely for b in stops))
    return likely if hint >= HINT and likely > sum(b.share for b in stops) else 0.0


def _in_play(chances: Mapping[str, float]) -> dict[str, float]:
    """The causes worth a question, and OTHER with all the rest; they sum to one."""
    kept = {c: p for c, p in chances.items() if p >= IN_PLAY and c != OTHER}
    kept[OTHER] = 1 - sum(kept.values())
    return kept


def _shares(stated: Observation) -> list[tuple[str, float]]:
    given = {a: v.share for a, v in stated.answers.items()}
    rest = max(0.0, 1 - sum(s for s in given.values() if s is not None))
    unsaid = [a for a, s in given.items() if s is None]
    shares = {a: max(LEAST_SHARE, s if s is not None else rest / len(unsaid))
              for a, s in given.items()}
    total = sum(shares.values())
    return [(a, s / total) for a, s in shares.items()]


def _spread(stated: Observation) -> NormalDist:
    """How a number is spread over homes: four in five within `usual`, on a log scale if positive."""
    low, high = stated.range or (0.0, 1.0)
    a, b = (_scale(v, low) for v in (stated.usual or (low, high)))
    return NormalDist((a + b) / 2, max((b - a) / 2 / _EIGHTY, 1e-6))


def _scale(value: float, low: float) -> float:
    return math.log(value) if low > 0 else value


