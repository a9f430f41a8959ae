"""A small book for tests of the consult: two complaints, four causes, one of each kind of answer.

Only the question what was changed last is cheap, so that it is asked first and, once
answered, a fix comes next, however finely questions are weighed against fixes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.yaml import loader
from diagnose.reading.questions import Asked, asked
from diagnose.reason.system import System
from diagnose.storage import paths

BOOK = """\
schema: 1
chapter: small
title: A small book for tests
targets:
  shot_time: {label: shot time, unit: s, value: 29, low: 26, high: 32, source: "common practice, no source"}
observations:
  shot_time:
    ask: How long did the shot take, from starting the pump to stopping it?
    told: "the shot took {answer}"
    how: Time it from the moment the pump starts.
    kind: quantity
    unit: s
    range: [1, 180]
    usual: [15, 45]
    minutes: 30
  last_change:
    ask: What was changed last, before the trouble began?
    kind: choice
    minutes: 0.1
    answers:
      grind: {says: the grind, lay: [the grinder setting]}
      beans: {says: the beans, lay: [a new bag]}
      nothing: {says: nothing was changed}
  bag_fresh:
    ask: Was the bag opened within the last three weeks?
    kind: yes_no
    minutes: 20
  roasted:
    ask: When were the beans roasted?
    kind: date
    minutes: 0.3
  smell:
    ask: Is there a smell of burning, or did the breaker trip?
    kind: choice
    minutes: 0.1
    answers:
      burning: {says: it smells of burning}
      fine: {says: nothing of the kind}
  cold_night:
    ask: Did the machine stand in frost?
    kind: yes_no
    minutes: 0.1
  valve_drips:
    ask: Does water drip from the valve while the pump runs?
    how: Look into the drip tray.
    kind: choice
    minutes: 20
    cautions: [hot_water]
    answers:
      drips: {says: it drips the whole time}
      dry: {says: it stays dry}
findings:
  flow:
    label: flow
    source: common practice, no source
    values:
      fast: {says: the shot runs fast, when: {shot_time: "< target.shot_time.low"}, abnormal: yes}
      right:
        says: the shot takes its time
        when: {shot_time: "between target.shot_time.low and target.shot_time.high"}
      slow: {says: the shot runs slowly, when: {shot_time: "> target.shot_time.high"}, abnormal: yes}
  grind_touched:
    label: grind moved
    values:
      moved: {says: the grind was moved, when: {last_change: grind}}
      left: {says: the grind was left alone, when: {last_change: [beans, nothing]}}
symptoms:
  too_fast:
    name: the shot runs too fast
    area: shot
    finding: {flow: fast}
    lay: [it gushes, it pours out, way too quick]
    unless_known: [shot_time]
  too_slow:
    name: the shot runs too slowly
    area: shot
    finding: {flow: slow}
    lay: [it only drips, it takes for ever]
    unless_known: [shot_time]
