"""The same rules in CLIPS, a rule engine of its own lineage, as a third opinion.

CLIPS is told when a stratum is closed, because its "not" too looks only at what has arrived.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import clips

from diagnose.engine import EngineRule, Fact, NameTest, levels

TEMPLATES = ("(deftemplate fact (slot k (type STRING)) (slot v (type STRING)))",
             "(deftemplate closed (slot n (type INTEGER)))")


class ClipsBook:
    """Rules compiled by CLIPS."""

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        self._strata = levels(rules)
        self._fired: set[str] = set()
        self._env = clips.Environment()
        self._env.define_function(self._fired.add, "fired")
        for template in TEMPLATES:
            self._env.build(template)
        for number, rule in enumerate(rules):
            self._env.build(self._rule(number, rule))
        self._fact = self._env.find_template("fact")
        self._closed = self._env.find_template("closed")

    def run(self, facts: Iterable[Fact]) -> tuple[frozenset[Fact], frozenset[str]]:
        """The facts that follow, those given included, and the names of the rules that fire."""
        self._env.reset()
        self._fired.clear()
        for name, value in facts:
            self._fact.assert_fact(k=name, v=value)
        for stratum in range(max(self._strata.values(), default=0) + 1):
            self._closed.assert_fact(n=stratum)
            self._env.run()
        known = {(str(fact["k"]), str(fact["v"])) for fact in self._fact.facts()}
        return frozenset(known), frozenset(self._fired)

    def _rule(self, number: int, rule: EngineRule) -> str:
        body = [f"(closed (n {self._strata[rule.name]}))"]
        for i, name in enumerate(dict.fromkeys(pattern.name for pattern in rule.all)):
            body.append(_fact(name, [p.values for p in rule.all if p.name == name], f"?p{i}"))
        body += [f"(not {_pattern(pattern, i)})" for i, pattern in enumerate(rule.none)]
        name, value = rule.then
        return (f"(defrule r{number} {' '.join(body)} => (fired {_text(rule.name)})"
                f" (assert (fact (k {_text(name)}) (v {_text(value)}))))")


def _pattern(pattern: NameTest, number: int) -> str:
    return _fact(pattern.name, [pattern.values], f"?n{number}")


def _fact(name: str, sets: Sequence[frozenset[str] | None], variable: str) -> str:
    tests = "".join(f"&:(or {' '.join(f'(eq {variable} {_text(v)})' for v in sorted(s))} FALSE)"
                    for s in sets if s is not None)
    return f"(fact (k {_text(name)}) (v {variable}{tests}))"


def _text(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
