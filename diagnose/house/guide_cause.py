"""The way to a cause that the book lacks: eight questions, the rest worked out and shown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from diagnose.book.book import Book
from diagnose.book.lint import hazards
from diagnose.book.lint.texts import LONGEST_STEP
from diagnose.book.pages import wording
from diagnose.house import make, names
from diagnose.house.guide_rule import condition, long_enough, strength
from diagnose.house.prompt import Prompter
from diagnose.house.write import Addition
from diagnose.reason.weights import COMMON, TYPICAL

MOST_ALIKE = 4
"""Look-alikes offered."""
TAKEN = 2
"""Those taken where nothing else is said."""
OWN = "own"
MINUTES = 5
"""Said of a fix of the house's own, which is put right in the file where it is not so."""
OFTEN = {"common": "often", "occasional": "now and then", "uncommon": "seldom", "rare": "hardly ever"}
OTHERWISE = {"strong": "slight against", "very strong": "substantial against",
             "decisive": "strong against"}
"""What it says against the cause where what tells of it is known not to be so."""


def cause(ask: Prompter, book: Book) -> list[Addition]:
    """A cause of the house's own, with its fix where that is new too."""
    name = ask.text("1 of 8. What is wrong? Name it, as in `the chute is half clogged`:", long_enough)
    if known := names.causes(book).sure(name):
        ask.say(f"  The book has one like it: {book.causes[known].name}. Leave with `q` if that is it.")
    data: dict[str, Any] = {"name": name, "part": "", "common": ""}
    data["what"] = ask.text("2 of 8. What happens then, in a sentence or two?", long_enough)
    shows = _shows(ask, book)
    when = condition(ask, book, "4 of 8. What tells you that it is this? Say what is seen, tasted, measured "
                     "or done.")
    weight = strength(ask, "5 of 8. How much does that say?")
    data["common"] = ask.one_of("6 of 8. How often do you meet it?", OFTEN)
    remedy, more = _remedy(ask, book, shows)
    alike = _look_alikes(ask, book, f"{name} {data['what']}", shows, when)
    data["part"] = book.causes[alike[0]].part if alike else "the equipment"
    data["shows"] = dict.fromkeys(shows, "often")
    data["evidence"] = [{"when": when, "weight": f"{weight} for"}
                        | ({"otherwise": OTHERWISE[weight]} if weight in OTHERWISE else {})]
    told = _told(book, when)
    tells = [n for n in when if n in book.observations] or list(_asked_of(book, alike))
    data["look_alikes"] = [{"cause": c, "tell": f"With this one: {told}", "ask": tells} for c in alike]
    data["confirm"] = f"Look whether this is so: {told}"
    data["remedies"] = [{"remedy": remedy, "cures": "usually"}]
    return [Addition("causes", make.new_id(book, name), data | {"source": "house"}), *more]


def _shows(ask: Prompter, book: Book) -> list[str]:
    found: list[str] = []
    while True:
        asked = "And of what else? (an empty line: that is all)" if found else (
            "3 of 8. What do people complain of?")
        name = ask.find(asked, names.troubles(book), empty=bool(found))
        if not name:
            return found
        found.append(name)


def _told(book: Book, when: Mapping[str, str]) -> str:
    """What must be so, in words."""
    return "; ".join(book.findings[name].values[value].says if name in book.findings
                     else f"{wording.label(book, name)} {value}" if name in book.names.units
                     else f"{wording.label(book, name)} {wording.answer(book, name, value)}"
                     for name, value in when.items())


def _remedy(ask: Prompter, book: Book, shows: list[str]) -> tuple[str, list[Addition]]:
    words = ask.text("7 of 8. What is to be done, in a few words?", long_enough)
    finder = names.remedies(book)
    found = {n: f"as the book has it: {finder.options[n]}" for n in finder.found(words)[:MOST_ALIKE]}
    chosen = ask.one_of("Is that one of these?", found | {OWN: f"no, a fix of our own: {words}"})
    if chosen != OWN:
        return chosen, []
    made = _own_remedy(ask, book, words, book.symptoms[shows[0]].name)
    return made.id, [made]


def _own_remedy(ask: Prompter, book: Book, name: str, trouble: str) -> Addition:
    steps: list[str] = []
    while step := ask.text(f"Step {len(steps) + 1} of it:" + (" (an empty line: done)" if steps else ""),
                           _step, empty=bool(steps)):
        steps.append(step)
    data = {"name": name, "steps": steps, "minutes": MINUTES, "should": f"No more of this: {trouble}."}
    cautions = some_cautions(ask, book, [*steps, name])
    return Addition("remedies", make.new_id(book, name),
                    data | ({"cautions": cautions} if cautions else {}) | {"source": "house"})


def _step(text: str) -> str:
    if len(text) > LONGEST_STEP:
        return f"at most {LONGEST_STEP} characters fit; make two steps of it"
    if word := hazards.inside(text):
        return f"{word!r} is a technician's work; say whom to ask instead"
    return long_enough(text)


def some_cautions(ask: Prompter, book: Book, texts: Iterable[str]) -> list[str]:
    """The book's cautions for what these texts have a person do, and said that they are added."""
    found: list[str] = []
    for what, fitting in hazards.covering(book, tuple(texts)):
        if fitting and found.count(fitting[0]) == 0 and not set(found) & set(fitting):
            ask.say(f"  It touches {what}, so this goes with it: {book.cautions[fitting[0]].text}", hang=2)
            found.append(fitting[0])
    return found


def _look_alikes(ask: Prompter, book: Book, words: str, shows: list[str], when: Mapping[str, str]
                 ) -> list[str]:
    """Causes easily taken for it: those of the book that show alike, to be chosen from."""
    alike = _alike(book, words, shows, when)
    if not alike:
        return []
    ask.say("8 of 8. It is easily taken for one of these:")
    for number, name in enumerate(alike, 1):
        ask.say(f"  {number}. {book.causes[name].name}", hang=5)
    said = ask.text(f"Which? Numbers, as in `1 3`; an empty line: the first {TAKEN}.",
                    lambda t: _numbers(t, len(alike)), empty=True)
    return [alike[int(n) - 1] for n in said.replace(",", " ").split()] or alike[:TAKEN]


def _alike(book: Book, words: str, shows: list[str], when: Mapping[str, str]) -> list[str]:
    """The causes that show the same: those of like words first, then the commonest.

    Those that the same tells of come last: nothing said so far tells them from it.
    """
    like = names.causes(book).found(words)

    def order(name: str) -> tuple[bool, bool, float]:
        stated = book.causes[name]
        same = any(all(e.when.get(n) == v for n, v in when.items()) for e in stated.evidence)
        seen = max(TYPICAL[stated.shows[s]] for s in shows if s in stated.shows)
        return same, name not in like, -COMMON[stated.common] - seen

    found = [n for n, c in book.causes.items() if c.normal == "no" and not c.shows.keys().isdisjoint(shows)]
    return sorted(found, key=order)[:MOST_ALIKE]


def _numbers(text: str, most: int) -> str:
    given = text.replace(",", " ").split()
    return "" if given and all(n.isdecimal() and 1 <= int(n) <= most for n in given) else (
        f"numbers from 1 to {most}, please")


def _asked_of(book: Book, causes: Iterable[str]) -> Iterable[str]:
    """A question that the causes' own evidence rests on."""
    for name in causes:
        for evidence in book.causes[name].evidence:
            yield from [n for n in evidence.when if n in book.observations][:1]
            return
