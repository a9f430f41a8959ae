"""What a house may not do: take away, soften, unhook or speak against what keeps people from harm.

A house adds: rules, cautions, words, questions, causes and fixes of its own, and numbers it aims
at. What of the shipped entries a caution hangs on stays as it is (`kept.py` says what may change),
and no entry of a house may deny it, take its words or do its work without it. Each function says
in one line why an entry can't be; the empty string lets it pass.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from diagnose.book.model import (
    SIGNALS,
    Cause,
    Caution,
    Finding,
    Measure,
    Observation,
    Practice,
    Remedy,
    Rule,
    Symptom,
    Target,
)
from diagnose.book.overlay import calming, kept, twins
from diagnose.book.overlay.dangers import Dangers
from diagnose.book.overlay.support import Entries, Support

GRAVE = SIGNALS[:2]
SAFETY_CHECKS = ("hazard_uncautioned", "answer_uncautioned", "inside_by_owner", "deferral_missing",
                 "grave_on_target", "ask_long", "step_long")
"""Checks of the linter that keep a house file from being used; it can't let them pass."""
OWN_RULE = "leave it, and add a rule of your own beside it"
FARTHEST = {"bar": (0.3, 1.4), "C": (0.8, 1.06), "F": (0.8, 1.06)}
"""How far a target may be moved, as parts of its lowest and highest number, by unit."""
FARTHEST_OTHER = (0.2, 5.0)
_PUT_IN = re.compile(r"\{([^{}]*)\}")