causes:
  grind_coarse:
    name: the grind is too coarse
    part: grind
    common: very common
    what: Water runs through coarse grounds too easily.
    shows: {too_fast: always}
    evidence:
      - {when: {flow: fast}, weight: substantial for, otherwise: strong against}
      - {when: {grind_touched: moved}, weight: strong for, otherwise: strong against}
    look_alikes:
      - {cause: beans_old, tell: "Old beans run fast at any setting.", ask: [bag_fresh]}
      - {cause: valve_leaks, tell: "A leaking valve drips into the tray.", ask: [valve_drips]}
    confirm: Grind one mark finer and time the next shot.
    remedies: [{remedy: finer, cures: usually}]
    source: common practice, no source
  beans_old:
    name: the beans are too old
    part: beans
    common: very common
    what: Old beans give no resistance.
    shows: {too_fast: always}
    evidence:
      - {when: {bag_fresh: "no"}, weight: very strong for, otherwise: strong against}
      - {when: {last_change: beans}, weight: very strong for}
    look_alikes:
      - {cause: grind_coarse, tell: "Fresh beans follow the grind.", ask: [bag_fresh]}
      - {cause: valve_leaks, tell: "A leaking valve drips into the tray.", ask: [valve_drips]}
    confirm: Try a fresh bag.
    remedies: [{remedy: fresh_bag, cures: usually}]
    source: common practice, no source
  valve_leaks:
    name: the valve leaks while the pump runs
    part: valve
    common: occasional
    what: Part of the water goes into the tray.
    shows: {too_slow: often, too_fast: seldom}
    evidence:
      - {when: {valve_drips: drips}, weight: decisive for, otherwise: very strong against}
    look_alikes:
      - {cause: grind_fine, tell: "A fine grind leaves the tray dry.", ask: [valve_drips]}
      - {cause: grind_coarse, tell: "A coarse grind leaves the tray dry.", ask: [valve_drips]}
    confirm: Watch the tray.
    remedies: [{remedy: mend_valve, cures: nearly always}]
    source: common practice, no source
  grind_fine:
    name: the grind is too fine
    part: grind
    common: very common
    what: Fine grounds hold the water back.
    shows: {too_slow: always}
    evidence:
      - {when: {flow: slow}, weight: substantial for, otherwise: strong against}
      - {when: {grind_touched: moved}, weight: substantial for}
    look_alikes:
      - {cause: valve_leaks, tell: "A leaking valve drips into the tray.", ask: [valve_drips]}
      - {cause: grind_coarse, tell: "A coarse grind runs fast.", ask: [shot_time]}
    confirm: Grind one mark coarser and time the next shot.
    remedies: [{remedy: coarser, cures: usually}]
    source: common practice, no source
remedies:
  finer:
    name: Grind finer
    steps:
      - Turn the grinder one mark finer.
      - Grind 4 g and throw them away.
      - Pull a shot; aim for {target.shot_time}.
    minutes: 4
    shots: 1
    should: The next shot takes longer.
    undo: Turn the grinder back.
    changes: [shot_time]
    cautions: [burrs]
    source: common practice, no source
  coarser:
    name: Grind coarser
    steps: ["Turn the grinder one mark coarser.", "Pull a shot."]
    minutes: 4
    shots: 1
    should: The next shot runs faster.
    changes: [shot_time]
    cautions: [burrs]
    source: common practice, no source
  fresh_bag:
    name: Use a fresh bag
    steps: ["Open a bag roasted within the last month.", "Pull a shot at the same setting."]
    minutes: 6
    shots: 1
    money: small
    should: The next shot takes longer.
    source: common practice, no source
  mend_valve:
    name: Have the valve mended
    steps: ["Ask a technician to mend the valve; the maker's instructions come first."]
    minutes: 60
    money: moderate
    who: technician
    should: The tray stays dry.
    cautions: [hot_water]
    source: common practice, no source
cautions:
  burrs:
    signal: WARNING
    text: Burrs cut fingers.
    avoid: Pull the plug before fingers go near them.
    source: common practice, no source
  hot_water:
    signal: CAUTION
    text: The water is hot.
    avoid: Keep your hands out of the tray.
    source: common practice, no source
  mains:
    signal: DANGER
    text: A burning smell means that mains can reach you.
    avoid: Pull the plug and leave it out.
    when: {smell: burning}
    stop: yes
    source: common practice, no source
  frost:
    signal: DANGER
    text: Frozen water may have split the boiler.
    avoid: Keep the plug out until it has been looked at.
    when: {cold_night: "yes"}
    stop: yes
    go_on: It stood in the warm for a day and nothing leaks.
    source: common practice, no source
