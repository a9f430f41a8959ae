"""A small sound book for tests, made of plain data so that one value at a time can be spoilt."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import yaml

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.yaml import loader

COMMON = "common practice, no source"


def _caution(signal: str, text: str, **more: Any) -> dict[str, Any]:
    return {"signal": signal, "text": text, "avoid": f"Keep away from it: {text}", "source": COMMON,
            **more}


SMALL: dict[str, Any] = {
    "schema": 1, "chapter": "small", "title": "A small book for tests",
    "targets": {"shot_time": {"label": "shot time", "unit": "s", "value": 29, "low": 26, "high": 32,
                              "source": COMMON}},
    "observations": {
        "shot_time": {"ask": "How long did the shot take?", "kind": "quantity", "unit": "s",
                      "range": [1, 180], "usual": [15, 45], "minutes": 0.6},
        "dose": {"ask": "How much coffee went in?", "kind": "quantity", "unit": "g",
                 "range": [1, 40], "usual": [15, 20], "minutes": 0.3},
        "drink": {"ask": "How much drink came out?", "kind": "quantity", "unit": "g",
                  "range": [0, 200], "usual": [25, 50], "minutes": 0.3},
        "last_change": {"ask": "What was changed last?", "kind": "choice", "minutes": 0.1,
                        "answers": {"grind": {"says": "the grind"}, "beans": {"says": "the beans"},
                                    "nothing": {"says": "nothing at all"}}},
        "fresh": {"ask": "Was the bag opened this week?", "kind": "yes_no", "minutes": 0.1},
        "smell": {"ask": "What does it smell of?", "kind": "choice", "minutes": 0.1,
                  "answers": {"burning": {"says": "something burns", "lay": ["burnt smell"]},
                              "fine": {"says": "nothing but coffee"}}},
        "roasted": {"ask": "When were the beans roasted?", "kind": "date", "minutes": 0.1},
    },
    "measures": {"ratio": {"label": "brew ratio", "compute": "shot.brew_ratio",
                           "given": {"dose_g": "dose", "yield_g": "drink"}},
                 "age": {"label": "age of the beans", "compute": "beans.days_since",
                         "given": {"roast_date": "roasted"}}},
    "findings": {
        "flow": {"label": "how fast it runs", "source": COMMON, "values": {
            "fast": {"says": "it ran fast", "abnormal": "yes",
                     "when": {"shot_time": "< target.shot_time.low"}},
            "right": {"says": "it ran right", "when": {
                "shot_time": "between target.shot_time.low and target.shot_time.high"}},
            "slow": {"says": "it ran slowly", "abnormal": "yes",
                     "when": {"shot_time": "> target.shot_time.high"}}}},
        "hazard": {"label": "danger", "values": {
            "fire": {"says": "something may burn", "abnormal": "yes", "when": {"smell": "burning"}},
            "none": {"says": "nothing burns", "when": {"smell": "fine"}}}},
    },
    "symptoms": {
        "too_fast": {"name": "the shot runs too fast", "area": "shot", "finding": {"flow": "fast"},
                     "lay": ["it gushes"], "unless_known": ["shot_time"]},
        "too_slow": {"name": "the shot runs too slowly", "area": "shot", "finding": {"flow": "slow"},
                     "lay": ["it drips"], "unless_known": ["shot_time"]},
    },
    "causes": {
        "too_coarse": {
            "name": "the grind is too coarse", "part": "grinder", "common": "common",
            "what": "Water finds its way through too easily.", "shows": {"too_fast": "often"},
            "evidence": [{"when": {"flow": "fast"}, "weight": "strong for",
                          "otherwise": "strong against"},
                         {"when": {"last_change": "grind"}, "weight": "substantial for"}],
            "look_alikes": [
                {"cause": "too_old", "tell": "Old beans are old.", "ask": ["fresh"]},
                {"cause": "too_fine", "tell": "Fine runs slowly.", "ask": ["shot_time"]}],
            "confirm": "Grind finer and time it.", "remedies": [{"remedy": "finer"}],
            "source": COMMON},
        "too_fine": {
            "name": "the grind is too fine", "part": "grinder", "common": "common",
            "what": "Water is held back.", "shows": {"too_slow": "often"},
            "evidence": [{"when": {"flow": "slow"}, "weight": "strong for",
                          "otherwise": "strong against"},
                         {"when": {"ratio": "< 1.2"}, "weight": "slight for"}],
            "look_alikes": [
                {"cause": "too_old", "tell": "Old beans run fast.", "ask": ["shot_time"]},
                {"cause": "too_coarse", "tell": "Coarse runs fast.", "ask": ["shot_time"]}],
            "confirm": "Grind coarser and time it.", "remedies": [{"remedy": "coarser"}],
            "source": COMMON},
        "too_old": {
            "name": "the beans are too old", "part": "beans", "common": "common",
            "what": "Old beans hold nothing back.", "shows": {"too_fast": "sometimes"},
            "evidence": [{"when": {"fresh": "no"}, "weight": "strong for",
                          "otherwise": "strong against"},
                         {"when": {"last_change": "beans"}, "weight": "slight for"},
                         {"when": {"age": "> 40 days"}, "weight": "slight for"}],
            "look_alikes": [
                {"cause": "too_coarse", "tell": "Fresh beans too.", "ask": ["fresh"]},
                {"cause": "too_fine", "tell": "Fine runs slowly.", "ask": ["shot_time"]}],
            "confirm": "Try a new bag.", "remedies": [{"remedy": "new_beans"}], "source": COMMON},
    },
    "remedies": {
        "finer": {"name": "Grind finer", "steps": ["Grind finer, to {target.shot_time.low}."],
                  "minutes": 3, "should": "It runs slower.", "source": COMMON},
        "coarser": {"name": "Grind coarser", "steps": ["Grind coarser."], "minutes": 3,
                    "should": "It runs faster.", "source": COMMON},
        "new_beans": {"name": "Buy beans", "steps": ["Buy a new bag of beans."], "minutes": 20,
                      "should": "It runs slower.", "source": COMMON, "cautions": ["hot"]},
    },
    "cautions": {
        "hot": _caution("WARNING", "Hot parts scald."),
        "fire": _caution("DANGER", "Fire.", when={"hazard": "fire"}, stop="yes"),
    },
    "hazards": {},
    "rules": {},
    "practice": {
        "leave_on": {"asks": "Can I leave it on?", "lay": ["is it fine to keep it switched on"],
                     "answer": "No, switch it off after {target.shot_time}.", "now": "Switch it off.",
                     "depends": "It depends on the machine.", "cautions": ["hot"], "source": COMMON},
    },
}


def book_of(data: dict[str, Any], *houses: dict[str, Any]) -> Book:
    """The book of this data, with houses laid over it."""
    chapters = [loader.of_text(dumped(data), "small.yaml", "")]
    chapters += [loader.of_text(dumped(house), f"house{i}.yaml", f"house{i}")
                 for i, house in enumerate(houses)]
    return build_book(chapters)


def house(**sections: Any) -> dict[str, Any]:
    """A house chapter."""
    return {"schema": 1, "chapter": "house", "title": "Rules of this house", **sections}


def dumped(data: dict[str, Any]) -> str:
    """The data as a file holds it."""
    return yaml.safe_dump(data, sort_keys=False)


def changed(path: str, value: Any, data: dict[str, Any] = SMALL) -> dict[str, Any]:
    """The data with one value set (or, for `...`, taken out), named by its keys with `/`."""
    data, value = copy.deepcopy(data), value if value is ... else copy.deepcopy(value)
    spot: Any = data
    *keys, last = path.split("/")
    for key in keys:
        spot = spot[int(key)] if isinstance(spot, list) else spot[key]
    if value is ...:
        del spot[int(last) if isinstance(spot, list) else last]
    elif isinstance(spot, list):
        spot[int(last)] = value
    else:
        spot[last] = value
    return data


def folder(tmp_path: Path, name: str, **files: str) -> Path:
    """A folder with these files (`name="text"` is written to name.yaml)."""
    made = tmp_path / name
    made.mkdir(parents=True, exist_ok=True)
    for stem, text in files.items():
        (made / f"{stem}.yaml").write_text(text, encoding="utf-8")
    return made
