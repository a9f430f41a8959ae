"""Scripted consults: what a person types, and how it must end whatever the front end."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.dialogue.session import Session


@dataclass(frozen=True)
class Script:
    """Lines typed one after another, and the end they come to."""

    name: str
    lines: tuple[str, ...]
    ended: str
    values: dict[str, str]
    """Answers that stand at the end, as text."""
    tried: tuple[tuple[str, str], ...] = ()
    seen: tuple[str, ...] = ()
    """Words that must have been shown on the way, whatever the width."""


def say(session: Session, *lines: str) -> None:
    """Type lines one after another."""
    for line in lines:
        session.take(line)


def codes(session: Session) -> list[str]:
    """The codes of the notes shown now."""
    return [n.code for n in session.screen().notes]


SCRIPTS = (
    Script("straight through", ("it gushes", "1", "", "grind", "solved", "finish"), "solved",
           {"last_change": "grind"}, (("finer", "solved"),),
           ("Is it right?", "What was changed last", "WARNING: Burrs cut fingers",
            "Grind finer", "Did it work?", "Solved: Grind finer")),
    Script("by digits", ("gush", "1", "", "1", "1", "1"), "solved",
           {"last_change": "grind"}, (("finer", "solved"),)),
    Script("back and another answer", ("gush", "1", "", "grind", "back", "beans", "save"), "left",
           {"last_change": "beans"}, (), ("Taken back", "Use a fresh bag")),
    Script("the first fix does not help", ("gush", "1", "", "grind", "same", "save"), "left",
           {"last_change": "grind"}, (("finer", "same"),), ("No change",)),
    Script("nothing in the book", ("gush", "1", "", "grind", "same", "same", "3"), "not_in_book",
           {"last_change": "grind"}, (("finer", "same"), ("fresh_bag", "same"))),
    Script("words that are no choice", ("gush", "1", "", "purple", "", "9", "beans", "save"), "left",
           {"last_change": "beans"}, (),
           ("is none of the answers", "Nothing was typed", "Type a number from 1 to 3, or d")),
    Script("explanations change nothing",
           ("gush", "1", "", "why", "", "what if beans", "", "change mind", "more", "?", "known", "",
            "sources", "", "grind", "why", "sources", "what if same", "save"), "left",
           {"last_change": "grind"}, (),
           ("Why this question", "If the answer were: the beans", "What would change my mind",
            "What you can say", "Why I think so", "small.yaml:")),
    Script("none of the readings, then the list", ("hm", "3", "gush", "4", "1", "1", "save"), "left",
           {}, (), ("not sure what you mean", "What is it about?")),
    Script("one complaint of two is gone",
           ("gush", "1 2", "", "d", "better", "", "purple", "the shot runs too fast", "save"), "left",
           {}, (("finer", "better"),), ("Which of these is still there?", "Nothing was typed",
                                          "is none of the choices", "One thing less")),
    Script("both complaints are gone",
           ("gush", "1 2", "", "d", "better", "nothing", "1"), "solved", {},
           (("finer", "solved"),), ("all of it is gone", "Solved:")),
    Script("questions on the way",
           ("gush", "1", "Can I leave the machine on all day?", "", "", "Do I go finer or coarser?", "grind",
            "save"), "left", {"last_change": "grind"}, (),
           ("You asked: Can I leave the machine on all day?", "Now: Set the switch-off", "under 26 s")),
    Script("several complaints at once", ("gush", "1 2", "", "save"), "left", {}),
    Script("can't tell, and put aside", ("gush", "1", "", "d", "save"), "left", {}),
    Script("numbers read out of the words", ("gush in 19 s", "1", "", "save"), "left",
           {"shot_time": "19.0"}, (), ("took 19 s",)),
    Script("begin again", ("gush", "1", "", "grind", "restart", "yes", "slow", "1", "", "save"), "left",
           {}, (), ("Begin again?", "Everything was taken back")),
    Script("something new after a fix",
           ("gush", "1", "", "grind", "new", "now it only drips", "1", "same", "save"), "left",
           {"last_change": "grind"}, (("finer", "same"),), ("What is new?", "the trouble you came")),
    Script("the leak goes to a technician", ("slow", "1", "", "d", "d", "save"), "left", {}),
    Script("the best fix before the questions are through",
           ("gush", "1", "", "!", "why", "", "6", "grind", "solved", "finish"), "solved",
           {"last_change": "grind"}, (("finer", "solved"),),
           ("my best advice so far", "I would still ask: What was changed last",
            "Do this now: Grind finer", "6 ask me more first", "Why I think so")),
    Script("what came of a fix asked for early", ("gush", "1", "", "best fix", "same", "save"), "left",
           {}, (("finer", "same"),)),
    Script("free words at a question",
           ("gush", "1", "", "well, it took 19 s with a new bag", "", "save"), "left",
           {"shot_time": "19.0", "last_change": "beans"}, (),
           ("Is it right?", "1 yes, all of that", "change: the beans",
            "Noted: 2 things")),
    Script("one of several things in free words",
           ("gush", "1", "", "well, it took 19 s with a new bag", "3", "back", "grind", "save"), "left",
           {"last_change": "grind"}, (), ("Noted.", "Taken back: well, it took 19 s")),
    Script("what else is known, asked once",
           ("gush", "1", "it took 19 s with a new bag", "2 3", "save"), "left",
           {"shot_time": "19.0", "last_change": "beans"}, (), ("Anything else you know?",)),
    Script("facts and no complaint",
           ("I have a new bag", "1", "", "!", "solved", "finish"), "solved",
           {"last_change": "beans"}, (("fresh_bag", "solved"),),
           ("Good, I have that.", "Going on with that alone", "Do this now: Use a fresh bag")),
    Script("facts that say nothing, then the list",
           ("it stood warm", "1", "hm", "", "1", "1", "", "save"), "left", {"cold_night": "no"}, (),
           ("does not tell me what is wrong", "What is it about?")),
    Script("one symptom kept, the rest in other words",
           ("gush and drip", "2 4", "19 s and a new bag", "", "", "save"), "left",
           {"shot_time": "19.0", "last_change": "beans"}, (),
           ("What I have so far: the shot runs too fast",)),
)
