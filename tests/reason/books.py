"""Small books made for tests, some of them at random, and cases over them."""

from __future__ import annotations

import copy
import random
from pathlib import Path
from typing import Any

import yaml

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.yaml import loader
from diagnose.reason.system import System
from diagnose.reason.weights import COMMON, CURES, GRADES, TYPICAL

COMMON_PRACTICE = "common practice, no source"


def cause(shows: dict[str, str] | None = None, common: str = "common",
          evidence: list[dict[str, Any]] | None = None, cures: dict[str, str] | None = None,
          **more: Any) -> dict[str, Any]:
    """A cause as a chapter states it; `cures` is remedy to how often."""
    return {"name": "a fault", "part": "thing", "common": common, "what": "It is broken.",
            "shows": shows or {}, "evidence": evidence or [], "confirm": "Look.",
            "remedies": [{"remedy": r, "cures": c} for r, c in (cures or {}).items()],
            "source": COMMON_PRACTICE, **more}


def remedy(minutes: float = 5, **more: Any) -> dict[str, Any]:
    """A remedy as a chapter states it."""
    return {"name": "Mend it", "steps": ["Mend it."], "minutes": minutes,
            "should": "It works again.", "source": COMMON_PRACTICE, **more}


def choice(*answers: str, minutes: float = 0.1, **shares: float) -> dict[str, Any]:
    """A question with these answers."""
    return {"ask": "What is it like?", "kind": "choice", "minutes": minutes,
            "answers": {a: {"says": f"it is {a}"} | ({"share": shares[a]} if a in shares else {})
                        for a in answers}}


def finding(abnormal: tuple[str, ...] = (), **values: Any) -> dict[str, Any]:
    """A finding; each value with its condition or None."""
    return {"label": "state", "source": COMMON_PRACTICE, "values": {
        v: {"says": f"it is {v}"} | ({"when": when} if when else {})
        | ({"abnormal": "yes"} if v in abnormal else {}) for v, when in values.items()}}


def symptom(name: str, value: str, *unless: str) -> dict[str, Any]:
    """A complaint that claims a finding."""
    return {"name": f"{name} {value}", "area": "thing", "finding": {name: value},
            "lay": ["broken"], "unless_known": list(unless)}


def caution(when: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A caution that stops the consult."""
    return {"signal": "DANGER", "text": "It bites.", "avoid": "Stand back.", "when": when,
            "stop": "yes", "source": COMMON_PRACTICE, **more}


def book(folder: Path, **sections: dict[str, Any]) -> Book:
    """The book of one chapter, written to a file and read back as any other.

    A cause that names no remedy is mended in five minutes.
    """
    sections = copy.deepcopy(sections)
    for stated in sections.get("causes", {}).values():
        if not stated["remedies"]:
            stated["remedies"] = [{"remedy": "mend", "cures": "usually"}]
            sections.setdefault("remedies", {}).setdefault("mend", remedy())
    folder.mkdir(parents=True, exist_ok=True)
    text = yaml.safe_dump({"schema": 1, "chapter": "small", "title": "Small", **sections},
                          sort_keys=False)
    (folder / "small.yaml").write_text(text, encoding="utf-8")
    return build_book(loader.load(folder))


def system(folder: Path, **sections: dict[str, Any]) -> System:
    """The book with all that reasons over it."""
    return System(book(folder, **sections))


class Drawn:
    """A book drawn at random, as the plain data it is written from."""

    def __init__(self, seed: int, negation: bool = False, findings: bool = False,
                 causes: int = 0) -> None:
        rnd = self.rnd = random.Random(seed)
        self.observations = {f"look{i}": choice(*(f"a{j}" for j in range(rnd.randint(2, 4))))
                             for i in range(rnd.randint(3, 6))}
        self.findings = {"trouble": finding(("one", "two"), one=None, two=None, none=None)}
        self.symptoms = {f"says_{v}": symptom("trouble", v) for v in ("one", "two")}
        self.remedies = {f"fix{i}": remedy(rnd.randint(1, 60)) for i in range(rnd.randint(2, 5))}
        if findings:
            self.findings |= {f"found{i}": finding((), yes_=self._when(negation),
                                                   no_=self._when(negation)) for i in range(3)}
        self.causes = {f"cause{i}": self._cause(negation) for i in range(causes or rnd.randint(2, 5))}

    def _cause(self, negation: bool) -> dict[str, Any]:
        rnd, names = self.rnd, list(self.remedies)
        shows = {s: rnd.choice(list(TYPICAL)) for s in self.symptoms if rnd.random() < 0.7}
        cures = {r: rnd.choice(list(CURES)) for r in rnd.sample(names, rnd.randint(1, len(names)))}
        made = cause(shows, rnd.choice(list(COMMON)), [], cures)
        looks = rnd.sample(list(self.observations), rnd.randint(1, len(self.observations)))
        made["evidence"] = [self._evidence(look, negation) for look in looks]
        return made

    def _evidence(self, look: str, negation: bool) -> dict[str, Any]:
        rnd = self.rnd
        when = self._when(negation) if negation else {look: self._answer(look)}
        made = {"when": when, "weight": f"{rnd.choice(list(GRADES))} {rnd.choice(('for', 'against'))}"}
        if rnd.random() < 0.6:
            made["otherwise"] = f"{rnd.choice(list(GRADES))} against"
        if negation and rnd.random() < 0.4:
            made["group"] = f"g{rnd.randint(0, 1)}"
        return made

    def _answer(self, look: str) -> str:
        return self.rnd.choice(list(self.observations[look]["answers"]))

    def _when(self, negation: bool) -> dict[str, Any]:
        """A condition of one or two looks, with absence in it where `negation`."""
        rnd = self.rnd
        found = [f for f in getattr(self, "findings", {}) if f.startswith("found")]
        looks = rnd.sample(list(self.observations), 2)
        tests: list[dict[str, Any]] = [{look: self._answer(look)} for look in looks]
        if negation and found and rnd.random() < 0.4:
            tests[0] = {rnd.choice(found): rnd.choice(("yes_", "no_"))}
        shape = rnd.choice(("one", "all", "any", "none", "unknown")) if negation else "one"
        match shape:
            case "all" | "any":
                return {shape: tests}
            case "none":
                return {"all": [tests[0], {"none": [tests[1]]}]}
            case "unknown":
                return {"all": [tests[0], {"unknown": looks[1]}]}
        return tests[0]

    def sections(self) -> dict[str, Any]:
        """As `book` takes it."""
        return {"observations": self.observations, "findings": self.findings,
                "symptoms": self.symptoms, "causes": self.causes, "remedies": self.remedies}

    def system(self, folder: Path) -> System:
        """The book with all that reasons over it."""
        return system(folder, **self.sections())

    def case(self) -> tuple[dict[str, str], tuple[str, ...]]:
        """Answers to some questions, and complaints."""
        rnd = self.rnd
        looks = rnd.sample(list(self.observations), rnd.randint(0, len(self.observations) - 1))
        return ({look: self._answer(look) for look in looks},
                tuple(s for s in self.symptoms if rnd.random() < 0.6)[:1])
