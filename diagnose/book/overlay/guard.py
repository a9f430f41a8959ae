"""What a house may not do: take away, soften or unhook a DANGER or WARNING.

Each function looks at one kind of entry, replaced or retired, and says in one line why it
can't be so; the empty string lets it pass.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from diagnose.book.model import Caution, Finding, Measure, Observation, Remedy, Rule, Symptom, Target
from diagnose.book.overlay.support import Entries, Support

SIGNALS = ("NOTICE", "CAUTION", "WARNING", "DANGER")
GRAVE = SIGNALS[2:]
OWN_RULE = "leave it, and add a rule of your own beside it"


class Guard:
    """Keeps the grave cautions of the entries laid so far."""

    def __init__(self, entries: Entries) -> None:
        self._entries, self._support = entries, Support.of_grave(entries, GRAVE)

    def grave(self, caution: str) -> str:
        """The signal word of a caution if it is DANGER or WARNING, else nothing."""
        entry = self._entries["cautions"].get(caution)
        return entry.signal if entry and entry.signal in GRAVE else ""

    def adds(self, kind: str, name: str, new: Any) -> str:
        """Why a new entry can't be: it would bring about what a grave caution wants absent."""
        concluded = {"rules": "then", "symptoms": "finding"}.get(kind)
        for fact in getattr(new, concluded).items() if concluded else ():
            if what := self._support.must_lack(*fact):
                return (f"{name}: concludes {fact[0]}: {fact[1]}, which would silence the {what}; "
                        "conclude something else")
        return ""

    def replaces(self, kind: str, name: str, old: Any, new: Any) -> str:
        """Why an entry can't stand in for the old one."""
        lost = [c for c in getattr(old, "cautions", ()) if c not in new.cautions and self.grave(c)]
        if lost:
            return (f"{name}: leaves out the {self.grave(lost[0])} {lost[0]}; "
                    "add it to `cautions:`")
        return _REPLACES.get(kind, _fine)(self, name, old, new) or self.adds(kind, name, new)

    def retires(self, kind: str, name: str, old: Any) -> str:
        """Why an entry can't be retired."""
        if isinstance(old, Caution):
            return (f"{name} is a {old.signal}: a house can add cautions but never take away one "
                    "that keeps people from being hurt" if old.signal in GRAVE else "")
        if isinstance(old, Rule) and self.grave(old.caution):
            return f"{name} raises a {self.grave(old.caution)}: it can't be retired"
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

    def _caution(self, name: str, old: Caution, new: Caution) -> str:
        if old.signal not in GRAVE:
            return ""
        if SIGNALS.index(new.signal) < SIGNALS.index(old.signal):
            return f"{name}: {old.signal} can't become {new.signal}; a house can't soften it"
        if old.stop == "yes" and (new.stop == "no" or not _holds_on(old.go_on, new.go_on)):
            return (f"{name}: it stops the consult and must go on doing so, until the same is done "
                    "as before")
        if new.when != old.when:
            return (f"{name}: `when:` of a {old.signal} can't be changed; add a rule of your own "
                    "that raises it")
        for field in ("text", "avoid"):
            if not _says(getattr(new, field), getattr(old, field)):
                return (f"{name}: `{field}:` of a {old.signal} must keep every word of the one it "
                        "replaces; write yours before or after it")
        return ""

    def _rule(self, name: str, old: Rule, new: Rule) -> str:
        if (signal := self.grave(old.caution)) and (new.caution, new.when) != (old.caution, old.when):
            return f"{name}: the rule raises a {signal} and must go on doing so; {OWN_RULE}"
        if (what := self._rests("rules", name, old)) and (new.then, new.when) != (old.then, old.when):
            return f"{name}: the {what} rests on what it concludes; {OWN_RULE}"
        return ""

    def _remedy(self, name: str, old: Remedy, new: Remedy) -> str:
        if old.who == "technician" != new.who:
            return f"{name}: is a technician's work; a house can't hand it to others"
        return ""

    def _target(self, name: str, old: Target, new: Target) -> str:
        same = all(getattr(old, f) == getattr(new, f) for f in ("unit", "low", "high", "value"))
        if not same and (what := self._support.targets.get(name)):
            return f"{name}: the {what} compares with this target; it can't be moved"
        return ""

    def _finding(self, name: str, old: Finding, new: Finding) -> str:
        for value, stated in old.values.items():
            what = self._support.looked_at(name, value)
            if what and (value not in new.values or new.values[value].when != stated.when):
                return (f"{name}: the {what} rests on {name}: {value}; its `when:` must stay as it "
                        f"is; {OWN_RULE}")
        return ""

    def _observation(self, name: str, old: Observation, new: Observation) -> str:
        what = self._support.whose(name)
        if not what:
            return ""
        for field in ("kind", "unit", "ask"):
            if getattr(new, field) != getattr(old, field):
                return f"{name}: the {what} rests on it; `{field}:` must stay as it is"
        if new.requires not in (old.requires, None):
            return f"{name}: the {what} rests on it; `requires:` can't make it asked less often"
        if new.minutes > old.minutes:
            return f"{name}: the {what} rests on it; `minutes:` can't rise, or it is asked less often"
        if old.range and new.range and not (new.range[0] <= old.range[0] <= old.range[1]
                                            <= new.range[1]):
            return f"{name}: the {what} rests on it; `range:` can be made wider but not narrower"
        return self._answers(name, old, new)

    def _answers(self, name: str, old: Observation, new: Observation) -> str:
        for answer, stated in old.answers.items():
            what = self._support.looked_at(name, answer)
            if what and (answer not in new.answers or new.answers[answer].says != stated.says
                         or not set(stated.lay) <= set(new.answers[answer].lay)):
                return f"{name}: the {what} rests on the answer {answer}; keep it and its words"
        return ""

    def _measure(self, name: str, old: Measure, new: Measure) -> str:
        what = self._support.whose(name)
        if what and (old.compute, old.given) != (new.compute, new.given):
            return f"{name}: the {what} rests on it; `compute:` and `given:` must stay as they are"
        return ""

    def _symptom(self, name: str, old: Symptom, new: Symptom) -> str:
        what = self._rests("symptoms", name, old)
        if what and (new.finding != old.finding or not set(old.lay) <= set(new.lay)
                     or not set(new.unless_known) <= set(old.unless_known)):
            return (f"{name}: the {what} rests on what it claims; add to `lay:`, and leave "
                    "`finding:` and `unless_known:` as they are")
        return ""


def _fine(*_: Any) -> str:
    return ""


_REPLACES: dict[str, Callable[..., str]] = {
    "cautions": Guard._caution, "rules": Guard._rule, "remedies": Guard._remedy,
    "targets": Guard._target, "findings": Guard._finding, "observations": Guard._observation,
    "measures": Guard._measure, "symptoms": Guard._symptom,
}


def _holds_on(old: str, new: str) -> bool:
    """Is what must be done before going on still all there? Empty means there is no going on."""
    return not new or (bool(old) and _says(new, old))


def _says(new: str, old: str) -> bool:
    return " ".join(old.split()) in " ".join(new.split())