class Guard:
    """Keeps what the cautions of the entries laid so far hang on."""

    def __init__(self, entries: Entries) -> None:
        self._entries, self._support = entries, Support.of_grave(entries, GRAVE)
        self.dangers = Dangers(entries)
        self._put_in = dict(self._numbers_of_guarded_work())

    def _numbers_of_guarded_work(self) -> Iterator[tuple[str, str]]:
        """Every measure that a step with cautions names, and those it is made of; with the remedy."""
        measures = self._entries["measures"]
        for name, remedy in self._entries["remedies"].items():
            waiting = [w for step in remedy.steps for w in _PUT_IN.findall(step)] if remedy.cautions else []
            while waiting:
                if (word := waiting.pop()) in measures:
                    yield word, name
                    waiting += measures[word].given.values()

    def adds(self, kind: str, name: str, new: Any) -> str:
        """Why a new entry can't be."""
        if passed := [check for check in new.allow if check in SAFETY_CHECKS]:
            return f"{name}: lets {passed[0]} pass; a house can't, put right what the check finds"
        return self._of_its_own(kind, name, new) or self._concludes(kind, name, new)

    def _of_its_own(self, kind: str, name: str, new: Any) -> str:
        why = _ADDS.get(kind)
        return why(self, name, new) if why else ""

    def _concludes(self, kind: str, name: str, new: Any) -> str:
        concluded = {"rules": "then", "symptoms": "finding"}.get(kind)
        for fact in getattr(new, concluded).items() if concluded else ():
            if what := self._support.must_lack(*fact):
                return (f"{name}: concludes {fact[0]}: {fact[1]}, which would silence the {what}; "
                        "conclude something else")
            if self.dangers.denied(*fact) or (kind == "rules" and self._speaks_against(*fact)):
                return (f"{name}: concludes {fact[0]}: {fact[1]}, which speaks against a danger; "
                        "conclude something else")
        return ""

    def _speaks_against(self, name: str, value: str) -> bool:
        return bool(self._support.whose(name)) and not self._support.looked_at(name, value)

    def replaces(self, kind: str, name: str, old: Any, new: Any) -> str:
        """Why an entry can't stand in for the old one."""
        lost = [c for c in getattr(old, "cautions", ()) if c not in new.cautions]
        if lost:
            return (f"{name}: leaves out the {self._entries['cautions'][lost[0]].signal} {lost[0]}; "
                    "add it to `cautions:`")
        may: str = kept.use(kind, name, old, new) or _REPLACES[kind](self, name, old, new)
        return may or self.adds(kind, name, new)

    def retires(self, kind: str, name: str, old: Any) -> str:
        """Why an entry can't be retired."""
        if isinstance(old, Caution):
            return (f"{name} is a {old.signal}: a house can add cautions but never take away one "
                    "that keeps people from being hurt")
        if isinstance(old, Rule) and old.caution:
            return f"{name} raises a {self._entries['cautions'][old.caution].signal}: it can't be retired"
        if isinstance(old, Remedy) and old.who == "technician":
            return f"{name}: is a technician's work; without it others would do it, so it can't be retired"
        if isinstance(old, Cause) and self.dangers.shown(old):
            return f"{name}: brings a complaint of danger; it can't be retired"
        if isinstance(old, Practice) and old.cautions:
            return f"{name}: its answer says {old.cautions[0]}; answer it otherwise with `replaces: yes`"
        what = self._rests(kind, name, old)
        return f"{name}: the {what} rests on it; it can't be retired" if what else ""

    def _rests(self, kind: str, name: str, old: Any) -> str:
        """The grave caution that rests on an entry."""
        if kind == "targets":
            return self._support.targets.get(name, "")
        if isinstance(old, Rule | Symptom):
            facts = old.then if isinstance(old, Rule) else old.finding
            return next((w for f in facts.items() if (w := self._support.looked_at(*f))), "")
        return self._support.whose(name) if kind in ("observations", "measures", "findings") else ""

    # What is new.

    def _new_caution(self, name: str, new: Caution) -> str:
        if said := calming.takes_back(new.text, new.avoid, new.go_on):
            return f"{name}: {said!r} takes a caution back; say what can happen and how to avoid it"
        return ""

    def _new_cause(self, name: str, new: Cause) -> str:
        if new.normal == "yes" and self.dangers.shown(new):
            return f"{name}: calls a complaint of danger normal; leave that out of `shows:`"
        if self.dangers.shown(new) and (said := calming.takes_back(new.name, new.what, new.confirm)):
            return f"{name}: {said!r} takes back a danger that it shows; say it otherwise"
        if not self.dangers.shown(new) and any(
                e.weight.endswith("for") and self.dangers.told(e.when) for e in new.evidence):
            return f"{name}: makes a sign of danger speak for something that brings none; leave it out"
        return self._overruling(name, new.name, new.what, new.confirm, new.stop)

    def _new_remedy(self, name: str, new: Remedy) -> str:
        old = self._entries["remedies"].get(name)
        same = old is not None and (old.name, old.steps) == (new.name, new.steps)
        return (self._overruling(name, new.name, *new.steps, new.before, new.should, new.undo, new.stop)
                or ("" if same else twins.uncautioned(name, new, self._entries["remedies"])))

    def _new_observation(self, name: str, new: Observation) -> str:
        return self._overruling(name, new.ask, new.told, new.how)

    def _new_practice(self, name: str, new: Practice) -> str:
        return self._overruling(name, new.answer, new.numbers, new.depends, new.now, new.maker)

    def _overruling(self, name: str, *texts: str) -> str:
        said = calming.overrules(*texts)
        return f"{name}: {said!r} speaks against a caution; leave it out" if said else ""

    def _new_rule(self, name: str, new: Rule) -> str:
        for cause, weight in new.weigh.items():
            entry = self._entries["causes"].get(cause)
            danger = entry is not None and self.dangers.shown(entry)
            if danger and weight.endswith("against"):
                return f"{name}: speaks against {cause}, which brings a danger; weigh for it, or leave it"
            if not danger and weight.endswith("for") and self.dangers.told(new.when):
                return f"{name}: makes a sign of danger speak for {cause}, which brings none; leave it out"
        return ""

    # What stands in for another.

    def _caution(self, name: str, old: Caution, new: Caution) -> str:
        field = kept.changed(old, new, kept.CAUTION if old.stop == "yes" else kept.STILL)
        if field == "signal":
            return f"{name}: {old.signal} can't become {new.signal}; a house can't soften it"
        if field in ("stop", "go_on"):
            return (f"{name}: it stops the consult and must go on doing so, until the same is done "
                    "as before")
        if field:
            return (f"{name}: `{field}:` of a {old.signal} can't be changed, it is shown as the book has it; "
                    "add a caution or a rule of your own, which is shown after it")
        return ""

    def _rule(self, name: str, old: Rule, new: Rule) -> str:
        held = old.caution and f"raises the {self._entries['cautions'][old.caution].signal} {old.caution}"
        held = held or ((what := self._rests("rules", name, old)) and f"is what the {what} rests on")
        held = held or next((f"weighs {c}, which brings a danger" for c in old.weigh
                             if c in self._entries["causes"]
                             and self.dangers.shown(self._entries["causes"][c])), "")
        field = kept.changed(old, new, kept.FREE) if held else ""
        return f"{name}: {held} and must go on doing so (`{field}:`); {OWN_RULE}" if field else ""

    def _remedy(self, name: str, old: Remedy, new: Remedy) -> str:
        harmless = not old.cautions and old.who == "anyone"
        field = kept.changed(old, new, kept.HARMLESS_REMEDY if harmless else kept.REMEDY)
        if field == "who":
            return f"{name}: is a {old.who}'s work; a house can't hand it to others"
        return (f"{name}: `{field}:` must stay as it is, people are kept safe by it; add a fix of your own "
                "with the same cautions") if field else ""

    def _cause(self, name: str, old: Cause, new: Cause) -> str:
        danger = self.dangers.shown(old)
        field = kept.changed(old, new, kept.CAUSE if danger else kept.HARMLESS_CAUSE)
        why = "it brings a complaint of danger" if danger else "people are kept safe by it"
        return f"{name}: `{field}:` must stay as it is, {why}; {OWN_RULE}" if field else ""

    def _practice(self, name: str, old: Practice, new: Practice) -> str:
        field = kept.changed(old, new, kept.PRACTICE)
        return f"{name}: `{field}:` must stay as it is; answer in your own words beside it" if field else ""

    def _target(self, name: str, old: Target, new: Target) -> str:
        stated, moved = ([v for v in (t.low, t.value, t.high) if v is not None] for t in (old, new))
        if (stated, old.unit) != (moved, new.unit) and (what := self._support.targets.get(name)):
            return f"{name}: the {what} compares with this target; it can't be moved"
        if new.unit != old.unit:
            return f"{name}: `unit:` must stay {old.unit}"
        low, high = FARTHEST.get(old.unit, FARTHEST_OTHER)
        low, high = low * min(stated), high * max(stated)
        if moved and not low <= min(moved) <= max(moved) <= high:
            return f"{name}: lies too far from what is shipped; {low:g} to {high:g} {old.unit} is let be"
        return ""

    def _finding(self, name: str, old: Finding, new: Finding) -> str:
        what = self._support.whose(name)
        field = kept.changed(old, new, kept.FREE) if what else ""
        return (f"{name}: the {what} rests on it; its `{field}:` must stay as it is; {OWN_RULE}"
                if field else "")

    def _observation(self, name: str, old: Observation, new: Observation) -> str:
        what = self._support.whose(name) or next(iter(old.cautions), "")
        field = kept.changed(old, new, kept.QUESTION) if what else ""
        return f"{name}: the {what} rests on it; `{field}:` must stay as it is" if field else ""

    def _measure(self, name: str, old: Measure, new: Measure) -> str:
        what = self._support.whose(name) or self._put_in.get(name, "")
        field = kept.changed(old, new, kept.FREE) if what else ""
        return f"{name}: the {what} rests on it; `{field}:` must stay as it is" if field else ""

    def _symptom(self, name: str, old: Symptom, new: Symptom) -> str:
        what = self._rests("symptoms", name, old)
        field = kept.changed(old, new, kept.SYMPTOM) if what else ""
        return (f"{name}: the {what} rests on what it claims; add to `lay:`, and leave `{field}:` as it is"
                if field else "")


_ADDS: dict[str, Callable[..., str]] = {
    "cautions": Guard._new_caution, "causes": Guard._new_cause, "remedies": Guard._new_remedy,
    "observations": Guard._new_observation, "rules": Guard._new_rule, "practice": Guard._new_practice,
}
_REPLACES: dict[str, Callable[..., str]] = {
    "cautions": Guard._caution, "rules": Guard._rule, "remedies": Guard._remedy, "causes": Guard._cause,
    "targets": Guard._target, "findings": Guard._finding, "observations": Guard._observation,
    "measures": Guard._measure, "symptoms": Guard._symptom, "practice": Guard._practice,
}
