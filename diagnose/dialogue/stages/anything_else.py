"""The person's own words beside the questions: what else they know, at any time."""

from __future__ import annotations

from dataclasses import dataclass, field

from diagnose.book.answers import NO
from diagnose.dialogue import hearing, replies
from diagnose.dialogue.mentions import Heard, Kept
from diagnose.dialogue.sitting import STAY, Clear, Drop, Moves, Push, Sitting, Stage
from diagnose.dialogue.stages import answered
from diagnose.dialogue.stages.confirm import Teller
from diagnose.present.screen_data import BesidesData
from diagnose.present.screens import Screen, Wanted

NOTHING = NO | {"nothing", "nothing else", "none", "that's all", "that is all"}
PLENTY_ANSWERS, PLENTY_WORDS = 3, 30
"""From so many answers, or so many words, a complaint has said what its teller knows."""


def plenty(kept: Kept) -> bool:
    """Did the complaint say so much already that little is left to ask for?"""
    return len(kept.answers) >= PLENTY_ANSWERS or len(kept.text.split()) >= PLENTY_WORDS


def offer(s: Sitting, line: str, asked: str = "") -> Moves | None:
    """Answer what free words ask and ask what of the rest is right; None where nothing was understood."""
    answers, rest = answered.find(s, line) if replies.is_words(line) else (None, line)
    words = Words(asked)
    figure = replies.is_figure(rest)
    found = words.hear(s, rest) if figure or replies.is_words(rest) else Heard(rest)
    heard = bool(found.sure or (found.maybe and not answers))
    if not heard and not answers:
        return None
    return (*(words.sort_out(found) if heard else STAY), *([Push(answers)] if answers else []))


@dataclass
class Words(Teller):
    """Free words said to a question."""

    asked: str = ""
    kept: Kept = field(default_factory=Kept)

    ways_out = ("drop",)

    def hear(self, s: Sitting, line: str, before: str = "") -> Heard:
        return hearing.words(s, line, self.asked, before)

    def settle(self, s: Sitting) -> Moves:
        s.record(self.kept)
        self.noted(s)
        return (Clear(),)

    def way_out(self, s: Sitting, way: str, heard: Heard) -> Moves:
        if self.kept.items:
            return self.settle(s)
        s.say("dropped")
        return STAY


@dataclass
class Besides(Stage):
    """Anything else that you know?"""

    brief: bool = False
    """Asked in passing, of someone who has said much already."""

    def screen(self, s: Sitting) -> Screen:
        return Screen("besides", BesidesData(self.brief), wanted=Wanted("words"))

    def take(self, s: Sitting, line: str) -> Moves:
        if not line or line.lower().rstrip(".!") in NOTHING:
            return (Drop(self),)
        heard = offer(s, line)
        if heard is not None:
            return heard
        s.record(Kept(texts=[line]))
        s.say("kept_as_said")
        return (Drop(self),)
