"""What was understood of someone's words, each thing kept or not by the person."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.book.answers import NO
from diagnose.dialogue import mention_choices, replies
from diagnose.dialogue.choices import none_of
from diagnose.dialogue.matching import several
from diagnose.dialogue.mentions import Heard, Kept
from diagnose.dialogue.sitting import STAY, Drop, Moves, Push, Sitting, Stage
from diagnose.dialogue.stages import answered
from diagnose.present import cautions
from diagnose.present.screen_data import UnderstoodData
from diagnose.present.screens import Choice, Screen, Wanted


class Teller(Stage):
    """A stage that takes someone's own words; what they say is sorted out over it."""

    kept: Kept
    ways_out: tuple[str, ...] = ("none",)
    """What may be chosen besides the things heard."""

    def hear(self, s: Sitting, line: str, before: str = "") -> Heard:
        """What a line says; `before` are the words it comes after."""
        raise NotImplementedError

    def settle(self, s: Sitting) -> Moves:
        """Everything was sorted out."""
        raise NotImplementedError

    def go_on(self, s: Sitting) -> Moves:
        """No more is to be said than what is kept."""
        return self.settle(s)

    def way_out(self, s: Sitting, way: str, heard: Heard) -> Moves:
        """One of the ways out was taken."""
        raise NotImplementedError

    def noted(self, s: Sitting) -> None:
        """Say how many things were kept."""
        count = len(self.kept.items)
        s.say("noted_one" if count == 1 else "noted", count=str(count))

    def sort_out(self, heard: Heard) -> Moves:
        """Ask what of it is right."""
        return (Push(Understood(self, heard)),)


@dataclass
class Understood(Stage):
    """I understood this; what of it is right?"""

    teller: Teller
    heard: Heard

    def choices(self, s: Sitting) -> tuple[Choice, ...]:
        # The only thing plainly said needs no number of its own beside the `yes`.
        sure = self.heard.sure if len(self.heard.sure) > 1 else ()
        return (*self._lead, *(mention_choices.choice(s, i) for i in sure),
                *(mention_choices.choice(s, i, doubtful=True) for i in self.heard.maybe),
                *map(Choice, self.teller.ways_out))

    @property
    def _lead(self) -> tuple[Choice, ...]:
        """What Enter takes: all that was plainly said, or what was kept before."""
        if self.heard.sure:
            return (Choice("yes"),)
        return (Choice("go_on"),) if self.teller.kept.items else ()

    def screen(self, s: Sitting) -> Screen:
        heard, kept = self.heard, self.teller.kept
        dangers = dict.fromkeys(c for i in heard.sure for c in mention_choices.stops(s, i))
        data = UnderstoodData(
            heard.text, list(heard.remarks), [mention_choices.choice(s, i) for i in heard.sure],
            [i.id for i in heard.maybe], [mention_choices.choice(s, i) for i in kept.items])
        return Screen("understood", data, self.choices(s), Wanted("several"),
                      cautions=tuple(cautions.several(s.book, dangers)))

    def take(self, s: Sitting, line: str) -> Moves:
        picked = self._read(s, line)
        if picked:
            return self._picked(s, picked)
        if line and not line.replace(" ", "").replace(",", "").isdigit():
            return self._words(s, line)
        none_of(s, line, self.choices(s))
        return STAY

    def _words(self, s: Sitting, line: str) -> Moves:
        """Other words: what they ask is answered, what they say is heard beside what is to be sorted out."""
        answers, line = answered.find(s, line)
        answer: Moves = (Push(answers),) if answers else STAY
        if not line:
            return answer
        again = self.teller.hear(s, line, self.heard.text)
        heard = (self.heard.with_figure(again) if replies.is_figure(line) and again.sure
                 else again.after(self.heard, self.teller.kept.items))
        return (Drop(self), *self.teller.sort_out(heard), *answer)

    def means(self, s: Sitting, line: str) -> list[str] | None:
        return self._read(s, line)

    def _read(self, s: Sitting, line: str) -> list[str] | None:
        """The choices meant: by number, by words, or a thing heard by its id; else None."""
        if not line:
            return [c.id for c in self._lead] or None
        if line.lower().rstrip(".!") in NO:
            return [self.teller.ways_out[0]]
        if any(line == i.id for i in (*self.heard.sure, *self.heard.maybe)):
            return [line]
        return several(line, self.choices(s))

    def _picked(self, s: Sitting, picked: list[str]) -> Moves:
        by_id = {i.id: i for i in (*self.heard.sure, *self.heard.maybe)}
        plain = self.heard.sure if "yes" in picked else ()
        chosen = dict.fromkeys([*plain, *(by_id[p] for p in picked if p in by_id)])
        self.teller.kept.add(chosen, self.heard.text)
        out = next((w for w in self.teller.ways_out if w in picked), "")
        if out:
            return (Drop(self), *self.teller.way_out(s, out, self.heard))
        return (Drop(self), *(self.teller.go_on(s) if "go_on" in picked else self.teller.settle(s)))
