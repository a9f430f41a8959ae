"""The order in which rules may look at what is absent.

A rule may refuse a fact only once every rule that could conclude it has had its say. The stratum
of a rule is the least number that is not below the stratum of any rule it builds on, and above
the stratum of any rule whose conclusion it refuses (stratified negation: Apt, Blair and Walker,
1988, "Towards a theory of declarative knowledge"; from memory).
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from diagnose.engine.checks import check_rules, shown
from diagnose.engine.errors import EngineError
from diagnose.engine.fold import FoldedTest, RuleClause, fold
from diagnose.engine.rule import EngineRule


class Dependency(NamedTuple):
    """A clause that looks at a name, and whether it wants the fact or refuses it."""

    clause: int
    test: FoldedTest
    refused: bool


def levels(rules: Iterable[EngineRule]) -> dict[str, int]:
    """The stratum of each rule, from 0.

    Raises EngineError for malformed rules, and for a cycle through negation, naming the rules
    and names on it.
    """
    return clause_levels([fold(rule) for rule in check_rules(rules)])


def clause_levels(clauses: Sequence[RuleClause]) -> dict[str, int]:
    """As `levels`, for rules already folded."""
    needs = _needs(clauses)
    level = [0] * len(clauses)
    raised_by: dict[int, tuple[int, bool]] = {}
    most = sum(1 for clause in clauses if clause.refuses)
    waiting = deque(range(len(clauses)))
    while waiting:
        maker = waiting.popleft()
        for user, refused in _users(clauses[maker], needs):
            least = level[maker] + refused
            if level[user] < least:
                level[user] = least
                raised_by[user] = (maker, refused)
                if least > most:                       # more steps up than rules that step up
                    raise EngineError(_cycle(user, raised_by, clauses))
                waiting.append(user)
    return {clause.rule: level[i] for i, clause in enumerate(clauses)}


def _needs(clauses: Sequence[RuleClause]) -> dict[str, list[Dependency]]:
    made = {clause.then[0] for clause in clauses}
    needs: dict[str, list[Dependency]] = defaultdict(list)
    for i, clause in enumerate(clauses):
        for refused, tests in ((False, clause.wants), (True, clause.refuses)):
            for test in tests:
                if test.name in made:
                    needs[test.name].append(Dependency(i, test, refused))
    return needs


def _users(clause: RuleClause, needs: dict[str, list[Dependency]]) -> Iterable[tuple[int, bool]]:
    name, value = clause.then
    return [(need.clause, need.refused) for need in needs.get(name, ()) if need.test.admits(value)]


def _cycle(start: int, raised_by: dict[int, tuple[int, bool]], clauses: Sequence[RuleClause]) -> str:
    seen: list[int] = []
    at = start
    while at not in seen:
        seen.append(at)
        at = raised_by[at][0]
    ring = seen[seen.index(at):]
    steps = []
    for user in reversed(ring):
        maker, refused = raised_by[user]
        fact = shown(": ".join(clauses[maker].then))
        verb = "refuses" if refused else "wants"
        steps.append(f"{shown(clauses[user].rule)} {verb} {fact} from {shown(clauses[maker].rule)}")
    return "rules go round in a circle through something that must be absent: " + "; ".join(steps)