practice:
  leave_on:
    asks: Can I leave the machine on all day?
    answer: You can while somebody is at home. A shot takes {target.shot_time}.
    now: Set the switch-off to an hour.
    ask_back: Which machine is it?
    cautions: [burrs]
    source: common practice, no source
  which_way:
    asks: Do I go finer or coarser?
    answer: Finer under {target.shot_time.low}.
    now: Turn one mark.
    within: direction
    source: common practice, no source
  go_on:
    asks: Can I go on using it till Friday?
    answer: Yes, if it is taste alone.
    now: Look at it before each use.
    within: going on
    source: common practice, no source
"""


def small_book(folder: Path, text: str = BOOK, house: str = "") -> Book:
    """The book, written to a folder and read back as any other; a house chapter laid over it."""
    shipped = folder / "book"
    shipped.mkdir(parents=True, exist_ok=True)
    (shipped / "small.yaml").write_text(text, encoding="utf-8")
    chapters = loader.load(shipped)
    if house:
        own = folder / "our-house"
        own.mkdir(exist_ok=True)
        (own / "ours.yaml").write_text(house, encoding="utf-8")
        chapters += loader.load(own, layer="our-house")
    return build_book(chapters)


def book_folder(folder: Path) -> Path:
    """The book alone in a folder that stands in for the shipped one, with what reading rests on beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "small.yaml").write_text(BOOK, encoding="utf-8")
    for name in paths.READ_BY:
        (folder / name).symlink_to(paths.shipped() / name)
    return folder


@dataclass(frozen=True)
class FakeHit:
    """What a search finds."""

    id: str
    name: str
    score: float = 1.0


@dataclass(frozen=True)
class FakeUnderstood:
    """What a complaint was read as."""

    symptoms: tuple[str, ...]
    values: dict[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    language: str = "en"
    maybe: tuple[str, ...] = ()
    doubtful: dict[str, str] = field(default_factory=dict)
    tried: dict[str, str] = field(default_factory=dict)


class FakeLookup:
    """Knows a handful of words."""

    WORDS: ClassVar = {"gush": "too_fast", "fast": "too_fast", "drip": "too_slow", "slow": "too_slow"}
    FACTS: ClassVar = {"19 s": ("shot_time", "19 s"), "new bag": ("last_change", "beans"),
                       "stood warm": ("cold_night", "no"), "burning": ("smell", "burning"),
                       "frost": ("cold_night", "yes")}

    def __init__(self, book: Book) -> None:
        self.book = book

    def understand(self, text: str) -> FakeUnderstood:
        """The symptoms and facts whose words stand in the text; after a "perhaps" in doubt."""
        sure, _, perhaps = text.lower().partition("perhaps")
        values = dict(fact for word, fact in self.FACTS.items() if word in sure)
        found = self._found(sure)
        return FakeUnderstood(
            found, values, maybe=tuple(n for n in self._found(perhaps) if n not in found),
            doubtful=dict(fact for word, fact in self.FACTS.items() if word in perhaps),
            tried={"finer": "same"} if "finer did nothing" in sure else {})

    def _found(self, text: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(s for w, s in self.WORDS.items() if w in text))

    def search(self, text: str) -> Sequence[FakeHit]:
        """Every symptom with a word in common, then the others."""
        said = text.lower()
        first = [s for w, s in self.WORDS.items() if w.startswith(said[:3]) or w in said]
        ids = dict.fromkeys([*first, *self.book.symptoms])
        return [FakeHit(i, self.book.symptoms[i].name) for i in ids]

    def near_danger(self, text: str) -> Sequence[str]:
        """The symptoms whose id stands in the text."""
        return [n for n in self.book.symptoms if n in text]

    def asked(self, text: str) -> Sequence[Asked]:
        """The questions of practice that the text asks."""
        return asked(self.book, text)

    def besides(self, text: str, answered: Sequence[Asked], hazardous: Callable[[str], bool]) -> str:
        """The text without what was answered."""
        for one in answered:
            text = text.replace(one.text, "")
        return text.strip()


def small_system(folder: Path) -> System:
    """The book with all that reasons over it."""
    return System(small_book(folder))
